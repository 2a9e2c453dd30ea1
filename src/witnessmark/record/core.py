"""A whole job, fetched once, as the values that the pure rooms know."""

import uuid
from collections.abc import Iterable
from functools import cached_property
from typing import Any
from uuid import UUID

from witnessmark.log.models import Entry
from witnessmark.record.circuits import test_words
from witnessmark.record.library import read_sheet
from witnessmark.record.models import (
    AdviceSaid,
    Call,
    Cause,
    Complaint,
    Correction,
    Evidence,
    Job,
    LedgerLine,
    Mark,
    Movement,
    Note,
    Photo,
    PinnedSheet,
    Reading,
    Release,
    Step,
    StepEvent,
    StoredVerdict,
    TakenOver,
)
from witnessmark.record.pointed import Pointed
from witnessmark.record.specs import spec_of
from witnessmark.record.values import (
    mark_seen,
    mark_value,
    moved_seen,
    movement_value,
    note_seen,
    off_seen,
    photo_seen,
    reading_seen,
    successors,
    tick_seen,
    verdict_seen,
    with_corrections,
)
from witnessmark.work import digest as forms
from witnessmark.work import evidence, ledger
from witnessmark.work.amounts import amount
from witnessmark.work.changes import words_of
from witnessmark.work.marks import Mark as MarkValue
from witnessmark.work.marks import MarkState, mark_state
from witnessmark.work.steps import Advice, How, Phase
from witnessmark.work.steps import Step as StepValue


def load(job: Job, without: frozenset[UUID] = frozenset()) -> "JobRecord":
    """Fetch everything of a job, in a number of queries that does not grow with its size.

    `without` leaves entries out, to see the job as it was before they came.
    """
    return JobRecord(job, without)


def release_subject(job: Job, kind: str) -> UUID:
    """Return the id under which a job's release of one kind is marked."""
    return uuid.uuid5(job.pk, f"release: {kind}")


