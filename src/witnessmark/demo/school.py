"""Skerry Point Technical School: its people, places, periods and library. All invented."""

from dataclasses import dataclass
from datetime import date, datetime, time
from importlib.resources import files

from witnessmark.demo import bus, practice, six, tractor, van, weeks
from witnessmark.demo.stage import TEACHER_PIN, Script, Stage, moment
from witnessmark.record.acts.people import add_learner, add_section, give_permit
from witnessmark.record.acts.school import (
    add_bay,
    add_instrument,
    add_periods,
    put_in_library,
    start_shop,
)
from witnessmark.shop.periods import WeeklyPeriod

NOW = "24 Nov 11:12"  # a Tuesday, in period 3
TEACHER_PASSWORD = "skerry-point"  # noqa: S105 - of the demo, printed when it opens
YEAR_2 = ("Devan", "Esme", "Isla", "Joss", "Mika", "Nils", "Oona", "Priya", "Tam", "Wren")
YEAR_1 = ("Anouk", "Bram", "Dilys", "Eero", "Fenn", "Greta", "Hollis", "Ines")
# Weekday, number, start, end: of the second year, then of the first.
PERIODS = {
    "Year 2 group": (
        (0, 3, "10:40", "12:00"),
        (1, 3, "10:40", "12:00"),
        (2, 5, "14:15", "15:35"),
        (3, 3, "10:40", "12:00"),
        (4, 1, "08:00", "09:15"),
        (4, 2, "09:20", "10:35"),
    ),
    "Year 1 group": (
        (0, 5, "14:15", "15:35"),
        (1, 4, "12:50", "14:10"),
        (3, 4, "12:50", "14:10"),
    ),
}
SHEETS = {
    "circuit": ("circuits", ("fan",)),
    "assembly": ("assemblies", ("training-six",)),
    "procedure": (
        "procedures",
        (
            "ground-joint-clean-and-prove",
            "water-pump-inline-engine",
            "brake-shoes-drum",
            "cam-bearings-training-six",
        ),
    ),
}
ALLOWED = "allowed"
BESIDE = "beside"


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """How the demo stands when it opens: the clock, and who can sign in."""

    now: datetime
    who: tuple[str, ...]


def play() -> Story:
    """Play the whole demo into the shop of this folder, up to Tuesday 24 November, 11:12."""
    stage = Stage()
    stage.play(_school(stage))
    stage.play(
        bus.script(stage),
        tractor.script(stage),
        van.script(stage),
        six.script(stage),
        weeks.script(stage),
        practice.script(stage),
    )
    return Story(
        now=moment(NOW),
        who=(
            "The demo shop of Skerry Point Technical School. Everything in it is invented.",
            f"  Teacher  R. Aldane    name: aldane   password: {TEACHER_PASSWORD}   "
            f"PIN: {TEACHER_PIN}",
            "  Learners sign in on a device that the teacher has opened for their section:",
            f"  {', '.join(YEAR_2)}",
            f"  (second year; PIN of each: {learner_pin(0)} for Devan, {learner_pin(1)} for Esme, "
            "and so on up by 11)",
        ),
    )


def learner_pin(number: int) -> str:
    """Return the PIN of the learner of that number, counted from Devan."""
    return str(3107 + 11 * number)


def _school(stage: Stage) -> Script:
    yield "2 Nov 07:40"
    _, teacher = start_shop(
        stage.id(),
        name="Skerry Point Technical School",
        units="metric",
        zone="Atlantic/Faroe",
        teacher_name="R. Aldane",
        handle="aldane",
        password=TEACHER_PASSWORD,
        pin=TEACHER_PIN,
        is_demo=True,
    )
    stage.people["R. Aldane"] = teacher
    by = stage.by("R. Aldane")
    yield "2 Nov 07:45"
    for name in PERIODS:
        stage.sections[name] = add_section(by, stage.id(), name=name)
    yield "2 Nov 07:50"
    start = date(2026, 8, 17)
    for names, section in ((YEAR_2, "Year 2 group"), (YEAR_1, "Year 1 group")):
        for name in names:
            stage.pins[name] = learner_pin(len(stage.pins))
            stage.people[name] = add_learner(
                by,
                stage.id(),
                name=name,
                section=stage.sections[section],
                pin=stage.pins[name],
                start=start,
            )
    yield "2 Nov 08:00"
    for name, kind in (("1", "bay"), ("2", "bay"), ("3", "bay"), ("4", "bench")):
        stage.bays[name] = add_bay(by, stage.id(), name=name, kind=kind)
    pattern = [
        WeeklyPeriod(
            weekday=weekday,
            number=number,
            start=time.fromisoformat(begins),
            end=time.fromisoformat(ends),
            section_id=stage.sections[section].pk,
        )
        for section, rows in PERIODS.items()
        for weekday, number, begins, ends in rows
    ]
    add_periods(by, stage.id(), pattern=pattern, first=date(2026, 11, 2), days=40)
    yield "2 Nov 08:10"
    _instruments(stage)
    yield "2 Nov 08:30"
    for kind, (folder, names) in SHEETS.items():
        for name in names:
            path = files("witnessmark.examples") / folder / f"{name}.toml"
            stage.library[name] = put_in_library(
                by, stage.id(), kind=kind, text=path.read_text(), name=path.name
            )
    yield "12 Nov 10:50"
    _permits(stage)


