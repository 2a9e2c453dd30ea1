"""Heat in a bad joint, and how joints are made."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.joint_heat import (
    BadJoint,
    JointKind,
    bad_joint,
    joint_sentences,
    rise_range_k,
)
from witnessmark.wiring.joints import (
    CAUTIONS,
    COMMON_GROUND,
    JOINT_RULES,
    MAKER,
    SAYINGS,
    joint_rule,
)
from witnessmark.wiring.sizes import awg

WIRE = heating_of(awg(14), insulation("pvc-105"), Place())


def joint(joint_ohm, rest_ohm=1.5, supply_v=12.6):
    return BadJoint(
        name="G7", supply_v=supply_v, rest_ohm=rest_ohm, joint_ohm=joint_ohm, good_ohm=0.003
    )


@pytest.mark.second_way("Ohm's law by hand: 2.8 V of 12.6 V across one joint, 7.9 A healthy")
def test_a_joint_from_what_was_read_across_it():
    found = bad_joint("G7", supply_v=12.6, current_a=7.9, drop_v=2.8)
    rest = 12.6 / 7.9 - 0.02 / 7.9
    assert found.rest_ohm == pytest.approx(rest)
    assert found.current_a == pytest.approx((12.6 - 2.8) / rest)
    assert found.drop_v == pytest.approx(2.8)
    assert found.heat_w == pytest.approx(2.8 * (12.6 - 2.8) / rest)
    assert found.good_current_a == pytest.approx(7.9)


@given(share=st.floats(0.01, 100))
def test_no_joint_makes_more_heat_than_one_that_equals_the_rest_of_the_loop(share):
    worst = joint(1.5)
    assert worst.heat_w == pytest.approx(worst.worst_w)
    assert joint(1.5 * share).heat_w <= worst.worst_w * (1 + 1e-12)


@given(ohm=st.floats(0.001, 1.4), more=st.floats(1.001, 1.5))
def test_up_to_there_more_ohms_make_more_heat_and_less_current(ohm, more):
    small, large = joint(ohm), joint(min(ohm * more, 1.5))
    assert large.heat_w >= small.heat_w
    assert large.current_a < small.current_a or large.joint_ohm == small.joint_ohm


@given(heat=st.floats(0.01, 50))
def test_the_rise_is_a_range_and_grows_with_the_heat(heat):
    for kind in JointKind:
        low, high = rise_range_k(heat, WIRE, kind)
        assert 0 < low < high
        assert rise_range_k(heat * 2, WIRE, kind) == pytest.approx((low * 2, high * 2))


@pytest.mark.second_way("fin of infinite length: √(conductivity · area / thermal resistance)")
def test_the_high_estimate_is_that_of_two_wires_as_fins():
    each_w_per_k = (390 * 2.081e-6 / 5.54) ** 0.5
    assert rise_range_k(1.0, WIRE, JointKind.WIRES)[1] == pytest.approx(
        1 / (2 * each_w_per_k), rel=0.005
    )


def test_the_sentences_say_why_it_grew_and_that_no_fuse_opens_for_it():
    found = bad_joint("G7 ground joint", supply_v=12.6, current_a=7.9, drop_v=0.8)
    heat, grew, hot, fuse = joint_sentences(found, WIRE, JointKind.STUD)
    assert heat.startswith("G7 ground joint has 0.11 Ω and makes ") and "W of heat" in heat
    assert "The current is taken as typed, 7.9 A with a good joint" in heat
    assert "oxidizes" in grew and "More ohms still make more heat" in grew
    assert "The range is wide" in hot and "Do not touch it" in hot
    assert "°C above its surroundings" in hot and " K" not in hot
    assert "no greater than the usual 7.9 A, so no fuse opens for it" in fuse
    assert "new fuse" not in fuse


def test_how_hot_it_gets_is_not_guessed_without_its_wire():
    found = bad_joint("the joint", supply_v=12.6, current_a=7.9, drop_v=0.8)
    heat, _, hot, _ = joint_sentences(found, None, JointKind.WIRES)
    assert heat.startswith("The joint has ")
    assert "type the size of the wire at the joint" in hot and "°C" not in hot


def test_a_joint_past_its_worst_says_so_and_a_glowing_one_is_not_guessed():
    found = bad_joint("C4", supply_v=12.6, current_a=30, drop_v=9)
    _, grew, hot, _ = joint_sentences(found, WIRE, JointKind.WIRES)
    assert "It has passed its worst" in grew
    assert "char any insulation" in hot


@pytest.mark.parametrize("drop_v", [0, -0.5, 12.6, 20, float("nan")])
def test_a_drop_that_cannot_be_is_refused(drop_v):
    with pytest.raises(BenchError, match="were read across G7"):
        bad_joint("G7", supply_v=12.6, current_a=5, drop_v=drop_v)


@pytest.mark.parametrize("current_a", [0, -1, float("nan")])
def test_a_loop_without_current_is_refused(current_a):
    with pytest.raises(BenchError, match="Both must be more than 0"):
        bad_joint("G7", supply_v=12.6, current_a=current_a, drop_v=1)


@pytest.mark.reference("NASA-STD-8739.4, IPC, ABYC, NEC, three vehicle manuals, AC 21-99; seen")
def test_both_schools_are_quoted_with_who_says_it():
    leans = {saying.leans for saying in SAYINGS}
    assert leans == {"crimp", "solder", "both"}
    bodies = " ".join(saying.body for saying in SAYINGS)
    for name in ("NASA-STD-8739.4", "IPC", "ABYC", "NEC 110.14(B)", "AC 21-99", "Vehicle manual"):
        assert name in bodies
    assert all(saying.says and saying.source.words for saying in SAYINGS)
    assert any("solder-tinned strand is prohibited" in saying.says for saying in SAYINGS)
    assert any("soldered mesh, wrap, hook and lap" in saying.says for saying in SAYINGS)


def test_all_agree_on_no_tin_under_a_crimp_and_the_maker_comes_first():
    assert "no tin under a crimp or screw" in COMMON_GROUND
    assert "The vehicle's own instruction comes first" in COMMON_GROUND


def test_the_shops_rule_is_one_of_a_few_and_the_makers_is_the_first():
    assert JOINT_RULES[0].key == MAKER
    assert len({rule.key for rule in JOINT_RULES}) == len(JOINT_RULES)
    assert all(rule.steps for rule in JOINT_RULES)
    assert joint_rule("crimp-solder").steps[0].startswith("Strip")


def test_no_rule_leaves_a_joint_to_solder_alone_or_tins_a_crimp():
    for rule in JOINT_RULES:
        steps = " ".join(rule.steps)
        if "older" in steps:
            assert "hold" in steps  # made fast before any solder
            assert "rosin" in steps
        if rule.key == "crimp":
            assert "untinned" in steps


@pytest.mark.parametrize("word", ["Airbag", "fuel", "heat gun", "flux", "negative off"])
def test_the_cautions_name_what_hurts(word):
    assert any(word in caution.text for caution in CAUTIONS)


def test_an_unknown_rule_is_refused_with_the_known_ones():
    with pytest.raises(BenchError, match="crimp-solder"):
        joint_rule("tape")
