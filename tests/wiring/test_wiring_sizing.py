"""Sizing a wire and choosing a fuse: worked examples, limits with their sources, monotony."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.choosing import Load, choose_fuse
from witnessmark.wiring.drop import LIMIT_SETS, circular_mils, drop_limits, own_limits
from witnessmark.wiring.fuses import FuseKind, fuse_of
from witnessmark.wiring.insulation import INSULATIONS, insulation
from witnessmark.wiring.sizes import System, awg, metric, sae, sizes_of
from witnessmark.wiring.sizing import Run, size_wire
from witnessmark.wiring.sources import Known

FORMULA = "CM = K I L / E, worked example of two wire sellers, 10 A over 21 ft; seen"
FOOT_M = 0.3048


def run(**asked):
    known = {
        "current_a": 10.0,
        "length_m": 21 * FOOT_M,
        "limits": drop_limits("boat-critical"),
        "cover": insulation("pvc-105"),
        "system": System.AWG,
    }
    return Run(**{**known, **asked})


def answer(**asked):
    found = size_wire(run(**asked)).answer
    return found and found.size.label


@pytest.mark.reference(FORMULA)
@pytest.mark.parametrize(("drop_v", "mils"), [(0.36, 6271), (0.96, 2352)])
def test_the_trades_formula_gives_the_published_circular_mils(drop_v, mils):
    assert round(circular_mils(10, 21, drop_v)) == mils


@pytest.mark.reference(FORMULA)
def test_three_percent_of_12_volts_take_12_awg_but_sae_10():
    assert answer() == "12 AWG"
    assert awg(12).area_cmil > circular_mils(10, 21, 0.36) > sae(12).area_cmil
    assert answer(system=System.SAE) == "SAE 10"


@pytest.mark.reference(FORMULA)
def test_ten_percent_of_12_volts_take_16_awg():
    mils = circular_mils(10, 21, 1.2)
    assert awg(16).area_cmil > mils and sae(16).area_cmil > mils
    # by drop alone even a thinner one would do
    rows = {row.size.label: row for row in size_wire(run(limits=drop_limits("boat-other"))).rows}
    assert rows["16 AWG"].passed


@pytest.mark.reference("limits of voltage drop on trade pages and in service manuals; seen")
@pytest.mark.parametrize(
    ("key", "supply_v", "total_v", "feed_v", "ground_v"),
    [
        ("accessory", 12, 0.5, None, None),
        ("computer", 12, 0.09, None, None),
        ("alternator", 12, 0.2, None, None),
        ("battery-cable", 12, 0.4, 0.2, 0.2),
        ("starter", 12, 0.8, 0.5, 0.3),
        ("boat-critical", 12, 0.36, None, None),
        ("boat-other", 12, 1.2, None, None),
        ("boat-critical", 32, 0.96, None, None),
    ],
)
def test_limits_are_kept_with_their_source(key, supply_v, total_v, feed_v, ground_v):
    limits = drop_limits(key)
    assert limits.allowed_v(supply_v) == pytest.approx(total_v)
    assert (limits.feed_v, limits.ground_v) == (feed_v, ground_v)
    assert limits.source.known is Known.SEEN


@pytest.mark.reference("from memory: classroom limits wire 0.2, ground 0.1, joint 0.1 V; 14 V")
@pytest.mark.parametrize(
    ("key", "total_v"), [("classroom", 0.3), ("aircraft", 0.5), ("aircraft-short", 1.0)]
)
def test_limits_from_memory_say_so(key, total_v):
    assert drop_limits(key).total_v == total_v
    assert drop_limits(key).source.known is Known.MEMORY


def test_the_shops_own_limit_is_one_more_set():
    own = own_limits(0.25)
    assert own.allowed_v(12) == own.total_v
    assert own.source.known is Known.OWN
    assert answer(limits=own) == "10 AWG"


def test_every_set_has_a_total():
    assert all(one.allowed_v(12.0) > 0 for one in LIMIT_SETS)


def test_a_smaller_size_says_why_it_fails():
    found = size_wire(run())
    assert found.why_not_thinner == ("14 AWG loses 0.56 V and may lose 0.36 V.",)
    assert found.answer.checks[0].sentence == "12 AWG loses 0.35 V of 0.36 V."


def test_a_wire_can_fail_by_its_amps_alone():
    hot = Place(words="in the engine space", temperature_c=50, wires=6)
    found = size_wire(run(current_a=18, length_m=1, place=hot, limits=own_limits(2)))
    assert found.answer.size.label == "12 AWG"
    (why,) = found.why_not_thinner
    assert "14 AWG carries only 35 A × 0.85 (50 °C) × 0.60 (6 wires) = 17.8 A" in why


def test_exactly_what_the_table_allows_passes():
    found = size_wire(run(current_a=45, length_m=0.5, limits=own_limits(5)))
    assert found.answer.size.label == "12 AWG"


@pytest.mark.reference("service manuals: replacement wire of the same or next larger size; seen")
def test_a_replacement_is_the_same_or_the_next_larger_size():
    rows = size_wire(run(replaces=awg(12), limits=drop_limits("boat-other"))).rows
    passed = [
        row.size.label
        for row in rows
        if next(check for check in row.checks if check.name == "Wire that was there").passed
    ]
    assert passed == ["12 AWG", "10 AWG"]


@pytest.mark.reference("service manuals: replacement wire of the same or next larger size; seen")
@pytest.mark.parametrize(
    ("was", "system", "passed"),
    [
        (awg(14), System.METRIC, ["2.5 mm²", "4 mm²"]),
        (sae(14), System.AWG, ["14 AWG", "12 AWG"]),
        (awg(14), System.SAE, ["SAE 12", "SAE 10"]),
        (metric(1.5), System.METRIC, ["1.5 mm²", "2.5 mm²"]),
    ],
)
def test_another_system_takes_the_first_size_with_no_less_copper(was, system, passed):
    rows = size_wire(run(replaces=was, system=system, limits=own_limits(5))).rows
    found = [
        row.size.label
        for row in rows
        if next(check for check in row.checks if check.name == "Wire that was there").passed
    ]
    assert found == passed


def test_a_wire_that_was_always_too_thin_is_a_question_and_not_a_thicker_wire():
    found = size_wire(run(replaces=awg(18)))
    assert found.answer is None
    assert "18 AWG, is too thin for this" in found.sentence
    assert "would take 12 AWG" in found.sentence


def test_a_run_that_nothing_can_do_says_so():
    found = size_wire(run(current_a=1500, length_m=100))
    assert found.answer is None and found.thinner is None
    assert "No size here passes every test" in found.sentence


def test_a_fuse_that_is_there_is_one_of_the_tests():
    thin = answer(current_a=5, length_m=1)
    fused = answer(current_a=5, length_m=1, fuse=fuse_of(FuseKind.STANDARD, 30))
    assert (thin, fused) == ("22 AWG", "12 AWG")


def test_a_makers_smaller_figure_for_thin_wall_cable_is_said():
    found = size_wire(run(system=System.METRIC, current_a=33, length_m=0.5, limits=own_limits(3)))
    assert found.answer.size.label == "2.5 mm²"
    assert "prints only 29 A" in found.answer.note


RUNS = st.fixed_dictionaries(
    {
        "current_a": st.floats(0.5, 120),
        "length_m": st.floats(0.2, 20),
        "limits": st.sampled_from(LIMIT_SETS),
        "cover": st.sampled_from(INSULATIONS),
        "system": st.sampled_from(System),
        "place": st.builds(
            Place,
            temperature_c=st.floats(0, 55),
            wires=st.integers(1, 30),
            words=st.just("there"),
        ),
    }
)


def at(found):
    """The place of the answer among the sizes; one past them where there is none."""
    return found.rows.index(found.answer) if found.answer else len(found.rows)


@settings(deadline=None)
@given(asked=RUNS, more=st.floats(1, 4))
def test_a_longer_wire_never_gives_a_smaller_size(asked, more):
    one = run(**asked)
    longer = replace(one, length_m=one.length_m * more)
    assert at(size_wire(longer)) >= at(size_wire(one))


@settings(deadline=None)
@given(asked=RUNS, more=st.floats(1, 4))
def test_more_current_never_gives_a_smaller_size(asked, more):
    one = run(**asked)
    greater = replace(one, current_a=one.current_a * more)
    assert at(size_wire(greater)) >= at(size_wire(one))


@settings(deadline=None)
@given(asked=RUNS, hotter=st.floats(0, 30))
def test_a_hotter_place_never_gives_a_smaller_size(asked, hotter):
    one = run(**asked)
    temperature_c = one.place.temperature_c + hotter
    assume(temperature_c < one.cover.column_c)
    warm = replace(one, place=replace(one.place, temperature_c=temperature_c))
    assert at(size_wire(warm)) >= at(size_wire(one))


@settings(deadline=None)
@given(asked=RUNS)
def test_a_thicker_size_never_loses_more(asked):
    drops = [row.drop_v for row in size_wire(run(**asked)).rows]
    assert drops == sorted(drops, reverse=True)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"current_a": 0}, "The current is 0 A"),
        ({"current_a": float("nan")}, "The current is nan A"),
        ({"current_a": 1e9}, "at most 2000 A"),
        ({"length_m": -2}, "The length is -2 m"),
        ({"length_m": 4000}, "at most 200 m"),
        ({"supply_v": 400}, "at most 60 V"),
    ],
)
def test_a_run_that_cannot_be_is_refused_in_words(asked, said):
    with pytest.raises(BenchError, match=said):
        run(**asked)


@pytest.mark.parametrize("volts", [0, -1, float("nan"), 100])
def test_an_own_limit_that_cannot_be_is_refused(volts):
    with pytest.raises(BenchError, match="The allowed drop is"):
        own_limits(volts)


def test_an_unknown_set_of_limits_is_refused_with_the_known_ones():
    with pytest.raises(BenchError, match="accessory"):
        drop_limits("strict")


@pytest.mark.reference("'Are fuses 100 % rated': 80 % of the rating for long; seen")
@pytest.mark.parametrize(
    ("current_a", "rating_a"), [(8, 10), (8.01, 15), (12, 15), (16, 20), (0.5, 1), (32, 40)]
)
def test_a_fuse_carries_four_fifths_of_its_rating_for_long(current_a, rating_a):
    assert choose_fuse(Load(current_a=current_a)).fuse.rating_a == rating_a


@pytest.mark.reference("from memory: vehicle fuses carry 75 % of their rating at 25 °C")
def test_a_shop_may_be_more_careful():
    assert choose_fuse(Load(current_a=15.5, share=0.75)).fuse.rating_a == 25
    assert choose_fuse(Load(current_a=15.5, share=0.80)).fuse.rating_a == 20


def test_a_fuse_in_a_warm_box_is_chosen_larger_and_says_why_not_smaller():
    cool = choose_fuse(Load(current_a=15))
    warm = choose_fuse(Load(current_a=15, temperature_c=85))
    assert (cool.fuse.rating_a, warm.fuse.rating_a) == (20, 25)
    assert "A fuse of 20 A carries 12 A for long (60% of its rating)" in warm.why_not_smaller
    assert len(warm.sources) == 2


def test_a_load_that_starts_hard_needs_a_fuse_that_holds_long_enough():
    found = choose_fuse(Load(current_a=8, starting_a=45, starting_s=0.1))
    assert found.fuse.rating_a == 20
    assert "before the load has started" in found.why_not_smaller
    assert "holds 45 A for" in found.sentence


def test_a_load_beyond_every_rating_gets_no_fuse():
    found = choose_fuse(Load(current_a=70))
    assert found.fuse is None
    assert "No standard blade fuse carries 70 A for long" in found.sentence
    assert choose_fuse(Load(current_a=60), FuseKind.LARGE).fuse.rating_a == 80


@pytest.mark.parametrize(
    "asked",
    [
        {"current_a": 0},
        {"current_a": float("nan")},
        {"current_a": 5, "share": 0.1},
        {"current_a": 5, "share": 1.2},
        {"current_a": 5, "starting_a": -1},
        {"current_a": 5, "starting_s": float("nan")},
    ],
)
def test_a_load_that_cannot_be_is_refused(asked):
    with pytest.raises(BenchError):
        Load(**asked)


def test_the_sizes_on_offer_are_all_tried():
    for system in System:
        assert len(size_wire(run(system=system)).rows) == len(sizes_of(system))
