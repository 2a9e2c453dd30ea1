from dataclasses import replace
from decimal import Decimal

import pytest

from witnessmark.metrology import Verdict
from witnessmark.work.gate import (
    CheckStanding,
    JobStanding,
    Place,
    ReleaseKind,
    StepStanding,
    gate,
)
from witnessmark.work.ledger import Line, Movement, balance
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Advice, Closing, StepKind

WITHIN = CheckStanding(what="Torque", limit="11 to 13 N·m", shown="12.1 N·m", word=Verdict.WITHIN)
FIT = StepStanding(
    id="s1",
    key="fit",
    number=1,
    title="Fit strap",
    is_hold=True,
    finished=True,
    mark=MarkState.WHOLE,
    checks=(WITHIN,),
)
DRIVE = StepStanding(
    id="s2",
    key="drive",
    number=2,
    title="Road test",
    kind=StepKind.ROAD_TEST,
    needs=("fit",),
    finished=True,
)
AFTER = StepStanding(
    id="s3", key="after", number=3, title="Wheel nuts again", needs=("drive",), finished=True
)
STRAP = Line(id="l1", what="Strap", quantity=Decimal(1), place="Bin B")
BACK = Movement(id="m1", line="l1", kind=Closing.BACK_ON, quantity=Decimal(1))
JOB = JobStanding(
    steps=(FIT, DRIVE, AFTER),
    ledger=balance([STRAP], [BACK]),
    cause=MarkState.WHOLE,
    correction="Joint cleaned, strap fitted, 0.02 V across it.",
    advice=(Advice(key="recheck", text="Bring it back at 50 km."),),
    said=frozenset({"recheck"}),
    road_test_release=MarkState.WHOLE,
)


def first(**changes) -> JobStanding:
    return replace(JOB, steps=(replace(FIT, **changes), DRIVE, AFTER))


def whys(job, kind=ReleaseKind.OWNER):
    return [one.what for one in gate(job, kind).reasons]


def test_a_job_with_nothing_left_opens_the_gate():
    opened = gate(JOB, ReleaseKind.OWNER)

    assert opened.is_open
    assert [row.key for row in opened.rows] == [
        "ledger",
        "steps",
        "marks",
        "checks",
        "cause",
        "correction",
        "said",
        "road test",
    ]
    assert opened.rows[0].shown == "1 off, 1 back on"


def close(word, **more):
    return replace(WITHIN, word=word, **more)


SHUT = {
    "a broken mark": (
        first(mark=MarkState.BROKEN),
        "Step 1, Fit strap: the mark is broken.",
        Place.STEP,
    ),
    "a hold not marked": (
        first(mark=MarkState.HOLD),
        "Step 1, Fit strap: not marked yet.",
        Place.STEP,
    ),
    "a hold where the teacher is called": (
        first(mark=MarkState.CALLED),
        "Step 1, Fit strap: not marked yet.",
        Place.STEP,
    ),
    "a broken mark on a step without a hold": (
        first(is_hold=False, mark=MarkState.BROKEN),
        "Step 1, Fit strap: the mark is broken.",
        Place.STEP,
    ),
    "a step not finished": (
        first(finished=False),
        "Step 1, Fit strap: not finished.",
        Place.STEP,
    ),
    "a check that was not read": (
        first(checks=(close(None),)),
        "Step 1, Torque: not read, limit 11 to 13 N·m.",
        Place.STEP,
    ),
    "a check outside": (
        first(checks=(close(Verdict.OUTSIDE, shown="9 N·m"),)),
        "Step 1, Torque: 9 N·m is outside, limit 11 to 13 N·m.",
        Place.STEP,
    ),
    "a check too close to call": (
        first(checks=(close(Verdict.TOO_CLOSE),)),
        "Step 1, Torque: 12.1 N·m is too close to call, limit 11 to 13 N·m, "
        "and not accepted with a reason.",
        Place.STEP,
    ),
    "something still off": (
        replace(JOB, ledger=balance([STRAP], [])),
        "Strap, 1: still taken off, Bin B.",
        Place.LEDGER,
    ),
    "no cause": (replace(JOB, cause=None), "No cause is named.", Place.CAUSE),
    "a cause not marked": (
        replace(JOB, cause=MarkState.HOLD),
        "The cause is not marked yet.",
        Place.CAUSE,
    ),
    "a cause whose mark broke": (
        replace(JOB, cause=MarkState.BROKEN),
        "The mark on the cause is broken.",
        Place.CAUSE,
    ),
    "no correction": (
        replace(JOB, correction="  "),
        "The correction is not written.",
        Place.CORRECTION,
    ),
    "advice not said": (
        replace(JOB, said=frozenset()),
        "Not said: Bring it back at 50 km.",
        Place.RELEASE,
    ),
    "driven without a release": (
        replace(JOB, road_test_release=None),
        "The vehicle was not released for its road test.",
        Place.RELEASE,
    ),
    "no steps at all": (replace(JOB, steps=()), "No steps.", Place.STEP),
}


