"""Acts that erase a person: name and words go, the record and its chain stay."""

from uuid import UUID

from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.models import Entry
from witnessmark.people.models import Device, Membership, Person
from witnessmark.people.sign_in import forget_guesses, require_pin
from witnessmark.record.acts.by import By
from witnessmark.record.models import Job, Owner
from witnessmark.shop import clock
from witnessmark.shop.periods import zone

ERASED = "Erased person"
_OWN_WORDS = ("name", "reason", "caption", "note", chain.ASKED)


def erase_person(by: By, id: UUID, *, person: Person, photos: bool = False) -> Person:
    """Erase a person's name and what they wrote; with `photos` also what they photographed.

    Values that were read, marks and the order of things stay: they name nobody.
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
        keys = (*_OWN_WORDS, "photo") if photos else _OWN_WORDS
        theirs = Entry.objects.filter(actor_id=person.pk).values_list("id", flat=True)
        about = Entry.objects.filter(subject_id=person.pk).values_list("id", flat=True)
        erased = chain.erase([*theirs, *about], keys=keys, at=doing.at)
        person.name, person.handle, person.outside_id, person.pin = ERASED, None, None, ""
        person.set_unusable_password()
        person.is_active, person.erased_at = False, doing.at
        person.save(
            update_fields=[
                "name",
                "handle",
                "outside_id",
                "pin",
                "password",
                "is_active",
                "erased_at",
            ]
        )
        for old in Membership.objects.filter(person=person, end=None):
            old.end = doing.at.astimezone(zone()).date()
            old.save(update_fields=["end"])
        for device in Device.objects.filter(opened_by=person, closed_at=None):
            device.closed_at = doing.at
            device.save(update_fields=["closed_at"])
        forget_guesses(person)
        doing.say(erased=erased)
        return person


def erase_owner(by: By, id: UUID, *, owner: Owner, pin: str) -> Owner:
    """Erase an owner: name, phone, address, and the words of their intakes and complaints.

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
        entries = Entry.objects.filter(
            job_id__in=[job.pk for job in jobs],
            verb__in=["intake kept", "job opened", "complaint added"],
        ).values_list("id", flat=True)
        erased = chain.erase(entries, at=doing.at)
        owner.name = owner.phone = owner.address = ""
        owner.erased_at = doing.at
        owner.save(update_fields=["name", "phone", "address", "erased_at"])
        for job in jobs:
            job.lamps = job.condition = job.keys = job.says = job.happens = ""
            job.save(update_fields=["lamps", "condition", "keys", "says", "happens"])
        doing.say(erased=erased)
        return owner
