"""A shop with its cast, and a job with a procedure, made by the acts themselves."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.core.management import call_command
from django.db import connections

from witnessmark.people.models import Device, Person, Section
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.ledger import take_off
from witnessmark.record.acts.people import add_aide, add_learner, add_section, open_device
from witnessmark.record.acts.school import add_instrument, put_in_library, start_shop
from witnessmark.record.acts.sheets import choose_procedure, start_work
from witnessmark.record.acts.steps import assign_crew, finish_step, start_step, tick_cautions
from witnessmark.record.core import load
from witnessmark.record.models import Job, Step
from witnessmark.shop import clock
from witnessmark.shop.models import Instrument, LibraryItem
from witnessmark.work import digest as forms

TUESDAY = datetime(2026, 11, 24, 11, 12, tzinfo=UTC)
PASSWORD = "three rusty spanners"
PINS = {"R. Aldane": "7391", "Isla": "2846", "Tam": "5093", "Mika": "8264", "Nell": "6157"}

PROCEDURE = """
[procedure]
key = "pump"
title = "Water pump"
source = "invented for the tests"

[[advice]]
key = "level"
text = "Check the coolant level after 100 km."

[[steps]]
key = "drain"
title = "Drain the coolant"
minutes = 20
cautions = ["COOLANT"]
operations = ["coolant"]
instructions = ["Open the tap."]
off = [{ key = "coolant", what = "Coolant", how = "drained", quantity = "9,4", unit = "L" }]

[[steps]]
key = "bolts"
title = "Torque pump bolts"
minutes = 30
needs = ["drain"]
hold = "hold"
off = [{ key = "bolt", what = "Pump bolts", quantity = "6" }]
on = [{ key = "bolt" }]
measure = [
  { key = "bolt-torque", what = "Bolt", unit = "N·m", limit = "24 to 26 N·m", \
source = "invented", at = ["1", "2"], instrument = "torque wrench" },
]
photos = [{ key = "bolts", what = "all bolts" }]

[[steps]]
key = "fill"
title = "Fill and bleed"
minutes = 30
needs = ["bolts"]
on = [{ key = "coolant", kind = "refilled" }]
"""


@dataclass
class Shop:
    """The cast, and a job on which Isla and Tam work."""

    teacher: Person
    isla: Person
    tam: Person
    mika: Person  # a learner of the section, in no crew
    aide: Person
    section: Section
    tablet: Device
    wrench: Instrument
    job: Job
    steps: list[Step]

    def by(self, person: Person) -> By:
        return By(person=person, device=None if person.is_teacher else self.tablet)

    def step(self, key: str) -> Step:
        return next(step for step in self.steps if step.key == key)

    def shown(self, step: Step) -> str:
        return forms.digest(load(self.job).form(step))


@pytest.fixture(autouse=True)
def quick_hashes(settings):
    """Hash quickly: the real hash is slow on purpose."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def photo_folder(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path / "photos"
    return settings.MEDIA_ROOT


@pytest.fixture
def given_time():
    with clock.at(TUESDAY):
        yield TUESDAY


def open_shop() -> Shop:
    """Open a shop and its first job, work opened."""
    _, teacher = start_shop(
        uuid4(),
        name="Skerry Point Technical School",
        units="metric",
        zone="Europe/Oslo",
        teacher_name="R. Aldane",
        handle="aldane",
        password=PASSWORD,
        pin=PINS["R. Aldane"],
    )
    by = By(person=teacher)
    section = add_section(by, uuid4(), name="Section 2")
    isla, tam, mika = (
        add_learner(by, uuid4(), name=name, section=section, pin=PINS[name])
        for name in ("Isla", "Tam", "Mika")
    )
    aide = add_aide(by, uuid4(), name="Nell", section=section, pin=PINS["Nell"])
    tablet, _ = open_device(
        by, uuid4(), name="Shop tablet 2", section=section, until=clock.now() + timedelta(hours=8)
    )
    wrench = add_instrument(
        by,
        uuid4(),
        name="Wrench 2",
        kind="torque wrench",
        resolution="0.5 N·m",
        u_calibration="0.2 N·m",
    )
    item = put_in_library(by, uuid4(), kind="procedure", text=PROCEDURE, name="pump.toml")
    job = open_job(
        by,
        uuid4(),
        intake=Intake(
            vehicle="Library bus",
            make="Corran",
            model="40",
            owner_name="Island Library",
            owner_phone="555 0114",
            promised=clock.now() + timedelta(days=10),
        ),
        complaint="Loses about 1 litre a week.",
        section=section,
    )
    assign_crew(by, uuid4(), job=job, people=[isla, tam])
    steps = choose_procedure(by, uuid4(), job=job, item=item)
    start_work(by, uuid4(), job=job)
    return Shop(teacher, isla, tam, mika, aide, section, tablet, wrench, job, steps)


def with_a_permit(procedure: str) -> str:
    """Return the procedure with a first step that asks for the lift's permit."""
    return procedure.replace("minutes = 20", 'minutes = 20\npermits = ["lift"]')


def training_six(shop: Shop, text: str) -> tuple[Job, LibraryItem]:
    """Open the job of a training unit; return it and the procedure's newest version."""
    by = shop.by(shop.teacher)
    item = LibraryItem.objects.filter(text=text).first() or put_in_library(
        by, uuid4(), kind="procedure", text=text, name="pump.toml"
    )
    unit = Intake(vehicle="Six", kind="training")
    return open_job(by, uuid4(), intake=unit, complaint=""), item


@pytest.fixture
def shop(db, given_time) -> Shop:
    return open_shop()


@pytest.fixture
def shop_on_disk(django_db_setup, django_db_blocker, tmp_path) -> Iterator[Shop]:
    """Open a shop in a database file: the tests' own, in memory, takes no second connection."""
    usual = connections.settings["default"]["NAME"]
    with django_db_blocker.unblock():
        in_memory = connections["default"]
        connections.settings["default"]["NAME"] = tmp_path / "shop.sqlite3"
        del connections["default"]
        try:
            call_command("migrate", verbosity=0)
            yield open_shop()
        finally:
            connections["default"].close()
            connections.settings["default"]["NAME"] = usual
            connections["default"] = in_memory


@pytest.fixture
def started(shop) -> Step:
    """Return the hold step, started by Isla: the step before it is done."""
    return start_the_hold(shop)


def start_the_hold(shop: Shop) -> Step:
    by, drain, bolts = shop.by(shop.isla), shop.step("drain"), shop.step("bolts")
    tick_cautions(by, uuid4(), step=drain, cautions=["COOLANT"])
    start_step(by, uuid4(), step=drain)
    take_off(
        by,
        uuid4(),
        step=drain,
        what="Coolant",
        quantity="9,4",
        unit="L",
        how="drained",
        place="Drum C2",
        key="coolant",
    )
    finish_step(by, uuid4(), step=drain)
    start_step(by, uuid4(), step=bolts)
    return bolts


def picture(colour: str = "red", **saved) -> bytes:
    """Return a small JPEG as a phone would send it."""
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (60, 40), colour).save(out, format="JPEG", **saved)
    return out.getvalue()