@pytest.mark.parametrize(("job", "why", "where"), SHUT.values(), ids=SHUT.keys())
def test_each_thing_alone_shuts_the_gate_and_says_where_to_mend_it(job, why, where):
    shut = gate(job, ReleaseKind.OWNER)

    assert not shut.is_open
    assert why in [one.what for one in shut.reasons]
    [reason] = [one for one in shut.reasons if one.what == why]
    assert reason.where is where
    assert reason.mend


def test_every_reason_is_given_and_not_only_the_first():
    job = replace(first(mark=MarkState.BROKEN, finished=False), cause=None, correction="")

    assert len(whys(job)) == 4


def test_too_close_to_call_passes_only_with_a_reason_under_a_mark_that_stands():
    doubt = {"checks": (close(Verdict.TOO_CLOSE),)}

    assert whys(first(**doubt, accepted="Checked with the second wrench.")) == []
    assert whys(first(**doubt, accepted="Checked.", mark=MarkState.BROKEN)) != []


def test_outside_is_never_accepted():
    job = first(checks=(close(Verdict.OUTSIDE),), accepted="It will do.")

    assert len(whys(job)) == 1


def test_marked_again_is_as_good_as_whole():
    assert whys(first(mark=MarkState.AGAIN)) == []


def test_the_road_test_gate_leaves_out_the_road_test_and_what_waits_for_it():
    job = replace(
        JOB,
        steps=(FIT, replace(DRIVE, finished=False), replace(AFTER, finished=False)),
        correction="",
        said=frozenset(),
        cause=None,
        road_test_release=None,
    )

    assert whys(job, ReleaseKind.ROAD_TEST) == []
    assert len(whys(job)) == 6


@pytest.mark.parametrize("name", ["a broken mark", "a check outside", "something still off"])
def test_the_road_test_gate_is_shut_by_what_is_not_safe(name):
    assert not gate(SHUT[name][0], ReleaseKind.ROAD_TEST).is_open


def test_a_job_without_a_road_test_asks_for_no_release_before():
    job = replace(JOB, steps=(FIT,), road_test_release=None)

    assert "road test" not in [row.key for row in gate(job, ReleaseKind.OWNER).rows]


def test_a_training_unit_without_a_complaint_needs_no_cause_and_no_correction():
    bare = replace(JOB, cause=None, correction="")

    assert len(whys(bare)) == 2
    assert whys(replace(bare, complained=False)) == []


def test_a_row_says_whether_a_mark_in_it_is_broken():
    broken = gate(replace(first(mark=MarkState.BROKEN), cause=MarkState.BROKEN), ReleaseKind.OWNER)

    assert [row.key for row in broken.rows if row.is_broken] == ["marks", "cause"]
    assert not any(row.is_broken for row in gate(JOB, ReleaseKind.OWNER).rows)


def test_a_step_whose_crew_called_the_teacher_is_named_once():
    called = first(finished=False, mark=MarkState.CALLED)

    assert whys(called) == ["Step 1, Fit strap: not marked yet."]
