"""The gate of a job: its standing as the work room asks for it."""

from collections.abc import Iterator

from witnessmark.metrology import Verdict
from witnessmark.record.core import JobRecord, release_subject
from witnessmark.record.models import Step, StoredVerdict
from witnessmark.work import digest as forms
from witnessmark.work.gate import CheckStanding, Gate, JobStanding, ReleaseKind, StepStanding, gate
from witnessmark.work.marks import MarkState, mark_state
from witnessmark.work.steps import Phase


def gate_of(record: JobRecord, kind: str) -> Gate:
    """Return the gate of a job for one kind of release, with every reason why not."""
    return gate(standing_of(record), ReleaseKind(kind))


def standing_of(record: JobRecord) -> JobStanding:
    """Return everything that the gate asks of a job."""
    return JobStanding(
        steps=tuple(_step(record, step) for step in record.steps),
        ledger=record.balance,
        complained=record.needs_cause,
        cause=None if record.cause is None else record.cause_state,
        correction="" if record.correction is None else record.correction.words,
        advice=record.advice,
        said=frozenset(row.key for row in record.said),
        road_test_release=release_state(record, ReleaseKind.ROAD_TEST.value),
    )


def release_state(record: JobRecord, kind: str) -> MarkState | None:
    """Return the state of a release that was signed; None where none was.

    A road test release breaks when work goes on after it; that it was given stays on record.
    """
    marks = record.marks_on(release_subject(record.job, kind))
    if not marks:
        return None
    return mark_state(marks, forms.digest(record.release_form(kind)))


def _step(record: JobRecord, step: Step) -> StepStanding:
    spec = record.spec(step)
    marks = record.mark_rows(step.pk)
    return StepStanding(
        id=str(step.pk),
        key=step.key,
        number=step.position,
        title=step.title,
        kind=spec.kind,
        needs=spec.needs,
        is_hold=spec.is_hold,
        finished=record.is_finished(step),
        mark=record.states[step.pk],
        accepted=marks[-1].accepted if marks else "",
        checks=tuple(_checks(record, step)),
    )


def _checks(record: JobRecord, step: Step) -> Iterator[CheckStanding]:
    """Give each as-left check: those the step asks for, and those that Fit derived."""
    verdicts: dict[tuple[str, str], StoredVerdict] = {
        (row.key, row.position): row
        for row in record.of_step(record.verdicts, step)
        if row.is_standing and row.phase == Phase.AS_LEFT.value
    }
    for one in record.spec(step).as_left:
        for position in one.places:
            found = verdicts.pop((one.key, position), None)
            yield CheckStanding(
                what=one.named(position),
                limit=one.limit_text,
                shown="" if found is None else found.value,
                word=None if found is None else Verdict(found.word),
            )
    for (key, position), row in verdicts.items():
        yield CheckStanding(
            what=f"{key} {position}".strip(),
            limit=row.limit,
            shown=row.value,
            word=Verdict(row.word),
        )
