"""What stands above every screen of a job: its title, its crew and the stage strip."""

from dataclasses import dataclass
from typing import Any

from witnessmark.people.models import Person
from witnessmark.record.core import JobRecord, load
from witnessmark.record.empty_kinds import skip_empty
from witnessmark.record.models import Crew, Job
from witnessmark.record.stages import stages
from witnessmark.web import places


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One plate of the stage strip."""

    word: str
    url: str
    detail: str
    passed: bool
    current: bool


def head(job: Job, current: str, record: JobRecord | None = None) -> dict[str, Any]:
    """Return what a job's page prints above its own part; `current` is the stage's key.

    The template includes `witnessmark/parts/job_head.html`; `record` is the job, loaded once.
    """
    if record is None:
        record = load(job)
        skip_empty([record])
    crew = crew_of(job)
    return {
        "job": job,
        "record": record,
        "place": place_of(job),
        "crew": crew,
        "crew_names": listed(crew),
        "about": about(job, crew),
        "steps_url": places.stage(job.number, "steps"),
        "fit_url": places.fit(job.number) if _has_fit(record) else "",
        "strip": [
            Plate(
                word=one.title,
                url=places.stage(job.number, one.key),
                detail=one.words,
                passed=one.is_passed,
                current=one.key == current,
            )
            for one in stages(record)
        ],
    }


def _has_fit(record: JobRecord) -> bool:
    """Return whether the job has something to fit: a sheet, or a unit to train on."""
    return record.sheet("assembly") is not None or record.job.kind == "training"


def about(job: Job, crew: list[Person]) -> str:
    """Return the line under a job's title: vehicle, place, crew."""
    vehicle = job.vehicle
    facts = [
        f"{vehicle.make} {vehicle.kind}".strip(),
        str(vehicle.year or ""),
        vehicle.odometer,
    ]
    parts = [
        ", ".join(fact for fact in facts if fact),
        place_of(job),
        listed(crew) or "No crew yet",
    ]
    return " ".join(f"{part}." for part in parts if part)


def crew_of(job: Job) -> list[Person]:
    """Return who is on the job now, by name."""
    rows = Crew.objects.filter(job=job, until=None).select_related("person")
    return sorted({row.person for row in rows}, key=lambda one: one.name)


def place_of(job: Job) -> str:
    """Return where the vehicle stands."""
    return f"{job.bay.kind.capitalize()} {job.bay.name}" if job.bay else "No bay yet"


def listed(people: list[Person]) -> str:
    """Return names in a row: Isla, Tam, Wren."""
    return ", ".join(one.name for one in people)
