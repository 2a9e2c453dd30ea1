"""A whole repair: wire and fuse together, the answer first."""

import pytest

from witnessmark.errors import BenchError
from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.choosing import Load
from witnessmark.wiring.drop import drop_limits
from witnessmark.wiring.fuse_plan import FuseAsked, plan_fuse
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.joints import joint_rule
from witnessmark.wiring.protection import Guard
from witnessmark.wiring.repair import RepairAsked, plan_repair
from witnessmark.wiring.sizes import awg, metric
from witnessmark.wiring.sizing import Run


def asked(run=(), **more):
    known = {
        "current_a": 8.0,
        "length_m": 5.0,
        "limits": drop_limits("accessory"),
        "cover": insulation("pvc-105"),
    }
    return RepairAsked(run=Run(**{**known, **dict(run)}), **more)


def test_the_answer_names_wire_and_fuse_and_both_pass():
    found = plan_repair(asked())
    assert found.sentence == "Fit 2.5 mm² behind a fuse of 10 A."
    assert found.holds
    assert found.protection.guard is Guard.PROTECTS
    assert [check.name for check in found.row.checks] == ["Drop", "Current", "Fuse"]


def test_a_hot_full_loom_asks_for_more_copper_behind_the_same_fuse():
    place = Place(words="in the engine space", temperature_c=50, wires=8)
    cool = plan_repair(asked({"length_m": 1.0}))
    hot = plan_repair(asked({"length_m": 1.0, "place": place}))
    assert cool.fuse == hot.fuse
    assert hot.row.size.area_mm2 > cool.row.size.area_mm2


def test_a_fuse_that_is_there_and_too_small_is_said():
    found = plan_repair(asked(fuse_a=5))
    assert not found.holds
    assert "The fuse of 5 A is too small for 8 A: that asks for 10 A" in found.sentence


def test_a_fuse_that_is_there_and_large_asks_for_a_wire_that_it_protects():
    small = plan_repair(asked({"length_m": 1.0}))
    large = plan_repair(asked({"length_m": 1.0}, fuse_a=30))
    assert large.holds
    assert large.row.size.area_mm2 > small.row.size.area_mm2


def test_a_thinner_wire_behind_the_same_fuse_is_the_one_that_counts():
    found = plan_repair(asked({"current_a": 20.0}, thinnest=metric(0.5)))
    assert found.guarded.size == metric(0.5)
    assert not found.holds
    assert "0.5 mm² is not protected by the fuse of 25 A" in found.sentence


def test_a_thicker_one_does_not_count():
    found = plan_repair(asked(thinnest=metric(10)))
    assert found.guarded.size == found.row.size


def test_a_stalled_motor_is_part_of_the_answer():
    found = plan_repair(asked(stalled_a=18.9))
    assert found.holds
    assert any("does not save the motor" in sentence for sentence in found.sentences)
    assert plan_repair(asked()).stall is None


def test_a_wire_that_was_too_thin_gives_a_no_with_a_question():
    found = plan_repair(asked({"replaces": metric(0.5)}))
    assert not found.holds
    assert "Find out why" in found.sentence


def test_a_load_beyond_every_fuse_gives_a_no():
    found = plan_repair(asked({"current_a": 90.0, "length_m": 1.0}))
    assert not found.holds
    assert found.fuse is None
    assert "No fuse of this kind carries 90 A" in found.sentence


def test_the_note_holds_question_answer_sources_and_joint():
    note = plan_repair(asked(joint=joint_rule("crimp"))).note
    assert note.startswith("Size the repair: Fit 2.5 mm² behind a fuse of 10 A.")
    assert "8 A over 5 m of wire" in note
    assert "a voltage-drop calculator's note" in note
    assert "2.5 mm² loses" in note and "2.5 mm² carries" in note
    assert "1.5 mm²" not in note and len(note.split("\n")) == 4
    assert note.endswith("Joint: Sealed crimp splice.")


def test_the_note_of_a_no_names_no_joint():
    assert "Joint:" not in plan_repair(asked(fuse_a=5)).note


