from dataclasses import replace

import pytest

from witnessmark.work.cautions import (
    CAUTIONS,
    MOST_SHOWN,
    OPERATIONS,
    cautions_for,
    cautions_shown,
    teacher_stays,
)
from witnessmark.work.check import Shop, check_procedure
from witnessmark.work.steps import (
    Closing,
    Hold,
    How,
    Measurement,
    OffItem,
    OnItem,
    PhotoNeed,
    Procedure,
    Step,
    StepKind,
)

ISOLATE = Step(
    key="isolate",
    title="Isolate battery",
    minutes=15,
    operations=("battery",),
    cautions=("BATT",),
    off=(
        OffItem(key="lead", what="Battery lead", how=How.DISCONNECTED),
        OffItem(key="strap", what="Ground strap"),
        OffItem(key="washer", what="Star washer", one_use=True),
    ),
)
CLEAN = Step(
    key="clean",
    title="Clean stud and eye",
    minutes=20,
    hold=Hold.HOLD,
    needs=("isolate",),
    photos=(PhotoNeed(key="bare", what="Bare metal"),),
)
FIT = Step(
    key="fit",
    title="Fit strap and lead",
    minutes=10,
    needs=("clean",),
    covers=("clean",),
    operations=("battery",),
    cautions=("BATT",),
    on=(
        OnItem(key="lead"),
        OnItem(key="strap"),
        OnItem(key="washer", kind=Closing.NEW_FITTED),
    ),
    measurements=(
        Measurement(
            key="torque",
            what="Torque of the stud nut",
            unit="N·m",
            limit_text="11 to 13 N·m",
            source="invented for the demo",
        ),
    ),
)
PROVE = Step(key="prove", title="Prove", minutes=10, kind=StepKind.PROVE, needs=("fit",))
GOOD = Procedure(
    key="joint",
    title="Ground joint",
    source="invented for the demo",
    steps=(ISOLATE, CLEAN, FIT, PROVE),
)


def having(*changed: Step, **more) -> Procedure:
    """The good procedure with some steps changed, by key."""
    by_key = {step.key: step for step in changed}
    steps = [by_key.pop(step.key, step) for step in GOOD.steps]
    return replace(GOOD, steps=(*steps, *by_key.values()), **more)


def found(procedure, shop=None):
    return [(one.rule, one.step, one.sentence) for one in check_procedure(procedure, shop)]


def test_a_good_procedure_has_nothing_to_mend():
    assert found(GOOD, Shop(longest_period_min=60, skills=(), permits=())) == []


def without(*keys: str) -> Step:
    return replace(FIT, on=tuple(one for one in FIT.on if one.key not in keys))


PLANTED = {
    "a lead that never goes back": (
        having(without("lead")),
        ("never closed", "isolate", "Battery lead is disconnected in step 1 and never put back."),
    ),
    "a one-use part without a new one": (
        having(without("washer")),
        (
            "never closed",
            "isolate",
            "Star washer is a one-use part, taken off in step 1, and no new one is listed.",
        ),
    ),
    "a one-use part that goes back on": (
        having(replace(FIT, on=(*without("washer").on, OnItem(key="washer")))),
        (
            "one-use part",
            "fit",
            "Star washer is a one-use part and goes back on; no new one is listed.",
        ),
    ),
    "something put back that was never off": (
        having(replace(FIT, on=(*FIT.on, OnItem(key="fan")))),
        ("never off", "fit", "“fan” is put back and was never taken off."),
    ),
    "something put back before it is off": (
        having(replace(FIT, needs=(), covers=())),
        (
            "closed before off",
            "fit",
            "Battery lead is put right in step 3, which does not wait for step 1, "
            "where it is disconnected.",
        ),
    ),
    "a wrong way back": (
        having(replace(FIT, on=(*without("strap").on, OnItem(key="strap", kind=Closing.UNDONE)))),
        (
            "wrong way back",
            "fit",
            "Ground strap was taken off and is written as undone, not as back on or new fitted.",
        ),
    ),
    "covered before it is seen": (
        having(replace(FIT, needs=("isolate",))),
        (
            "covered before seen",
            "fit",
            "Fit strap and lead covers what is to be seen in step 2, and does not wait for it.",
        ),
    ),
    "covered and nothing seen": (
        having(replace(CLEAN, hold=Hold.NONE, photos=())),
        (
            "covered, nothing seen",
            "clean",
            "Fit strap and lead covers step 2, where nothing is read, photographed or held.",
        ),
    ),
    "two steps that wait for each other": (
        having(replace(ISOLATE, needs=("fit",))),
        ("cycle", "isolate", "Step 1, step 2, step 3 wait for each other: none can begin."),
    ),
    "a step that waits for itself": (
        having(replace(PROVE, needs=("prove",))),
        ("cycle", "prove", "Prove waits for itself."),
    ),
    "an unknown need": (
        having(replace(PROVE, needs=("fitt",))),
        (
            "unknown needs",
            "prove",
            "Prove needs “fitt”, and no step has that key. Perhaps “fit” is meant.",
        ),
    ),
    "no limit": (
        having(replace(FIT, measurements=(replace(FIT.measurements[0], limit_text=""),))),
        ("no limit", "fit", "Torque of the stud nut has no limit."),
    ),
    "no source": (
        having(replace(FIT, measurements=(replace(FIT.measurements[0], source=" "),))),
        ("no source", "fit", "Torque of the stud nut 11 to 13 N·m has no source."),
    ),
    "a hazard without its caution": (
        having(replace(CLEAN, operations=("brakes",))),
        (
            "hazard without caution",
            "clean",
            "Clean stud and eye is work on brakes, clutch, without caution DUST.",
        ),
    ),
    "an unknown operation": (
        having(replace(CLEAN, operations=("break",))),
        (
            "unknown operation",
            "clean",
            "“break” is no operation with a known caution. Perhaps “brakes” is meant.",
        ),
    ),
    "an unknown caution": (
        having(replace(CLEAN, cautions=("DUSTY",))),
        ("unknown caution", "clean", "There is no caution “DUSTY”."),
    ),
    "too many cautions": (
        having(replace(CLEAN, cautions=("DUST", "JACK", "WHEEL"))),
        (
            "too many cautions",
            "clean",
            "Clean stud and eye lists 3 cautions and 2 are read at once. Make two steps of it.",
        ),
    ),
}


