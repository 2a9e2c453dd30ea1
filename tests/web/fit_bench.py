"""An engine on a bench with its readings, made by the acts themselves: for pages and pictures."""

import csv
from pathlib import Path
from uuid import uuid4

import witnessmark
from tests.web.cast import Cast
from witnessmark.record.acts.by import By
from witnessmark.record.acts.evidence import keep_reading
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.people import give_permit
from witnessmark.record.acts.school import add_bay, add_instrument, put_in_library
from witnessmark.record.acts.sheets import choose_procedure, pin_sheet, start_work
from witnessmark.record.acts.steps import assign_crew, start_step
from witnessmark.record.models import Job, Step, StepEvent
from witnessmark.shop import clock

EXAMPLES = Path(witnessmark.__file__).parent / "examples"
ASSEMBLY = (EXAMPLES / "assemblies/training-six.toml").read_text(encoding="utf-8")
PROCEDURE = (EXAMPLES / "procedures/cam-bearings-training-six.toml").read_text(encoding="utf-8")
TABLE = EXAMPLES / "readings/training-six.csv"
UNITS = {"bush-turn": "°", "bush-at": ""}


def engine(cast: Cast) -> Job:
    """Return a training job on bench 4, its procedure chosen, with no sheet and no reading."""
    by = By(person=cast.teacher)
    bench = add_bay(by, uuid4(), name="4", kind="bench")
    job = open_job(
        by,
        uuid4(),
        intake=Intake(vehicle="Training six: cam bearings", kind="training"),
        complaint="",
        section=cast.section,
        bay=bench,
        number=109,
    )
    assign_crew(by, uuid4(), job=job, people=[cast.on_it])
    item = put_in_library(by, uuid4(), kind="procedure", text=PROCEDURE, name="cam.toml")
    choose_procedure(by, uuid4(), job=job, item=item)
    give_permit(by, uuid4(), person=cast.on_it, kind="press", level="allowed")
    start_work(by, uuid4(), job=job)
    start_step(by, uuid4(), step=job.steps.get(key="measure", dropped_at=None))
    return job


def begun(cast: Cast, step: Step) -> Step:
    """Return a step that was started, whatever comes before it."""
    now = clock.now()
    StepEvent(
        id=uuid4(),
        job=step.job,
        step=step,
        what="started",
        by=cast.on_it,
        done_at=now,
        received_at=now,
    ).save(force_insert=True)
    return step


def instruments(cast: Cast) -> dict:
    """Return the bench's instruments by the id that the table of readings gives them."""
    by = By(person=cast.teacher)
    micrometer = add_instrument(
        by,
        uuid4(),
        name="micrometer",
        kind="outside micrometer",
        resolution="0.001 mm",
        u_repeat="2 µm",
        u_zero="2 µm",
    )
    gauge = add_instrument(
        by,
        uuid4(),
        name="bore gauge",
        kind="bore gauge",
        resolution="0.001 mm",
        u_repeat="3 µm",
        u_zero="2 µm",
        set_in=micrometer,
    )
    protractor = add_instrument(
        by, uuid4(), name="protractor", kind="protractor", resolution="1°", u_repeat="0.5°"
    )
    return {"micrometer": micrometer, "bore-gauge": gauge, "protractor": protractor, "eye": None}


def give_sheet(cast: Cast, job: Job) -> None:
    """Pin the assembly sheet to the job."""
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="assembly", text=ASSEMBLY, name="six.toml")
    pin_sheet(by, uuid4(), job=job, item=item)


def read_everything(cast: Cast, job: Job) -> None:
    """Keep every reading of the example table, as one learner of the crew."""
    known = instruments(cast)
    step = job.steps.get(key="measure")
    by = By(person=cast.on_it, device=cast.device)
    with TABLE.open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            keep_reading(
                by,
                uuid4(),
                step=step,
                key=row["characteristic"],
                position=row["position"],
                text=row["reading"],
                unit=UNITS.get(row["characteristic"], "mm"),
                instrument=known[row["instrument"]],
            )
