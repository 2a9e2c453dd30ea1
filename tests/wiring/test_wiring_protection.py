"""A fuse against its wire: the aircraft chart, a brute-force scan, and links."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.fuses import RATINGS_A, FuseKind, fuse_of
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import INSULATIONS, insulation
from witnessmark.wiring.links import check_link, link_for
from witnessmark.wiring.protection import Guard, check_protection, check_stall
from witnessmark.wiring.sizes import System, awg, metric, sae, sizes_of

CHART = "AC 43.13-1B table 11-3, DC wire and protector chart; seen"
LINKS = "three trade pages on fusible links: four gauge numbers smaller; seen"


def wire(size, key="pvc-105", **place):
    return heating_of(size, insulation(key), Place(**place))


@pytest.mark.reference(CHART)
@pytest.mark.parametrize(
    ("gauge", "kind", "rating_a"),
    # breaker or fuse of the chart, as far as a blade fuse of that rating is made
    [
        (22, FuseKind.STANDARD, 5),
        (20, FuseKind.STANDARD, 7.5),
        (20, FuseKind.STANDARD, 5),
        (18, FuseKind.STANDARD, 10),
        (16, FuseKind.STANDARD, 15),
        (16, FuseKind.STANDARD, 10),
        (14, FuseKind.STANDARD, 20),
        (14, FuseKind.STANDARD, 15),
        (12, FuseKind.STANDARD, 30),
        (12, FuseKind.STANDARD, 20),
        (10, FuseKind.STANDARD, 40),
        (10, FuseKind.STANDARD, 30),
        (8, FuseKind.LARGE, 50),
        (6, FuseKind.LARGE, 80),
        (6, FuseKind.LARGE, 70),
        (4, FuseKind.LARGE, 70),
    ],
)
def test_every_pair_of_the_aircraft_chart_protects(gauge, kind, rating_a):
    found = check_protection(fuse_of(kind, rating_a), wire(awg(gauge)))
    assert found.guard is Guard.PROTECTS
    assert found.gaps == ()


def test_a_fuse_larger_than_the_wire_bears_does_not_protect_it():
    found = check_protection(fuse_of(FuseKind.STANDARD, 30), wire(awg(18)))
    assert found.guard is Guard.DOES_NOT
    assert "less than the fuse carries" in found.sentences[0]
    assert found.gaps


def test_a_pair_that_protects_may_still_let_a_slow_overload_pass_and_says_so():
    found = check_protection(fuse_of(FuseKind.STANDARD, 20), wire(awg(14), "pvc-80"))
    assert found.guard is Guard.SLOW
    assert (found.slow.from_a, found.slow.to_a) == (25, 27)
    assert "A slow overload of 25 A to 27 A may never open it" in found.sentences[1]


def test_a_fuse_of_just_the_wires_amps_opens_too_late_in_between():
    found = check_protection(fuse_of(FuseKind.STANDARD, 35), wire(awg(14)))
    assert found.guard is Guard.DOES_NOT
    assert "may be hurt before" in found.sentences[0]
    (gap,) = found.gaps
    assert 35 * 1.35 <= gap.from_a < gap.to_a < 70


@pytest.mark.second_way("every current of a fine scan, fuse and wire compared one by one")
@pytest.mark.parametrize(
    ("size", "key", "rating_a"),
    [
        (awg(14), "pvc-105", 35),
        (awg(14), "pvc-80", 30),
        (metric(1.5), "xlpe-125", 30),
        (awg(16), "pvc-105", 20),
        (awg(12), "pvc-105", 20),
        (metric(0.5), "unknown", 15),
    ],
)
def test_gaps_are_where_a_scan_finds_the_fuse_later_than_the_wire(size, key, rating_a):
    fuse, body = fuse_of(FuseKind.STANDARD, rating_a), wire(size, key)
    found = check_protection(fuse, body)
    amps = fuse.opens_from_a
    while amps < 40 * rating_a:
        hurt_s, most_s = body.hurt_after_s(amps), fuse.most_s(amps)
        late = hurt_s is not None and most_s > hurt_s
        near = any(
            abs(amps / edge - 1) < 1e-4 for gap in found.gaps for edge in (gap.from_a, gap.to_a)
        )
        assert near or late == any(gap.from_a <= amps <= gap.to_a for gap in found.gaps)
        amps *= 1.007


@settings(deadline=None, max_examples=60)
@given(
    system=st.sampled_from(System),
    cover=st.sampled_from(INSULATIONS),
    rating_a=st.sampled_from(RATINGS_A[FuseKind.STANDARD]),
    at=st.integers(0, 8),
)
def test_a_thicker_wire_is_never_protected_less(system, cover, rating_a, at):
    sizes = sizes_of(system)[at : at + 2]
    order = [Guard.DOES_NOT, Guard.SLOW, Guard.PROTECTS]
    fuse = fuse_of(FuseKind.STANDARD, rating_a)
    thin, thick = (
        order.index(check_protection(fuse, heating_of(size, cover, Place())).guard)
        for size in sizes
    )
    assert thin <= thick


@settings(deadline=None, max_examples=60)
@given(cover=st.sampled_from(INSULATIONS), at=st.integers(0, 10), wires=st.integers(1, 12))
def test_a_larger_fuse_never_protects_more(cover, at, wires):
    order = [Guard.DOES_NOT, Guard.SLOW, Guard.PROTECTS]
    body = heating_of(metric(2.5), cover, Place(wires=wires))
    ratings = RATINGS_A[FuseKind.STANDARD][at : at + 2]
    small, large = (
        order.index(check_protection(fuse_of(FuseKind.STANDARD, one), body).guard)
        for one in ratings
    )
    assert large <= small


def test_a_stalled_motor_is_not_saved_by_its_fuse_and_the_sentence_says_so():
    stall = check_stall(fuse_of(FuseKind.STANDARD, 10), wire(awg(16)), 18.9)
    assert stall.wire_is_safe
    assert "does not save the motor" in stall.sentence
    assert "0.17 s to 9 s" in stall.sentence


def test_a_stall_below_the_sure_opening_may_hurt_a_thin_wire_for_good():
    stall = check_stall(fuse_of(FuseKind.STANDARD, 25), wire(awg(18), "pvc-80"), 30)
    assert stall.most_s is None
    assert not stall.wire_is_safe
    assert "may never open" in stall.sentence and "is hurt after" in stall.sentence


@pytest.mark.reference(LINKS)
@pytest.mark.parametrize(("gauge", "link"), [(10, 14), (12, 16), (14, 18), (8, 12), (0, 4)])
def test_a_link_is_four_gauge_numbers_smaller(gauge, link):
    assert link_for(awg(gauge)).gauge == link
    # others say "two sizes": two even sizes, which is the same wire
    even = [size.gauge for size in sizes_of(System.AWG) if size.gauge % 2 == 0]
    assert even[even.index(gauge) - 2] == link


def test_an_sae_wire_gets_an_sae_link():
    assert link_for(sae(10)) == sae(14)


@pytest.mark.second_way("Onderdonk for the link, the adiabatic equation for the wire, by hand")
def test_a_link_melts_before_a_cold_wire_is_hurt_in_a_dead_short():
    found = check_link(awg(14), awg(10), insulation("pvc-105"))
    assert found.melts_a2s == pytest.approx(601**2, rel=0.003)
    assert found.hurts_a2s == pytest.approx((146.2 * 5.261) ** 2, rel=0.005)
    assert found.is_first
    assert "no guard against an overload" in found.sentence
    assert not check_link(awg(10), awg(10), insulation("pvc-105")).is_first


def test_a_metric_wire_has_no_link_by_this_rule():
    with pytest.raises(BenchError, match="has no gauge number"):
        link_for(metric(2.5))


def test_a_thin_wire_is_protected_by_a_fuse_instead():
    with pytest.raises(BenchError, match="Protect this wire by a fuse"):
        link_for(awg(22))
