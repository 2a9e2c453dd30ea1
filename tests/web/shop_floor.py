"""A shop floor for plan and board: two bays, a bench, three jobs with steps that wait."""

from dataclasses import dataclass
from datetime import time
from importlib.resources import files
from uuid import uuid4

from tests.web.cast import LEARNER_PIN, TUESDAY, Cast
from witnessmark.people.models import Person
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.people import add_learner, give_permit
from witnessmark.record.acts.school import add_bay, add_periods, put_in_library
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.models import Job
from witnessmark.shop.models import Bay
from witnessmark.shop.periods import WeeklyPeriod

PROCEDURES = {
    "bus": ("Library bus", "water-pump-inline-engine"),
    "tractor": ("Tow tractor", "brake-shoes-drum"),
    "six": ("Training six", "cam-bearings-training-six"),
}


@dataclass
class Floor:
    """What stands in the shop, and who is there."""

    cast: Cast
    by: By
    jobs: dict[str, Job]
    bays: dict[str, Bay]
    learners: list[Person]


def set_up(cast: Cast, *, names: tuple[str, ...] = ("Devan", "Esme", "Joss", "Nils")) -> Floor:
    """Add learners with permits, bays, two weeks of periods and the jobs."""
    by = By(person=cast.teacher)
    learners = [cast.on_it, cast.not_on_it]
    learners += [
        add_learner(by, uuid4(), name=name, section=cast.section, pin=LEARNER_PIN) for name in names
    ]
    bays = {
        "bus": Bay.objects.get(name="1"),
        "tractor": add_bay(by, uuid4(), name="2"),
        "six": add_bay(by, uuid4(), name="4", kind="bench"),
    }
    add_periods(
        by,
        uuid4(),
        pattern=[
            WeeklyPeriod(
                weekday=weekday,
                number=number,
                start=time(hour),
                end=time(hour + 1, 20),
                section_id=cast.section.pk,
            )
            for weekday, number, hour in (
                (0, 3, 10),
                (2, 5, 14),
                (3, 3, 10),
                (4, 1, 8),
                (4, 2, 12),
            )
        ],
        first=TUESDAY.date(),
    )
    jobs = {}
    folder = files("witnessmark") / "examples" / "procedures"
    for at, (key, (name, procedure)) in enumerate(PROCEDURES.items()):
        text = (folder / f"{procedure}.toml").read_text(encoding="utf-8")
        item = put_in_library(by, uuid4(), kind="procedure", text=text, name=f"{procedure}.toml")
        jobs[key] = open_job(
            by,
            uuid4(),
            intake=Intake(
                vehicle=name,
                kind="training" if key == "six" else "customer",
                owner_name="M. Corse",
                owner_phone="none",
                promised=None if key == "six" else TUESDAY.replace(day=27 + at, hour=16),
            ),
            complaint="" if key == "six" else "It does not go.",
            section=cast.section,
            bay=bays[key],
            number=114 + at,
        )
        steps = choose_procedure(by, uuid4(), job=jobs[key], item=item)
        needed = {kind for step in steps for kind in _permits(step)}
        for learner in learners:
            for kind in sorted(needed):
                give_permit(by, uuid4(), person=learner, kind=kind, level="allowed")
        start_work(by, uuid4(), job=jobs[key])
    return Floor(cast=cast, by=by, jobs=jobs, bays=bays, learners=learners)


def _permits(step) -> tuple[str, ...]:
    from witnessmark.record.specs import spec_of

    return spec_of(step).permits
