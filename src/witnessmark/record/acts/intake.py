"""Acts on a job as a whole: intake, complaint, bay, promise, end."""

from dataclasses import fields
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django.db.models import Max

from witnessmark.errors import BenchError, refuse_all
from witnessmark.log.act import Act
from witnessmark.people.models import Section
from witnessmark.record.acts.by import By
from witnessmark.record.acts.replacing import must_show_sheet, must_stand
from witnessmark.record.circuits import circuit_of
from witnessmark.record.intake_form import Intake, promise_turned, slips, slips_half_done
from witnessmark.record.models import Complaint, Job, Owner, PinnedSheet, Vehicle
from witnessmark.record.ties import key_on
from witnessmark.shop.models import Bay

FIRST_NUMBER = 101
CUSTOMER_SAYS = "the customer says"
COMPLAINT_KEYS = {CUSTOMER_SAYS: "complaint", "seen here": "seen here"}  # whose words they are


def save_intake(by: By, id: UUID, *, intake: Intake, job: Job | None = None) -> Job:
    """Keep an intake half done, new or again. Anyone in the office can go on with it."""
    by.must_take_in("take in a vehicle")
    refuse_all(slips_half_done(intake))
    asked = {**_asked(intake), "job": job}
    with by.act("intake kept", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return Job.objects.get(pk=doing.earlier.job_id)
        if job is None:
            job = _new_job(by, doing, intake, number=None, half_done=True)
        else:
            _write(job, intake, doing)
        doing.say(number=job.number, job=job, subject=job)
        return job


def open_job(
    by: By,
    id: UUID,
    *,
    intake: Intake,
    complaint: str,
    job: Job | None = None,
    section: Section | None = None,
    bay: Bay | None = None,
    number: int | None = None,
) -> Job:
    """Make a job of an intake, kept half done before or not, with its first complaint."""
    by.must_take_in("open a job")
    asked = {
        **_asked(intake),
        "job": job,
        "complaint": complaint,
        "section": section,
        "bay": bay,
        "number": number,
    }
    with by.act("job opened", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return Job.objects.get(pk=doing.earlier.job_id)
        refuse_all(slips(intake, complaint, doing.at))
        opened = {"half_done": False, "opened_at": doing.at, "says": ""}
        opened |= {"section": section} if section else {}
        opened |= {"bay": bay} if bay else {}
        if job is None:
            job = _new_job(by, doing, intake, number=number, **opened)
        else:
            _write(job, intake, doing, **opened)
        if complaint.strip():
            doing.add(
                Complaint(
                    id=uuid4(),
                    job=job,
                    words_aside=doing.words(COMPLAINT_KEYS[CUSTOMER_SAYS], complaint),
                    trust=CUSTOMER_SAYS,
                    **by.entry(doing),
                )
            )
        doing.say(number=job.number, job=job, subject=job)
        return job


def add_complaint(
    by: By,
    id: UUID,
    *,
    job: Job,
    words: str,
    trust: str = CUSTOMER_SAYS,
    key: str | None = None,
    sheet: PinnedSheet | None = None,
    comes_and_goes: bool | None = None,
    replaces: Complaint | None = None,
) -> Complaint:
    """Add what the owner reports, or what was seen here.

    `key` ties it to a complaint of the job's circuit sheet, the one that stands or the `sheet` that
    was shown; `NONE_OF_IT` says that the sheet has none like it. `comes_and_goes` is None where
    nobody said; with `replaces` it is told anew.
    """
    by.must_be_here()
    if trust not in dict(Complaint.TRUSTS):
        raise BenchError(
            f"A complaint that '{trust}'.",
            "It is what the owner says, or what was seen here.",
            "Choose one of them.",
        )
    if not words.strip():
        raise BenchError(
            "The complaint is empty.", "It says what is wrong.", "Write it in the owner's words."
        )
    asked = {
        "job": job.pk,
        "words": words,
        "trust": trust,
        "key": key,
        "sheet": sheet,
        "comes_and_goes": comes_and_goes,
        "replaces": replaces,
    }
    with by.act("complaint added", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return Complaint.objects.get(pk=id)
        must_be_open(job)
        if replaces is not None:
            must_stand(replaces, yours=words)
        tied_to = None if key is None else _sheet_of(job, key, sheet)
        if key and tied_to is not None:
            _must_be_told_once(job, key, tied_to, trust, replaces)
        return doing.add(
            Complaint(
                id=id,
                job=job,
                words_aside=doing.words_again(
                    replaces and replaces.words_aside, COMPLAINT_KEYS[trust], words
                ),
                trust=trust,
                sheet=tied_to,
                key=key or None,
                comes_and_goes=comes_and_goes,
                replaces=replaces,
                **by.entry(doing),
            )
        )


def give_job_bay(by: By, id: UUID, *, job: Job, bay: Bay | None) -> Job:
    """Say where the vehicle stands; nowhere when it left its bay."""
    by.must_be_teacher("move a vehicle")
    with by.act("bay given", id, job=job, subject=job, asked={"job": job.pk, "bay": bay}) as doing:
        if not doing.is_repeated:
            doing.change(job, bay=bay)
            doing.say(bay=None if bay is None else bay.pk)
        return job


def give_job_section(by: By, id: UUID, *, job: Job, section: Section) -> Job:
    """Say which class the job belongs to."""
    by.must_be_teacher("give a job to a section")
    asked = {"job": job.pk, "section": section.pk}
    with by.act("section given", id, job=job, subject=job, asked=asked) as doing:
        if not doing.is_repeated:
            doing.change(job, section=section)
            doing.say(section=section.pk)
        return job


def set_promise(
    by: By, id: UUID, *, job: Job, promised: datetime, not_before: datetime | None = None
) -> Job:
    """Promise the vehicle for a day and time at the latest."""
    by.must_take_in("promise a vehicle")
    if error := promise_turned(promised, not_before):
        raise error
    asked = {"job": job.pk, "promised": promised, "not_before": not_before}
    with by.act("promise set", id, job=job, subject=job, asked=asked) as doing:
        if not doing.is_repeated:
            must_be_open(job)
            doing.change(job, promised=promised, not_before=not_before)
            doing.say(promised=promised)
        return job


def must_be_open(job: Job) -> None:
    """Refuse to work on a job that was handed back, or is not a job yet."""
    fresh = Job.objects.values("half_done", "closed_at").get(pk=job.pk)
    if fresh["closed_at"] is not None:
        raise BenchError(
            f"{job.shown_number} was handed back.",
            "Its record is complete and stays as it is.",
            "Open a new job for the vehicle.",
        )
    if fresh["half_done"]:
        raise BenchError(
            f"The intake of {job.shown_number} is half done.",
            "Work starts when it is a job.",
            "Finish the intake first.",
        )


def _new_job(by: By, doing: Act, intake: Intake, *, number: int | None, **more: Any) -> Job:
    if number is None:
        last = Job.objects.aggregate(last=Max("number"))["last"]
        number = FIRST_NUMBER if last is None else last + 1
    elif Job.objects.filter(number=number).exists():
        raise BenchError(
            f"There is a job J-{number} already.", "Each job has its own.", "Leave the number out."
        )
    owner = doing.add(Owner(**_owner_columns(intake)))
    vehicle = doing.add(Vehicle(owner=owner, **_vehicle_columns(intake)))
    columns = {"opened_at": doing.at} | _job_columns(intake, doing) | more
    return doing.add(
        Job(id=doing.id, number=number, vehicle=vehicle, opened_by=by.person, **columns)
    )


def _write(job: Job, intake: Intake, doing: Act, **more: Any) -> None:
    _must_be_half_done(job)
    doing.change(job.vehicle, **_vehicle_columns(intake))
    if job.vehicle.owner is not None:
        doing.change(job.vehicle.owner, **_owner_columns(intake))
    doing.change(job, **(_job_columns(intake, doing) | more))


def _owner_columns(intake: Intake) -> dict[str, Any]:
    return {
        "name": intake.owner_name.strip(),
        "phone": intake.owner_phone.strip(),
        "address": intake.owner_address.strip(),
    }


def _vehicle_columns(intake: Intake) -> dict[str, Any]:
    return {
        "name": intake.vehicle.strip(),
        "make": intake.make,
        "kind": intake.model,
        "serial": intake.serial,
        "plate": intake.plate,
        "year": intake.year,
        "odometer": intake.odometer,
    }


def _job_columns(intake: Intake, doing: Act) -> dict[str, Any]:
    return {
        "kind": intake.kind,
        "odometer_in": intake.odometer,
        "lamps": intake.lamps,
        "condition": intake.condition,
        "keys": intake.keys,
        "says": intake.says,
        "happens": intake.happens,
        "old_parts_wanted": intake.old_parts_wanted,
        "not_before": intake.not_before,
        "promised": intake.promised,
        "kept_at": doing.at,
    }


def _asked(intake: Intake) -> dict[str, object]:
    return {field.name: getattr(intake, field.name) for field in fields(intake)}


def _sheet_of(job: Job, key: str, shown: PinnedSheet | None) -> PinnedSheet:
    """Return the job's circuit sheet; refuse one that stands no more, and a key that it lacks."""
    sheets = PinnedSheet.objects.filter(job=job, kind="circuit", replaced_by=None)
    sheet = sheets.order_by("at").last()
    if sheet is None:
        raise BenchError(
            f"{job.shown_number} has no circuit sheet.",
            "A complaint is tied to one that the sheet has.",
            "Choose a sheet from the Library first.",
        )
    must_show_sheet(sheet, shown)
    known = {one.key for one in circuit_of(sheet.text, sheet.title).complaints}
    if key and key not in known:
        raise BenchError(
            "This complaint is not on the job's circuit sheet.",
            "A complaint is tied to one that the sheet has.",
            "Choose it from the list.",
        )
    return sheet


def _must_be_told_once(
    job: Job, key: str, sheet: PinnedSheet, trust: str, replaces: Complaint | None
) -> None:
    """Refuse a complaint that stands already in the same mouth: it would count twice."""
    rows = Complaint.objects.filter(job=job, trust=trust, replaced_by=None)
    if any(row != replaces and key_on(row, sheet) == key for row in rows):
        who = "The owner has told" if trust == CUSTOMER_SAYS else "Somebody here has seen"
        raise BenchError(
            f"{who} this complaint already.",
            "It stands among the complaints on this circuit, and counts once.",
            "Change that one there. Or say that this is another complaint, or none of the sheet's.",
        )


def _must_be_half_done(job: Job) -> None:
    if not Job.objects.filter(pk=job.pk, half_done=True).exists():
        raise BenchError(
            f"{job.shown_number} is a job already.",
            "Only a half-done intake is filled in further.",
            "Open the job and change it there.",
        )