@pytest.mark.parametrize(("procedure", "problem"), PLANTED.values(), ids=PLANTED.keys())
def test_a_planted_mistake_is_found_and_named(procedure, problem):
    assert problem in found(procedure)


def test_a_part_that_comes_back_in_part_is_found():
    bolts = replace(ISOLATE, off=(*ISOLATE.off, OffItem(key="bolt", what="Bolt", quantity="6")))
    four = replace(FIT, on=(*FIT.on, OnItem(key="bolt", quantity="4")))
    seven = replace(FIT, on=(*FIT.on, OnItem(key="bolt", quantity="7")))

    assert (
        "never closed",
        "fit",
        "2 of Bolt is never put right: 6 came off.",
    ) in found(having(bolts, four))
    assert ("more back than off", "fit") in [one[:2] for one in found(having(bolts, seven))]


def test_two_partial_returns_close_a_line():
    bolts = replace(ISOLATE, off=(*ISOLATE.off, OffItem(key="bolt", what="Bolt", quantity="6")))
    some = replace(FIT, on=(*FIT.on, OnItem(key="bolt", quantity="4")))
    rest = replace(PROVE, on=(OnItem(key="bolt"),))

    assert found(having(bolts, some, rest)) == []


def test_a_step_longer_than_the_longest_period_counts_its_hold():
    long = having(replace(CLEAN, minutes=58))

    assert found(long, Shop(longest_period_min=63)) == []
    assert found(long, Shop(longest_period_min=62)) == [
        (
            "longer than a period",
            "clean",
            "Clean stud and eye takes 63 min with the teacher's 5 min; "
            "the longest period has 62 min.",
        )
    ]


def test_what_nobody_can_or_may_is_found_only_when_the_shop_is_known():
    asks = having(replace(CLEAN, skills=("solder",), permits=("grinder",)))

    assert found(asks) == []
    assert [one[0] for one in found(asks, Shop(skills=("solder",), permits=()))] == [
        "permit nobody has"
    ]
    assert [one[0] for one in found(asks, Shop(skills=(), permits=("grinder",)))] == [
        "skill nobody has"
    ]


def test_a_vehicle_is_not_driven_with_things_off():
    drive = Step(
        key="drive", title="Road test", minutes=20, kind=StepKind.ROAD_TEST, needs=("isolate",)
    )

    assert "road test before closed" in [one[0] for one in found(having(drive))]
    after = replace(drive, needs=("prove",))
    assert found(having(after)) == []


def test_two_cautions_at_most_are_shown_the_gravest_first():
    shown = cautions_shown(["WHEEL", "DUST", "SPRING", "JACK"])

    assert [one.id for one in shown] == ["SPRING", "JACK"]
    assert len(shown) == MOST_SHOWN


def test_every_operation_calls_for_a_caution_with_text_and_source():
    assert {id for ids in OPERATIONS.values() for id in ids} == set(CAUTIONS)
    assert all(one.text and one.source and one.when for one in CAUTIONS.values())


@pytest.mark.parametrize("id", ["FUEL", "SRS", "HV", "SPRING"])
def test_the_teacher_stays_with_what_can_kill_at_once(id):
    assert teacher_stays([id])


def test_no_step_lists_a_caution_twice():
    assert len(cautions_for(["brakes", "clutch"])) == 1
