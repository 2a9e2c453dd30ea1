"""The act of a new crew: it has read the card at the vehicle, and has it."""

from collections.abc import Sequence
from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.log.models import Entry
from witnessmark.people.sign_in import require_pin
from witnessmark.record.acts.by import By, Conflict
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.core import load
from witnessmark.record.handover import Handover, handover_of
from witnessmark.record.models import Job, TakenOver
from witnessmark.shop import clock
from witnessmark.work.digest import canonical
from witnessmark.work.handover import card_form


def take_over(
    by: By, id: UUID, *, job: Job, shown_digest: str, looked_at: Sequence[str], pin: str
) -> TakenOver:
    """Confirm the handover card as it was shown: 'We have it', signed by one's own PIN.

    `looked_at` are the keys of the card's checks that were ticked at the vehicle. If the card
    changed since it was shown, nothing is kept and the PIN is not used.
    """
    by.must_work_on(job)
    if not Entry.objects.filter(id=id).exists():
        _must_be_ready(job, shown_digest, looked_at)
    require_pin(by.person, pin, by.device, clock.now())
    asked = {"job": job.pk, "digest": shown_digest, "looked_at": sorted(looked_at)}
    with by.act("handover confirmed", id, job=job, subject=job, asked=asked) as doing:
        if doing.is_repeated:
            return TakenOver.objects.get(pk=id)
        must_be_open(job)
        now = _must_be_ready(job, shown_digest, looked_at)
        if any(row.by_id == by.person.pk for row in now.confirmed):
            raise BenchError(
                "You have it already, and nothing changed since.",
                "A card is confirmed once by each of the crew.",
                "Go on with the next step.",
            )
        return doing.add(
            TakenOver(
                id=id,
                job=job,
                digest=now.digest,
                form=canonical(card_form(now.card)),
                **by.entry(doing),
            )
        )


def _must_be_ready(job: Job, shown_digest: str, looked_at: Sequence[str]) -> Handover:
    """Refuse a card that changed since it was shown, or of which something was not looked at."""
    now = handover_of(load(job))
    if now.digest != shown_digest:
        raise Conflict(
            "The card changed after this page was opened.",
            "A crew confirms what it has read, so nothing was kept.",
            "Read the card again at the vehicle, then confirm it.",
            theirs=now.digest,
            yours=shown_digest,
        )
    for check in now.card.checks:
        if check.key not in looked_at:
            raise BenchError(
                f"“{check.words}” is not ticked.",
                "The card is confirmed at the vehicle, with eyes and hands.",
                "Look at it and tick it, or say what does not agree.",
            )
    return now