def test_a_size_that_is_not_the_sheets_says_so_and_why():
    same = plan_repair(asked({"replaces": metric(2.5)}, on_sheet=metric(2.5)))
    assert same.differs == "" and plan_repair(asked()).differs == ""
    typed = plan_repair(asked({"replaces": metric(4)}, on_sheet=metric(2.5)))
    assert typed.sentence == "Fit 4 mm² behind a fuse of 10 A."
    assert typed.differs == (
        "The sheet has 2.5 mm² there, and this is 4 mm², because 4 mm² was typed for the wire that "
        "was there. Look at the wire itself before it is cut."
    )
    assert typed.differs in typed.note
    sized = plan_repair(asked(on_sheet=metric(1.5)))
    assert "The sheet has 1.5 mm² there, and this is 2.5 mm². Look" in sized.differs


def test_a_rating_that_is_not_made_is_refused():
    with pytest.raises(BenchError, match="There is no 12 A"):
        plan_repair(asked(fuse_a=12))


def test_another_system_of_sizes_gives_its_own_sizes():
    from witnessmark.wiring.sizes import System

    found = plan_repair(asked({"system": System.AWG, "replaces": awg(14)}))
    assert found.sentence == "Fit 14 AWG behind a fuse of 10 A."


@pytest.mark.reference("'Are fuses 100 % rated': 80 % of the rating for long; seen")
def test_a_fuse_of_several_loads_carries_their_sum_and_the_wire_its_own():
    """Two horns of 5 A on one fuse: 10 A ask for 15 A, the wire to one of them carries 5 A."""
    run = {"current_a": 5.0, "length_m": 1.8}
    alone = plan_repair(asked(run))
    both = plan_repair(asked(run, together_a=10.0, counted=("F9 carries 10 A: both horns.",)))
    assert alone.fuse.rating_a == 7.5
    assert both.fuse.rating_a == 15
    assert "F9 carries 10 A: both horns." in both.sentences
    assert not any("carries 10 A" in words for words in alone.sentences)
    current = next(check for check in both.row.checks if check.name == "Current")
    assert "5 A flow" in current.sentence
    # the wire must bear what the larger fuse lets through
    assert both.row.size.area_mm2 >= alone.row.size.area_mm2


@pytest.mark.reference("'Are fuses 100 % rated': 80 % of the rating for long; seen")
def test_a_fuse_that_is_enough_for_one_load_is_too_small_for_all():
    found = plan_repair(asked({"current_a": 5.0}, together_a=10.0, fuse_a=10))
    assert not found.holds
    assert "The fuse of 10 A is too small for 10 A: that asks for 15 A" in found.sentence


def fuse_asked(**more):
    known = {"load": Load(current_a=10.0), "cover": insulation("pvc-105"), "place": Place()}
    return FuseAsked(**{**known, **more})


@pytest.mark.reference("'Are fuses 100 % rated': 80 % of the rating for long; seen")
def test_a_fuse_is_renewed_without_a_wire_being_sized():
    same = plan_fuse(fuse_asked(fuse_a=20, thinnest=metric(2.5)))
    assert same.holds
    assert same.sentence == "Fit the same fuse again, 20 A: it carries 10 A."
    assert any("protects 2.5 mm²" in words for words in same.sentences)
    chosen = plan_fuse(fuse_asked())
    assert chosen.sentence == "Fit a fuse of 15 A, the smallest that carries 10 A."
    assert chosen.protection is None and chosen.holds


def test_a_fuse_that_does_not_protect_or_does_not_carry_is_a_no():
    thin = plan_fuse(fuse_asked(fuse_a=30, thinnest=metric(0.5)))
    assert not thin.holds and "0.5 mm² is not protected" in thin.sentence
    small = plan_fuse(fuse_asked(fuse_a=10))
    assert not small.holds and "too small for 10 A" in small.sentence
    none = plan_fuse(fuse_asked(load=Load(current_a=90.0)))
    assert not none.holds and "No fuse of this kind" in none.sentence
    stalled = plan_fuse(fuse_asked(fuse_a=30, thinnest=metric(2.5), stalled_a=45.0))
    assert stalled.stall is not None and stalled.stall.sentence in stalled.sentences
