"""Acts that erase a person or an owner: names and words go, the record and its chain stay."""

from uuid import UUID

from django.contrib.auth.hashers import make_password
from django.db.models import Q

from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.models import Aside
from witnessmark.people.models import Device, Person
from witnessmark.people.sign_in import end_sessions, forget_guesses, require_pin
from witnessmark.record.acts.by import By
from witnessmark.record.acts.people import end_memberships
from witnessmark.record.core import load
from witnessmark.record.models import Cause, Correction, Job, LedgerLine, Owner, Vehicle
from witnessmark.shop import clock

ERASED_PERSON = "Erased person"
ERASED_VEHICLE = "Erased vehicle"
_OWN_WORDS = (  # what someone wrote as their own; a complaint is in the owner's words
    "reason",
    "caption",
    "note",
    "what",
    "place",
    "seen",
    "seen here",
    "cause",
    "correction",
    "accepted",
    "expected",
    "reasons",
    chain.ASKED,
)
_COMPLAINTS = ("complaint", "seen here")
_INTAKES = ("intake kept", "job opened", "complaint added")


def erase_person(by: By, id: UUID, *, person: Person, photos: bool = False) -> Person:
    """Erase a person's name and what they wrote; with `photos` also what they photographed.

    Values that were read, marks and the order of things stay: they name nobody. It waits while
    the shop still works by their words.
    """
    by.must_be_teacher("erase a person")
    asked = {"person": person.pk, "photos": photos}
    with by.act("person erased", id, subject=person, asked=asked) as doing:
        if doing.is_repeated:
            return person
        if person.pk == by.person.pk:
            raise BenchError(
                "You would erase yourself.",
                "The shop needs someone who signed for this.",
                "Ask another teacher.",
            )
        _must_not_be_needed(person)
        keys = (*_OWN_WORDS, "photo") if photos else _OWN_WORDS
        doing.erase(Aside.objects.filter(entry__actor_id=person.pk, key__in=keys))
        doing.erase(Aside.objects.filter(entry__subject_id=person.pk, key=chain.ASKED))
        forget_guesses(doing, person, person.handle or "")
        end_memberships(doing, person)
        end_sessions(person)
        for device in Device.objects.filter(opened_by=person, closed_at=None):
            doing.change(device, closed_at=doing.at)
        doing.erase_typed(person, name=ERASED_PERSON, handle=None, outside_id=None)
        return doing.change(
            person, pin="", password=make_password(None), is_active=False, erased_at=doing.at
        )


def erase_owner(by: By, id: UUID, *, owner: Owner, pin: str) -> Owner:
    """Erase an owner and the vehicle: names, numbers, and the words of intakes and complaints.

    The teacher who does it signs by PIN.
    """
    by.must_be_teacher("erase an owner")
    require_pin(by.person, pin, by.device, clock.now())
    jobs = list(Job.objects.filter(vehicle__owner=owner))
    with by.act("owner erased", id, asked={"owner": owner.pk}) as doing:
        if doing.is_repeated:
            return owner
        if Owner.objects.filter(pk=owner.pk, erased_at__isnull=False).exists():
            raise BenchError(
                "This owner is erased already.",
                "What is gone is gone once.",
                "Go back to the job.",
            )
        if any(job.closed_at is None for job in jobs):
            raise BenchError(
                "The owner has a vehicle here.",
                "Until it is handed back the shop must know whose it is.",
                "Hand the vehicle back first.",
            )
        of_jobs = Aside.objects.filter(entry__job_id__in=[job.pk for job in jobs])
        doing.erase(of_jobs.filter(key__in=_COMPLAINTS))
        doing.erase(of_jobs.filter(key=chain.ASKED, entry__verb__in=_INTAKES))
        for job in jobs:
            doing.erase_typed(job)
        for vehicle in Vehicle.objects.filter(owner=owner):
            doing.erase_typed(vehicle, name=ERASED_VEHICLE)
        doing.erase_typed(owner)
        return doing.change(owner, erased_at=doing.at)


def _must_not_be_needed(person: Person) -> None:
    """Refuse while something is off whose line this person wrote, or a cause of an open job."""
    theirs = Q(what_aside__entry__actor_id=person.pk) | Q(place_aside__entry__actor_id=person.pk)
    lines = LedgerLine.objects.filter(theirs, job__closed_at=None, replaced_by=None)
    for job in Job.objects.filter(ledger__in=lines).distinct():
        still_off = {one.line.id for one in load(job).balance.still_off}
        for line in lines.filter(job=job).select_related("what_aside"):
            if str(line.pk) in still_off:
                raise BenchError(
                    f"{line.what} of {job.shown_number} is still off.",
                    "Who puts it back needs the words of the person who wrote where it lies.",
                    "Put it back, then erase the person.",
                )
    for model, what in ((Cause, "cause"), (Correction, "correction")):
        row = model.objects.filter(by=person, job__closed_at=None, replaced_by=None).first()
        if row is not None:
            raise BenchError(
                f"This person wrote the {what} of {row.job.shown_number}.",
                "It is in their words until the vehicle is handed back.",
                f"Hand the vehicle back, or write the {what} anew.",
            )
