"""Steady amps against public law, a cable maker's tables and the aircraft handbook."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.wiring.ampacity import (
    BUILDING_SHARE,
    COLUMNS_C,
    ENGINE_SHARE,
    TABLE_5,
    THIN_WALL_A,
    Ampacity,
    Factor,
    Place,
    ampacity,
    bundle_share,
    table_amps,
    thin_wall_a,
)
from witnessmark.wiring.insulation import INSULATIONS, insulation
from witnessmark.wiring.sizes import System, awg, metric, sae, sizes_of
from witnessmark.wiring.sources import Known, Source

LAW = "33 CFR 183.425 table 5, amps at 30 °C; seen on a law site"
BOAT_CABLE = "a cable maker's table of boat cable, 105 °C, engine space and bundles; seen"
AIRCRAFT = "AC 43.13-1B p. 11-27, No. 14 wire: 47 A, 0.91, 0.6, 26 A; seen"
HOT = Place(words="in the engine space", temperature_c=50)
PVC_105 = insulation("pvc-105")
PLACES = st.builds(
    Place, temperature_c=st.floats(-40, 59), wires=st.integers(1, 60), words=st.just("there")
)


@pytest.mark.reference(LAW)
@pytest.mark.parametrize(
    ("gauge", "amps"),
    [
        (18, (10, 10, 15, 20, 20, 25, 25)),
        (16, (15, 15, 20, 25, 25, 30, 35)),
        (14, (20, 20, 25, 30, 35, 40, 45)),
        (12, (25, 25, 35, 40, 45, 50, 55)),
        (10, (40, 40, 50, 55, 60, 70, 70)),
        (8, (55, 65, 70, 70, 80, 90, 100)),
        (6, (80, 95, 100, 100, 120, 125, 135)),
        (4, (105, 125, 130, 135, 160, 170, 180)),
        (3, (120, 145, 150, 155, 180, 195, 210)),
        (2, (140, 170, 175, 180, 210, 225, 240)),
        (1, (165, 195, 210, 210, 245, 265, 280)),
        (0, (195, 230, 245, 245, 285, 305, 325)),
        (-1, (225, 265, 285, 285, 330, 355, 370)),
        (-2, (260, 310, 330, 330, 385, 410, 430)),
        (-3, (300, 360, 385, 385, 445, 475, 510)),
    ],
)
def test_a_gauge_carries_what_the_law_prints(gauge, amps):
    area = awg(gauge).area_mm2
    assert tuple(table_amps(area, column) for column in COLUMNS_C) == amps


@pytest.mark.reference(
    "marine wire catalogue, engine space 0.85 for 105 °C: 25 to 21, 45 to 38; seen"
)
@pytest.mark.parametrize(("gauge", "amps"), [(16, 21), (12, 38)])
def test_the_engine_space_takes_its_share(gauge, amps):
    assert int(ampacity(awg(gauge), PVC_105, HOT).allowed_a) == amps


@pytest.mark.reference(BOAT_CABLE)
@pytest.mark.parametrize(
    ("gauge", "wires", "outside", "inside"),
    [
        (18, 1, 20, 17),
        (16, 1, 25, 21.3),
        (14, 1, 35, 29.8),
        (12, 1, 45, 38.3),
        (18, 3, 14, 11.9),
        (16, 3, 17.5, 14.9),
        (10, 3, 42, 35.7),
        (16, 4, 15, 12.8),
        (14, 6, 21, 17.9),
        (4, 5, 96, 81.6),
        (14, 7, 17.5, 14.9),
        (18, 20, 10, 8.5),
    ],
)
def test_a_bundle_and_the_engine_space_take_what_a_maker_prints(gauge, wires, outside, inside):
    cool = ampacity(awg(gauge), PVC_105, Place(wires=wires)).allowed_a
    warm = ampacity(awg(gauge), PVC_105, Place(temperature_c=50, wires=wires)).allowed_a
    assert cool == pytest.approx(outside, abs=0.05)
    assert warm == pytest.approx(inside, abs=0.051)


@pytest.mark.reference("from memory: 33 CFR 183.425 table 5 note 2, 25 wires and more 0.40")
def test_a_great_bundle_keeps_two_fifths():
    assert bundle_share(25) == bundle_share(40) == 0.40


@pytest.mark.reference("NEC 2014 table 310.15(B)(3)(a), share of amps by wires; seen")
def test_building_practice_allows_more_in_a_bundle_and_we_follow_the_less():
    assert BUILDING_SHARE == (
        (4, 0.80),
        (7, 0.70),
        (10, 0.50),
        (21, 0.45),
        (31, 0.40),
        (41, 0.35),
    )
    for least, share in BUILDING_SHARE:
        assert bundle_share(least) <= share
    assert [bundle_share(count) for count in (4, 7, 10, 21, 31, 41)] == [
        0.6,
        0.5,
        0.5,
        0.45,
        0.4,
        0.35,
    ]


@pytest.mark.reference("from memory: 33 CFR 183.425 table 5 note 1, all but 105 °C")
@pytest.mark.parametrize(
    ("column", "share"),
    [(60, 0.58), (75, 0.75), (80, 0.78), (90, 0.82), (125, 0.89)],
)
def test_the_other_engine_space_shares_agree_with_the_root_of_the_temperature_left(column, share):
    assert ENGINE_SHARE[column] == share
    assert sqrt((column - 50) / (column - 30)) == pytest.approx(share, abs=0.006)


@pytest.mark.reference(AIRCRAFT)
def test_the_aircraft_example_47_amps_become_26():
    seen = Source(words="AC 43.13-1B p. 11-27", known=Known.SEEN)
    found = Ampacity(
        table_a=47.0,
        factors=(
            Factor(words="20 000 ft", value=0.91, source=seen),
            Factor(words="8 wires at 60 % load", value=0.6, source=seen),
        ),
    )
    assert found.factors[0].value * found.table_a == pytest.approx(42.77)
    assert found.allowed_a == pytest.approx(25.66, abs=0.005)
    assert round(found.allowed_a) == 26
    assert found.words == "47 A × 0.91 (20 000 ft) × 0.60 (8 wires at 60 % load) = 25.7 A"


@pytest.mark.reference("data sheet of thin-wall vehicle cable, amps by mm²; seen")
@pytest.mark.parametrize(
    ("area_mm2", "amps"),
    [(0.5, 11), (0.75, 14), (1.0, 16.5), (1.5, 21), (2.0, 25), (2.5, 29), (4.0, 39), (6.0, 50)],
)
def test_a_maker_of_thin_wall_cable_prints_less_than_the_law_and_both_are_kept(area_mm2, amps):
    assert THIN_WALL_A[area_mm2] == amps
    assert thin_wall_a(area_mm2) == amps
    assert 1.0 < table_amps(area_mm2, 105) / amps < 1.45


@pytest.mark.reference("a wire maker's suggested amps of 22 and 20 AWG at 80 and 105 °C; seen")
@pytest.mark.parametrize(
    ("gauge", "column", "amps"), [(22, 80, 8), (20, 80, 10), (22, 105, 10), (20, 105, 13)]
)
def test_below_the_table_we_stay_below_what_a_wire_maker_suggests(gauge, column, amps):
    assert 0.7 * amps < table_amps(awg(gauge).area_mm2, column) <= amps


@pytest.mark.reference("page 'General Amperage Table', 20 AWG in a bundle 7.5 A, alone 11 A; seen")
def test_a_20_awg_wire_carries_about_what_a_hobby_table_says():
    alone = ampacity(awg(20), insulation("pvc-80"), Place()).allowed_a
    bundled = ampacity(awg(20), insulation("pvc-80"), Place(wires=3)).allowed_a
    assert alone == pytest.approx(11, rel=0.2)
    assert bundled == pytest.approx(7.5, rel=0.2)


def test_an_sae_wire_carries_less_than_the_awg_of_its_number():
    for gauge in (18, 14, 10, 4):
        own = table_amps(sae(gauge).area_mm2, 105)
        assert own < table_amps(awg(gauge).area_mm2, 105)


def test_above_the_table_the_amps_stay():
    assert table_amps(metric(120).area_mm2, 105) == TABLE_5[-3][4]


@given(place=PLACES, hotter=st.floats(0.01, 20), cover=st.sampled_from(INSULATIONS))
def test_a_hotter_place_never_carries_more(place, hotter, cover):
    warm = Place(temperature_c=min(place.temperature_c + hotter, 59.9), wires=place.wires)
    for size in (awg(16), sae(12), metric(6)):
        assert ampacity(size, cover, warm).allowed_a <= ampacity(size, cover, place).allowed_a


@given(place=PLACES, more=st.integers(1, 40))
def test_a_greater_bundle_never_carries_more(place, more):
    full = Place(temperature_c=place.temperature_c, wires=place.wires + more)
    assert ampacity(awg(14), PVC_105, full).allowed_a <= ampacity(awg(14), PVC_105, place).allowed_a


@given(place=PLACES, system=st.sampled_from(System), cover=st.sampled_from(INSULATIONS))
def test_a_thicker_wire_never_carries_less(place, system, cover):
    amps = [ampacity(size, cover, place).allowed_a for size in sizes_of(system)]
    assert amps == sorted(amps)


@given(place=PLACES, size=st.sampled_from(sizes_of(System.METRIC)))
def test_a_hotter_insulation_never_carries_less(place, size):
    amps = [ampacity(size, cover, place).allowed_a for cover in INSULATIONS]
    assert amps == sorted(amps)


def test_every_kind_of_insulation_names_a_column_no_hotter_than_itself():
    for cover in INSULATIONS:
        assert cover.column_c <= cover.class_c < cover.short_c
        assert cover.column_c in COLUMNS_C


@pytest.mark.reference("guides to SAE J1127 and J1128 wire types and ISO classes; seen")
@pytest.mark.parametrize(
    ("key", "class_c", "names"),
    [
        ("pvc-80", 80, ("GPT", "SGT")),
        ("pvc-85", 85, ("class A",)),
        ("pvc-100", 100, ("class B",)),
        ("pvc-105", 105, ("TWP",)),
        ("xlpe-125", 125, ("GXL", "SXL", "TXL", "SGX", "STX", "class C")),
        ("xlpe-150", 150, ("class D",)),
        ("silicone-175", 175, ("class E",)),
        ("fluoro-200", 200, ("class F",)),
    ],
)
def test_wire_types_stand_under_their_temperature(key, class_c, names):
    cover = insulation(key)
    assert cover.class_c == class_c
    assert all(name in cover.words for name in names)
    # two pages call GXL, SXL and TXL cross-linked PVC; we do not
    assert not ("GXL" in cover.words and "PVC" in cover.words)


@pytest.mark.parametrize(
    ("temperature_c", "key"),
    [(60, "unknown"), (90, "pvc-80"), (105, "pvc-105"), (240, "fluoro-200")],
)
def test_a_place_as_hot_as_the_insulation_is_refused(temperature_c, key):
    with pytest.raises(BenchError, match="The place has"):
        ampacity(awg(14), insulation(key), Place(temperature_c=temperature_c))


@pytest.mark.parametrize("temperature_c", [float("nan"), -300, 900])
def test_a_place_without_a_sound_temperature_is_refused(temperature_c):
    with pytest.raises(BenchError, match="Air round a wire"):
        Place(temperature_c=temperature_c)


@pytest.mark.parametrize("wires", [0, -3, 5000])
def test_a_bundle_without_wires_is_refused(wires):
    with pytest.raises(BenchError, match="The bundle has"):
        Place(wires=wires)


def test_an_unknown_insulation_is_refused_with_the_known_ones():
    with pytest.raises(BenchError, match="pvc-105"):
        insulation("rubber")
