"""The handover card of a job, and who has confirmed it as it stands."""

from dataclasses import dataclass

from witnessmark.record.core import JobRecord
from witnessmark.record.models import Note, Step, TakenOver
from witnessmark.work import digest as forms
from witnessmark.work.handover import Card, CardStep, Stands, card_form, changed_parts
from witnessmark.work.marks import MarkState

NOTES_SHOWN = 5
OPEN_HOLD = (MarkState.HOLD, MarkState.CALLED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover:
    """A job's card, its digest, and what became of it."""

    card: Card
    digest: str
    notes: tuple[Note, ...]
    confirmed: tuple[TakenOver, ...]  # by whom, of the card as it is now
    last: TakenOver | None  # the last confirmation of all
    changed: tuple[str, ...]  # what changed since it, in words

    @property
    def is_confirmed(self) -> bool:
        """Return whether someone has confirmed the card as it is now."""
        return bool(self.confirmed)


def handover_of(record: JobRecord) -> Handover:
    """Return the handover of a job as it stands."""
    notes = tuple(row for row in record.notes if row.is_standing)[-NOTES_SHOWN:]
    card = Card(
        job=str(record.job.pk),
        off=record.balance.still_off,
        steps=tuple(_step(record, step) for step in record.steps),
        notes=tuple(row.words_aside.digest for row in notes),
    )
    form = card_form(card)
    digest = forms.digest(form)
    last = record.taken_over[-1] if record.taken_over else None
    is_as_it_was = last is None or last.digest == digest
    return Handover(
        card=card,
        digest=digest,
        notes=notes,
        confirmed=tuple(row for row in record.taken_over if row.digest == digest),
        last=last,
        changed=() if is_as_it_was else changed_parts(forms.read_form(last.form), form),
    )


def _step(record: JobRecord, step: Step) -> CardStep:
    state = record.states[step.pk]
    stands = Stands.TO_DO
    if state is MarkState.BROKEN:
        stands = Stands.BROKEN
    elif record.is_finished(step):
        stands = Stands.WAITS if state in OPEN_HOLD else Stands.DONE
    return CardStep(
        id=str(step.pk),
        number=step.position,
        stands=stands,
        left=len(record.missing(step)) if stands is Stands.TO_DO else 0,
    )
