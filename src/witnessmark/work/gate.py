"""The gate: every reason why a vehicle cannot leave, each with the place to mend it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from witnessmark.metrology import Verdict
from witnessmark.work.ledger import Balance
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Advice, StepKind


class ReleaseKind(StrEnum):
    """Where a vehicle is released to."""

    ROAD_TEST = "road test"
    OWNER = "owner"


class Place(StrEnum):
    """Where on the job something is mended."""

    STEP = "step"
    LEDGER = "ledger"
    CAUSE = "cause"
    CORRECTION = "correction"
    RELEASE = "release"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckStanding:
    """One as-left check of a step as it stands; `word` is None where nothing was read."""

    what: str  # "Pump bolt 3"
    limit: str
    shown: str = ""  # "25 N·m"
    word: Verdict | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepStanding:
    """A step of the job as it stands at the gate."""

    id: str
    key: str
    number: int
    title: str
    kind: StepKind = StepKind.WORK
    needs: tuple[str, ...] = ()
    is_hold: bool = False
    finished: bool = False
    mark: MarkState = MarkState.NONE
    accepted: str = ""  # why 'too close to call' was accepted when it was marked
    checks: tuple[CheckStanding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStanding:
    """Everything that the gate asks of a job."""

    steps: tuple[StepStanding, ...]
    ledger: Balance
    complained: bool = True  # a training unit may come without a complaint, and needs no cause
    cause: MarkState | None = None  # None where no cause was named
    correction: str = ""
    advice: tuple[Advice, ...] = ()
    said: frozenset[str] = frozenset()  # keys of the advice that was read out
    road_test_release: MarkState | None = None  # of a release that was signed


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One thing that holds the gate shut: what, where, and what mends it."""

    what: str
    where: Place
    subject: str = ""  # id of the step, ledger line or cause
    number: int = 0  # of the step, as shown
    mend: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateRow:
    """One join of the gate: what was asked, what proves it, and what is missing."""

    key: str  # ledger, marks, checks, steps, cause, correction, said, road test
    title: str
    asked: str
    shown: str
    reasons: tuple[Reason, ...] = ()
    is_broken: bool = False  # a mark in it is broken
    verdict: str = ""  # within, where every check of the row is

    @property
    def is_open(self) -> bool:
        """Return whether nothing is missing in this row."""
        return not self.reasons


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """The gate for one kind of release."""

    kind: ReleaseKind
    rows: tuple[GateRow, ...]

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Return every reason why not, in the order of the rows."""
        return tuple(reason for row in self.rows for reason in row.reasons)

    @property
    def is_open(self) -> bool:
        """Return whether the vehicle can be released."""
        return not self.reasons


def gate(job: JobStanding, kind: ReleaseKind) -> Gate:
    """Return the gate of a job for one kind of release.

    Parameters
    ----------
    job
        The job as it stands.
    kind
        For a road test: the vehicle must be safe to move. To the owner: everything.

    Returns
    -------
    Gate
        One row for each thing that is asked, with every reason why not.

    Notes
    -----
    The release for a road test leaves out the road test itself, the steps that wait for it, the
    correction, which the road test proves, and what is said at hand-back.
    """
    steps = job.steps if kind is ReleaseKind.OWNER else _before_road_test(job.steps)
    rows = [_ledger_row(job.ledger), _steps_row(steps), _marks_row(steps), _checks_row(steps)]
    if kind is ReleaseKind.OWNER:
        if job.complained or job.cause is not None:
            rows += [_cause_row(job.cause), _correction_row(job.correction)]
        rows += [_said_row(job.advice, job.said)] if job.advice else []
        if any(step.kind is StepKind.ROAD_TEST for step in steps):
            rows += [_road_test_row(job.road_test_release)]
    return Gate(kind=kind, rows=tuple(rows))


def _before_road_test(steps: Sequence[StepStanding]) -> tuple[StepStanding, ...]:
    after = {step.key for step in steps if step.kind is StepKind.ROAD_TEST}
    while more := {
        step.key for step in steps if step.key not in after and after.intersection(step.needs)
    }:
        after |= more
    return tuple(step for step in steps if step.key not in after)


def _counted(count: int, one: str, more: str = "") -> str:
    return f"{count} {one if count == 1 else more or one + 's'}"


def _ledger_row(ledger: Balance) -> GateRow:
    return GateRow(
        key="ledger",
        title="Ledger balanced",
        asked="everything off is back on, new or undone",
        shown=f"{ledger.off_count} off, {ledger.back_count} back on",
        reasons=tuple(
            Reason(
                what=f"{one.line.what}, {one.still_off_in_words}: still {one.line.how}, "
                f"{one.line.place}.",
                where=Place.LEDGER,
                subject=one.line.id,
                mend="Put right",
            )
            for one in ledger.still_off
        ),
    )


def _of_step(step: StepStanding, what: str, mend: str) -> Reason:
    return Reason(what=what, where=Place.STEP, subject=step.id, number=step.number, mend=mend)


def _steps_row(steps: Sequence[StepStanding]) -> GateRow:
    # a crew that called the teacher is done with its step; the mark is asked for below
    open_steps = [one for one in steps if not one.finished and one.mark is not MarkState.CALLED]
    reasons = [
        _of_step(step, f"Step {step.number}, {step.title}: not finished.", "Finish it")
        for step in open_steps
    ]
    if not steps:
        reasons = [Reason(what="No steps.", where=Place.STEP, mend="Choose a procedure")]
    return GateRow(
        key="steps",
        title="Steps finished",
        asked="every step of the job",
        shown=f"{len(steps) - len(open_steps)} of {len(steps)} finished",
        reasons=tuple(reasons),
    )


def _marks_row(steps: Sequence[StepStanding]) -> GateRow:
    # a mark on a step without a hold binds as well: once it is made, it must stay whole
    asked = [step for step in steps if step.is_hold or step.mark is MarkState.BROKEN]
    reasons = []
    for step in asked:
        if step.mark is MarkState.BROKEN:
            what = f"Step {step.number}, {step.title}: the mark is broken."
            reasons.append(_of_step(step, what, "See it again"))
        elif not step.mark.is_seen:
            what = f"Step {step.number}, {step.title}: not marked yet."
            reasons.append(_of_step(step, what, "Call the teacher"))
    whole = sum(step.mark.is_seen for step in asked)
    return GateRow(
        key="marks",
        title="Marks unbroken",
        asked=_counted(len(asked), "hold point"),
        shown=f"{whole} of {len(asked)} whole",
        reasons=tuple(reasons),
        is_broken=any(step.mark is MarkState.BROKEN for step in asked),
    )


def _checks_row(steps: Sequence[StepStanding]) -> GateRow:
    checks = [(step, check) for step in steps for check in step.checks]
    reasons = [reason for step, check in checks for reason in _check_reasons(step, check)]
    within = sum(check.word is Verdict.WITHIN for _, check in checks)
    accepted = sum(
        check.word is Verdict.TOO_CLOSE and not list(_check_reasons(step, check))
        for step, check in checks
    )
    shown = f"{within} of {len(checks)} within"
    if accepted:
        shown += f", {accepted} too close to call and accepted"
    return GateRow(
        key="checks",
        title="Checks within",
        asked="as left, each against its limit",
        shown=shown,
        reasons=tuple(reasons),
        verdict=Verdict.WITHIN if checks and within == len(checks) else "",
    )


def _check_reasons(step: StepStanding, check: CheckStanding) -> Iterator[Reason]:
    where = f"Step {step.number}, {check.what}"
    if check.word is None:
        yield _of_step(step, f"{where}: not read, limit {check.limit}.", "Read it")
    elif check.word is Verdict.OUTSIDE:
        what = f"{where}: {check.shown} is outside, limit {check.limit}."
        yield _of_step(step, what, "Mend and read again")
    elif check.word is Verdict.TOO_CLOSE and not (step.accepted and step.mark.is_seen):
        what = (
            f"{where}: {check.shown} is too close to call, limit {check.limit}, "
            "and not accepted with a reason."
        )
        yield _of_step(step, what, "Read again")


def _cause_row(cause: MarkState | None) -> GateRow:
    reasons: tuple[Reason, ...] = ()
    if cause is None:
        reasons = (Reason(what="No cause is named.", where=Place.CAUSE, mend="Name the cause"),)
    elif cause is MarkState.BROKEN:
        reasons = (
            Reason(what="The mark on the cause is broken.", where=Place.CAUSE, mend="See it again"),
        )
    elif not cause.is_seen:
        reasons = (
            Reason(what="The cause is not marked yet.", where=Place.CAUSE, mend="Call the teacher"),
        )
    return GateRow(
        key="cause",
        title="Cause proved",
        asked="named, and marked by the teacher",
        shown=("not named" if cause is None else "marked" if cause.is_seen else cause.word),
        reasons=reasons,
        is_broken=cause is MarkState.BROKEN,
    )


def _correction_row(correction: str) -> GateRow:
    written = bool(correction.strip())
    missing = Reason(
        what="The correction is not written.", where=Place.CORRECTION, mend="Write what was done"
    )
    return GateRow(
        key="correction",
        title="Correction written",
        asked="what was done, and how it was verified",
        shown="written" if written else "not written",
        reasons=() if written else (missing,),
    )


def _said_row(advice: Sequence[Advice], said: frozenset[str]) -> GateRow:
    reasons = tuple(
        Reason(what=f"Not said: {one.text}", where=Place.RELEASE, mend="Tell the owner")
        for one in advice
        if one.key not in said
    )
    return GateRow(
        key="said",
        title="Cautions said",
        asked="told to the owner at hand-back",
        shown=f"{len(advice) - len(reasons)} of {len(advice)} said",
        reasons=reasons,
    )


def _road_test_row(release: MarkState | None) -> GateRow:
    reasons: tuple[Reason, ...] = ()
    if release is None or not (release.is_seen or release is MarkState.BROKEN):
        what = "The vehicle was not released for its road test."
        reasons = (Reason(what=what, where=Place.RELEASE, mend="Release it for road test first"),)
    return GateRow(
        key="road test",
        title="Road test released",
        asked="before it was driven",
        shown="not released" if reasons else "released",
        reasons=reasons,
    )