class JobRecord:
    """One job's rows by kind, each kind fetched when it is first asked for."""

    def __init__(self, job: Job, without: frozenset[UUID] = frozenset()) -> None:
        self.job, self.without = job, without
        self._pointed = Pointed()

    @cached_property
    def steps(self) -> list[Step]:
        """Return the standing steps in order."""
        rows = list(Step.objects.filter(job=self.job, dropped_at=None).select_related("sheet"))
        for row in rows:
            row.job = self.job
        return rows

    @cached_property
    def readings(self) -> list[Reading]:
        return self._entries(Reading, "instrument", "what_aside", "seen_aside")

    @cached_property
    def photos(self) -> list[Photo]:
        return self._entries(Photo, "picture_aside", "caption_aside")

    @cached_property
    def notes(self) -> list[Note]:
        return self._entries(Note, "words_aside")

    @cached_property
    def verdicts(self) -> list[StoredVerdict]:
        return self._entries(StoredVerdict)

    @cached_property
    def events(self) -> list[StepEvent]:
        return self._entries(StepEvent)

    @cached_property
    def calls(self) -> list[Call]:
        return self._entries(Call)

    @cached_property
    def lines(self) -> list[LedgerLine]:
        return self._entries(LedgerLine, "what_aside", "place_aside")

    @cached_property
    def movements(self) -> list[Movement]:
        return self._entries(Movement, "line__what_aside")

    @cached_property
    def marks(self) -> list[Mark]:
        return self._entries(Mark, "accepted_aside")

    @cached_property
    def causes(self) -> list[Cause]:
        return self._entries(Cause, "statement_aside", "sheet")

    @cached_property
    def corrections(self) -> list[Correction]:
        return self._entries(Correction, "words_aside")

    @cached_property
    def complaints(self) -> list[Complaint]:
        return self._entries(Complaint, "words_aside")

    @cached_property
    def releases(self) -> list[Release]:
        return self._entries(Release, "mark")

    @cached_property
    def taken_over(self) -> list[TakenOver]:
        """Return who confirmed the handover card, the last one last."""
        return self._entries(TakenOver)

    @cached_property
    def sheets(self) -> list[PinnedSheet]:
        """Return the standing copies of sheets and procedures."""
        return list(PinnedSheet.objects.filter(job=self.job, replaced_by=None))

    def sheet(self, kind: str) -> PinnedSheet | None:
        """Return the job's standing sheet of one kind."""
        return next((sheet for sheet in reversed(self.sheets) if sheet.kind == kind), None)

    @cached_property
    def entry_numbers(self) -> dict[UUID, int]:
        """Return the place in the log of the entries by which the teacher is called and answers."""
        verbs = ("teacher called", "step marked", "cause marked", "not marked yet")
        entries = Entry.objects.filter(job_id=self.job.pk, verb__in=verbs)
        return dict(entries.values_list("id", "number"))

    def of_step(self, rows: Iterable[Any], step: Step) -> list[Any]:
        """Return those rows that belong to one step."""
        return [row for row in rows if row.step_id == step.pk]

    @cached_property
    def texts(self) -> dict[str, str]:
        """Return what people typed in passing, by the digest that a form holds of it."""
        asides = [aside for row in self.lines for aside in (row.what_aside, row.place_aside)]
        asides += [aside for row in self.readings for aside in (row.what_aside, row.seen_aside)]
        return {aside.digest: aside.words for aside in asides if aside is not None}

    # --- a step ---

    def spec(self, step: Step) -> StepValue:
        return spec_of(step)

    def is_started(self, step: Step) -> bool:
        return any(e.what == "started" for e in self.of_step(self.events, step))

    def is_finished(self, step: Step) -> bool:
        """Return whether the crew finished the step.

        A marked step is finished too, and 'Find the cause' once its cause is marked.
        """
        if step.kind == "find" and self.cause is not None and self.marks_on(self.cause.pk):
            return True
        return any(e.what == "finished" for e in self.of_step(self.events, step)) or bool(
            self.marks_on(step.pk)
        )

    def ticked(self, step: Step) -> set[str]:
        """Return the cautions that were ticked for this step."""
        return {e.detail for e in self.of_step(self.events, step) if e.what == "ticked"}

    def is_called(self, step: Step) -> bool:
        """Return whether the teacher was called to mark the step and has not answered."""
        return self._is_open(
            [c for c in self.calls if c.step_id == step.pk and c.what == "mark"],
            step.pk,
            [e for e in self.of_step(self.events, step) if e.what == "not yet"],
        )

    def missing(self, step: Step) -> tuple[str, ...]:
        """Return what the step still needs before it can be finished, in words."""
        spec = self.spec(step)
        read = {
            (row.key, row.position) for row in self.of_step(self.readings, step) if row.is_standing
        }
        taken = {row.key for row in self.of_step(self.photos, step) if row.is_standing}
        return tuple(
            f"reading: {one.named(position)}"
            for one in spec.measurements
            for position in one.places
            if (one.key, position) not in read
        ) + tuple(f"photo: {one.what}" for one in spec.photos if one.key not in taken)

    def seen(self, step: Step) -> evidence.StepSeen:
        """Return everything on the page when the step is marked."""
        return evidence.StepSeen(
            id=str(step.pk),
            number=step.position,
            step=self.spec(step),
            readings=tuple(map(reading_seen, self.of_step(self.readings, step))),
            photos=tuple(map(photo_seen, self.of_step(self.photos, step))),
            notes=tuple(map(note_seen, self.of_step(self.notes, step))),
            verdicts=tuple(
                verdict_seen(row) for row in self.of_step(self.verdicts, step) if row.is_standing
            ),
            off=tuple(map(off_seen, self.of_step(self.lines, step))),
            moved=tuple(map(moved_seen, self.of_step(self.movements, step))),
            ticks=tuple(
                tick_seen(row) for row in self.of_step(self.events, step) if row.what == "ticked"
            ),
        )

    def form(self, step: Step) -> forms.Form:
        return forms.step_form(self.seen(step))

    def state(self, step: Step) -> MarkState:
        """Return the state of the step's mark."""
        marks = self.marks_on(step.pk)
        now = forms.digest(self.form(step)) if marks else ""
        return mark_state(marks, now, hold=self.spec(step).hold, called=self.is_called(step))

    @cached_property
    def states(self) -> dict[UUID, MarkState]:
        """Return the mark state of every standing step."""
        return {step.pk: self.state(step) for step in self.steps}

    def who_worked(self, step: Step) -> set[UUID]:
        """Return who gave evidence for a step, took off, put back, started or finished."""
        rows: list[Evidence] = [
            *self.of_step(self.readings, step),
            *self.of_step(self.photos, step),
            *self.of_step(self.lines, step),
            *self.of_step(self.movements, step),
            *[e for e in self.of_step(self.events, step) if e.what != "not yet"],
        ]
        return {row.by_id for row in rows}

    # --- the cause ---

    @cached_property
    def cause(self) -> Cause | None:
        """Return the cause that stands."""
        return next((row for row in reversed(self.causes) if row.is_standing), None)

    @cached_property
    def correction(self) -> Correction | None:
        """Return the correction that stands."""
        return next((row for row in reversed(self.corrections) if row.is_standing), None)

    @property
    def needs_cause(self) -> bool:
        """Return whether there is a cause to find: a training unit may have no complaint."""
        return any(row.is_standing for row in self.complaints) or any(
            step.kind == "find" for step in self.steps
        )

    def cause_seen(self, cause: Cause) -> evidence.CauseSeen:
        """Return everything on the page when the cause is marked."""
        if cause.how == "find" and cause.step_id is not None:
            readings = [row for row in self.readings if row.step_id == cause.step_id]
            photos = [row for row in self.photos if row.step_id == cause.step_id]
        else:
            readings = with_corrections(self.readings, set(cause.reading_ids))
            photos = with_corrections(self.photos, set(cause.photo_ids))
        ids = {row.pk for row in readings}
        return evidence.CauseSeen(
            id=str(cause.pk),
            how=cause.how,
            statement_digest=cause.statement_aside.digest,
            complaints=tuple(row.words_aside.digest for row in self.complaints if row.is_standing),
            suspect=cause.suspect,
            belief=tuple(
                evidence.SuspectSeen(suspect=row["suspect"], share=row["share"])
                for row in cause.belief
            ),
            proof=tuple(cause.proof),
            sheet_digest="" if cause.sheet is None else cause.sheet.digest,
            who=str(cause.by_id),
            done_at=cause.done_at,
            replaces=None if cause.replaces_id is None else str(cause.replaces_id),
            readings=tuple(map(reading_seen, readings)),
            photos=tuple(map(photo_seen, photos)),
            verdicts=tuple(
                verdict_seen(row)
                for row in self.verdicts
                if row.is_standing and ids & set(row.reading_ids)
            ),
            measurements=tuple(sorted(self._named(readings, cause.sheet))),
        )

    def cause_form(self, cause: Cause) -> forms.Form:
        return forms.cause_form(self.cause_seen(cause))

    @cached_property
    def cause_state(self) -> MarkState:
        """Return the state of the cause's mark; a hold until a cause is named and marked."""
        if self.cause is None:
            return MarkState.HOLD
        marks = self.marks_on(self.cause.pk)
        now = forms.digest(self.cause_form(self.cause)) if marks else ""
        called = self._is_open([c for c in self.calls if c.what == "cause"], self.cause.pk, [])
        return mark_state(marks, now, called=called)

    # --- the ledger ---

    @cached_property
    def balance(self) -> ledger.Balance:
        """Return the ledger: what is off, what closed it."""
        standing = {row.pk: row for row in self.lines if row.is_standing}
        successor = successors(self.lines)
        return ledger.balance(
            [self.line_value(row) for row in standing.values()],
            [
                movement_value(row, successor[row.line_id])
                for row in self.movements
                if row.is_standing and row.kind != ledger.TAKEN_BACK
            ],
        )

    def line_value(self, row: LedgerLine) -> ledger.Line:
        """Return a ledger line as the ledger counts it."""
        item = next(
            (
                item
                for step in self.steps
                if step.pk == row.step_id
                for item in self.spec(step).off
                if row.key and item.key == row.key
            ),
            None,
        )
        return ledger.Line(
            id=str(row.pk),
            what=row.what,
            how=How(row.how),
            quantity=amount(row.quantity, row.unit),
            unit=row.unit,
            place=row.place,
            key=row.key,
            one_use=item is not None and item.one_use,
            step=str(row.step_id),
            who=str(row.by_id),
            at=row.done_at,
        )

    # --- marks and release ---

    def marks_on(self, subject_id: UUID) -> list[MarkValue]:
        """Return every mark on one subject, oldest first."""
        return [mark_value(row) for row in self.mark_rows(subject_id)]

    def mark_rows(self, subject_id: UUID) -> list[Mark]:
        """Return every mark on one subject as it is kept, oldest first."""
        before = {row.pk: row.replaces_id for row in self.marks}

        def age(row: Mark) -> int:
            """How many marks came before it; each names the one it replaces."""
            steps, link = 0, row.replaces_id
            while link is not None:
                steps, link = steps + 1, before.get(link)
            return steps

        return sorted((row for row in self.marks if row.subject_id == subject_id), key=age)

    def release_seen(self, kind: str) -> evidence.ReleaseSeen:
        """Return everything on the page when the vehicle is released."""
        said = {row.key for row in self.said}
        return evidence.ReleaseSeen(
            id=str(release_subject(self.job, kind)),
            kind=kind,
            job=self.job.shown_number,
            vehicle=str(self.job.vehicle_id),
            complaints=tuple(row.words_aside.digest for row in self.complaints if row.is_standing),
            cause_digest="" if self.cause is None else self.cause.statement_aside.digest,
            correction_digest="" if self.correction is None else self.correction.words_aside.digest,
            odometer_out=self.job.odometer_out,
            marks=tuple(self._marks_seen()),
            checks=tuple(
                verdict_seen(row)
                for row in self.verdicts
                if row.is_standing and row.phase == Phase.AS_LEFT.value
            ),
            ledger_off=tuple(map(off_seen, self.lines)),
            ledger_moved=tuple(map(moved_seen, self.movements)),
            said=tuple(one.text for one in self.advice if one.key in said),
        )

    def release_form(self, kind: str) -> forms.Form:
        return forms.release_form(self.release_seen(kind))

    @cached_property
    def advice(self) -> tuple[Advice, ...]:
        """Return what the owner is told when the vehicle is handed back."""
        return tuple(
            one
            for sheet in self.sheets
            if sheet.kind == "procedure"
            for one in read_sheet("procedure", sheet.text, sheet.title).advice
        )

    @cached_property
    def said(self) -> list[AdviceSaid]:
        """Return which advice was read out, and by whom."""
        return self._entries(AdviceSaid)

    def _marks_seen(self) -> Iterable[evidence.MarkSeen]:
        for step in self.steps:
            rows = self.mark_rows(step.pk)
            if rows:
                yield mark_seen(str(step), rows[-1], self.states[step.pk])
        if self.cause is not None:
            rows = self.mark_rows(self.cause.pk)
            if rows:
                yield mark_seen("Cause", rows[-1], self.cause_state)

    def _is_open(self, calls: list[Call], subject_id: UUID, answers: list[StepEvent]) -> bool:
        """Return whether a call came after the last mark and the last answer."""
        numbers = self.entry_numbers
        called = [numbers.get(row.pk, 0) for row in calls]
        answered = [numbers.get(row.pk, 0) for row in [*answers, *self.mark_rows(subject_id)]]
        return max(called, default=0) > max(answered, default=0)

    def _named(
        self, readings: Iterable[Reading], circuit: PinnedSheet | None
    ) -> set[tuple[str, str]]:
        specs = {step.pk: self.spec(step) for step in self.steps}
        named = set()
        for row in readings:
            spec = specs.get(row.step_id)
            measurement = None if spec is None else spec.measurement(row.key)
            if row.what_aside is not None:
                words = words_of(row.what_aside.digest)
            elif measurement is None:
                words = test_words(circuit, row.key)
            else:
                words = measurement.what
            named.add((row.key, words))
        return named

    def _entries(self, model: Any, *related: str) -> list[Any]:
        """Fetch one kind of entry with what it points to."""
        found = model.objects.filter(job=self.job).order_by("done_at", "received_at", "pk")
        if related:
            found = found.select_related(*related)
        rows = [row for row in found if row.pk not in self.without]
        self._pointed.fill(rows)
        replaced = {row.replaces_id for row in rows}
        for row in rows:
            row.stands_in_job = row.pk not in replaced
        return rows