def _instruments(stage: Stage) -> None:
    by = stage.by("R. Aldane")
    rows = (
        ("Meter 1", "multimeter", "0.01 V", {"u_calibration": "0.03 V"}),
        ("Meter 2", "multimeter", "0.1 V", {"u_calibration": "0.05 V"}),
        ("Test lamp 1", "test lamp", "1", {}),
        ("Wrench 2", "torque wrench", "0.5 N·m", {"u_calibration": "0.2 N·m"}),
        ("Wrench 5", "torque wrench", "1 N·m", {"u_calibration": "1.5 N·m"}),
        ("Gauge 3", "pressure gauge", "0.01 bar", {"u_calibration": "0.01 bar"}),
        ("Depth gauge 1", "depth gauge", "0.1 mm", {"u_calibration": "0.05 mm"}),
        ("Rule 1", "rule", "0.5 mm", {}),
        ("Jug 1", "measuring jug", "0.1 L", {"u_calibration": "0.05 L"}),
        ("Pull scale 1", "pull gauge", "0.1 kN", {"u_calibration": "0.05 kN"}),
        ("Belt gauge 1", "belt gauge", "0.5 mm", {"u_calibration": "0.2 mm"}),
        ("Pressure tester 1", "pressure tester", "0.01 bar", {"u_calibration": "0.01 bar"}),
        ("Thermometer 1", "thermometer", "1 °C", {"u_calibration": "1 °C"}),
        ("Torque gauge 1", "torque gauge", "0.1 N·m", {"u_calibration": "0.05 N·m"}),
        ("Protractor 1", "protractor", "1 °", {"u_repeat": "0.5 °"}),
        ("Micrometer 1", "micrometer", "0.001 mm", {"u_repeat": "2 µm", "u_zero": "2 µm"}),
    )
    for name, kind, resolution, more in rows:
        stage.instruments[name] = add_instrument(
            by, stage.id(), name=name, kind=kind, resolution=resolution, **more
        )
    stage.instruments["Bore gauge 1"] = add_instrument(
        by,
        stage.id(),
        name="Bore gauge 1",
        kind="bore gauge",
        resolution="0.001 mm",
        u_repeat="3 µm",
        u_zero="2 µm",
        set_in=stage.instruments["Micrometer 1"],
    )


# Who may do what, as the teacher has seen it so far: lift, stands, press, grinder, brake work,
# battery, coolant. A allowed, B beside the teacher, a dash not yet.
PERMITS = {
    "Devan": "AAABBAA",
    "Esme": "AAAABB-",
    "Isla": "AAB-AAA",
    "Joss": "AABBAAB",
    "Mika": "BA--BAB",
    "Nils": "BB--BBB",
    "Oona": "AAB--AB",
    "Priya": "AAB-AAA",
    "Tam": "AABBAAA",
    "Wren": "AAAABAA",
}
PERMIT_KINDS = ("lift", "stands", "press", "grinder", "brake", "battery", "coolant")


def _permits(stage: Stage) -> None:
    by = stage.by("R. Aldane")
    for name, row in PERMITS.items():
        for kind, sign in zip(PERMIT_KINDS, row, strict=True):
            if sign != "-":
                give_permit(
                    by,
                    stage.id(),
                    person=stage.people[name],
                    kind=kind,
                    level=ALLOWED if sign == "A" else BESIDE,
                )
