"""A step with its evidence, as the tests of this room see it."""

from dataclasses import replace
from datetime import UTC, datetime

from witnessmark.work.evidence import (
    CauseSeen,
    InstrumentSeen,
    MarkSeen,
    MovedSeen,
    NoteSeen,
    OffSeen,
    PhotoSeen,
    ReadingSeen,
    ReleaseSeen,
    StepSeen,
    SuspectSeen,
    TickSeen,
    VerdictSeen,
)
from witnessmark.work.steps import Closing, Hold, Measurement, PhotoNeed, Step

WRENCH = InstrumentSeen(id="wrench-2", name="Wrench 2", resolution="1 N·m")
STEP = Step(
    key="pump-on",
    title="Fit pump and gasket",
    minutes=30,
    hold=Hold.HOLD,
    measurements=(
        Measurement(
            key="bolt",
            what="Bolt",
            unit="N·m",
            limit_text="24 to 26 N·m",
            source="invented for the demo",
            positions=("1", "2", "3"),
        ),
    ),
    photos=(PhotoNeed(key="bolts", what="Pump bolts"),),
)


FAN_BOLT, BAG = "31" * 32, "32" * 32  # salted digests of typed words
TEXTS = {FAN_BOLT: "Fan bolt", BAG: "Bag 31"}


def at(hour: int, minute: int) -> datetime:
    return datetime(2026, 11, 24, hour, minute, tzinfo=UTC)


def reading(id="r1", position="3", text="25", when=None, **more) -> ReadingSeen:
    return ReadingSeen(
        id=id,
        who="person-tam",
        done_at=when or at(10, 40),
        key="bolt",
        position=position,
        text=text,
        unit="N·m",
        instrument=WRENCH,
        **more,
    )


def verdict(id="v1", position="3", value="25 N·m", word="within", readings=("r1",)) -> VerdictSeen:
    return VerdictSeen(
        id=id,
        key="bolt",
        position=position,
        value=value,
        limit="24 to 26 N·m",
        source="invented for the demo",
        word=word,
        readings=readings,
    )


SEEN = StepSeen(
    id="step-4",
    number=4,
    step=STEP,
    readings=(reading(),),
    photos=(
        PhotoSeen(id="p1", who="person-tam", done_at=at(10, 44), digest="aa" * 32, key="bolts"),
    ),
    verdicts=(verdict(),),
    off=(
        OffSeen(
            id="l1",
            who="person-wren",
            done_at=at(10, 20),
            what_digest=FAN_BOLT,
            quantity="2",
            place_digest=BAG,
        ),
    ),
)


def corrected(seen: StepSeen = SEEN) -> StepSeen:
    """The same step after bolt 3 was corrected to 21 N·m."""
    return replace(
        seen,
        readings=(
            *seen.readings,
            reading(id="r2", text="21", when=at(10, 52), replaces="r1", reason_digest="bb" * 32),
        ),
        verdicts=(
            *seen.verdicts,
            verdict(id="v2", value="21 N·m", word="outside", readings=("r2",)),
        ),
    )


NOTE = NoteSeen(id="n1", who="person-tam", done_at=at(11, 0), digest="cc" * 32)
TICK = TickSeen(id="t1", who="person-tam", done_at=at(9, 55), caution="COOLANT")
BACK = MovedSeen(
    id="m1",
    who="person-tam",
    done_at=at(11, 0),
    line="l1",
    what_digest=FAN_BOLT,
    kind=Closing.BACK_ON,
    quantity="2",
)
NOT_BACK = replace(BACK, id="m2", done_at=at(11, 9), replaces="m1", kind="taken back")
TOUCHED = {
    "a reading added": replace(SEEN, readings=(*SEEN.readings, reading(id="r5", position="1"))),
    "a reading corrected": corrected(),
    "a reading's text": replace(SEEN, readings=(reading(text="25.0"),)),
    "a reading's unit": replace(SEEN, readings=(replace(reading(), unit="ft·lbf"),)),
    "a reading's instrument": replace(SEEN, readings=(replace(reading(), instrument=None),)),
    "a photo gone": replace(SEEN, photos=()),
    "a photo's file": replace(SEEN, photos=(replace(SEEN.photos[0], digest="ab" * 32),)),
    "a note added": replace(SEEN, notes=(NOTE,)),
    "a caution ticked": replace(SEEN, ticks=(TICK,)),
    "a verdict": replace(SEEN, verdicts=(replace(SEEN.verdicts[0], word="outside"),)),
    "a chance": replace(SEEN, verdicts=(replace(SEEN.verdicts[0], chance="96%"),)),
    "the place of a part": replace(SEEN, off=(replace(SEEN.off[0], place_digest="34" * 32),)),
    "what was taken off": replace(SEEN, off=(replace(SEEN.off[0], what_digest="35" * 32),)),
    "a look's words": replace(SEEN, readings=(replace(reading(), what_digest="36" * 32),)),
    "what a look showed": replace(SEEN, readings=(replace(reading(), seen_digest="37" * 32),)),
    "a part put back": replace(SEEN, moved=(BACK,)),
    "a part put back and taken back": replace(SEEN, moved=(BACK, NOT_BACK)),
    "the step's title": replace(SEEN, step=replace(STEP, title="Fit pump")),
    "the step's hold": replace(SEEN, step=replace(STEP, hold=Hold.WITNESS)),
    "the limit": replace(
        SEEN,
        step=replace(
            STEP, measurements=(replace(STEP.measurements[0], limit_text="20 to 26 N·m"),)
        ),
    ),
    "the source of the limit": replace(
        SEEN,
        step=replace(STEP, measurements=(replace(STEP.measurements[0], source="page 12"),)),
    ),
}


CAUSE = CauseSeen(
    id="cause-1",
    how="find",
    statement_digest="dd" * 32,
    complaints=("ee" * 32,),
    suspect="G7:high",
    belief=(SuspectSeen(suspect="G7, bad joint", share="97%"),),
    sheet_digest="ff" * 32,
    who="person-tam",
    done_at=at(10, 30),
    readings=(reading(),),
)
RELEASE = ReleaseSeen(
    id="release-1",
    kind="owner",
    job="J-114",
    vehicle="vehicle-9",
    complaints=("ee" * 32,),
    marks=(MarkSeen(subject="Step 4", subject_id="step-4", state="whole", digest="aa" * 32),),
)
