"""People without a shop: the rooms below do not need one."""

from datetime import UTC, datetime, timedelta

import pytest

from witnessmark.people.devices import new_token, token_hash
from witnessmark.people.models import Device, Person, Section
from witnessmark.people.sign_in import hashed_password, hashed_pin

NOW = datetime(2026, 11, 24, 11, 12, tzinfo=UTC)
PASSWORD = "three rusty spanners"


@pytest.fixture(autouse=True)
def quick_hashes(settings):
    """Hash quickly: the real hash is slow on purpose."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def teacher(db) -> Person:
    return Person.objects.create(
        name="R. Aldane",
        role="teacher",
        handle="aldane",
        password=hashed_password(PASSWORD),
        pin=hashed_pin("7391"),
    )


@pytest.fixture
def learner(db) -> Person:
    return Person.objects.create(name="Isla", role="learner", pin=hashed_pin("2846"))


@pytest.fixture
def section(db) -> Section:
    return Section.objects.create(name="Section 2")


@pytest.fixture
def token() -> str:
    return new_token()


@pytest.fixture
def tablet(teacher, section, token) -> Device:
    return Device.objects.create(
        token_hash=token_hash(token),
        name="Shop tablet 2",
        section=section,
        opened_by=teacher,
        opened_at=NOW,
        until=NOW + timedelta(minutes=48),
    )
