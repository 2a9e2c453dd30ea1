"""J-109, the training six: cam bearing bores measured, one too close to call, one outside."""

import csv
from importlib.resources import files
from io import StringIO

from witnessmark.demo.stage import Script, Stage
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.sheets import choose_procedure, pin_sheet, start_work
from witnessmark.record.acts.steps import assign_crew

READINGS = files("witnessmark.examples") / "readings" / "training-six.csv"
INSTRUMENTS = {
    "bore-gauge": "Bore gauge 1",
    "micrometer": "Micrometer 1",
    "protractor": "Protractor 1",
}


def script(stage: Stage) -> Script:
    """Play the job from its sheet to the readings of this morning."""
    yield "16 Nov 08:05"
    teacher = stage.by("R. Aldane")
    job = open_job(
        teacher,
        stage.id(),
        intake=Intake(
            vehicle="Training six",
            kind="training",
            make="Corran",
            model="six on a stand",
            serial="CRN6-INVENTED-0109",
        ),
        complaint="",
        section=stage.sections["Year 2 group"],
        bay=stage.bays["4"],
        number=109,
    )
    crew = [stage.people[name] for name in ("Devan", "Esme", "Nils")]
    assign_crew(teacher, stage.id(), job=job, people=crew)
    pin_sheet(teacher, stage.id(), job=job, item=stage.library["training-six"])
    choose_procedure(teacher, stage.id(), job=job, item=stage.library["cam-bearings-training-six"])
    yield "23 Nov 10:42"
    start_work(teacher, stage.id(), job=job)
    measure = stage.step(job, "measure")
    stage.start("Devan", measure)
    yield "23 Nov 11:05"
    stage.picture("Devan", measure, "bore gauge set in the micrometer", key="gauge")
    for row in _rows():
        day, time = row["when"].split()
        yield f"{int(day[-2:])} Nov {_in_class(time)}"
        number, _, unit = row["reading"].partition(" ")
        if row["reading"].endswith("°"):
            number, unit = row["reading"][:-1], "°"
        more = {"with_": INSTRUMENTS[row["instrument"]]} if row["instrument"] != "eye" else {}
        stage.read(
            row["reader"],
            measure,
            row["characteristic"],
            f"{number} {unit}",
            position=row["position"],
            phase="as found",
            **more,
        )


def _rows() -> list[dict[str, str]]:
    """The example's readings, in the order in which they were taken."""
    rows = list(csv.DictReader(StringIO(READINGS.read_text())))
    return sorted(rows, key=lambda row: row["when"])


def _in_class(time: str) -> str:
    """The example starts at 10:31, ten minutes before the class comes in."""
    hour, minute = (int(part) for part in time.split(":"))
    later = hour * 60 + minute + 12
    return f"{later // 60}:{later % 60:02d}"
