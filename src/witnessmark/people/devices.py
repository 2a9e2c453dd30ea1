"""Shared tablets and phones: a teacher opens one for a section; its token is in a cookie."""

import hashlib
import secrets
from datetime import datetime

from witnessmark.people.models import Device, Membership, Person


def new_token() -> str:
    """Return a token that only the device will hold."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """Return what the shop keeps of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


def device_for(token: str, now: datetime) -> Device | None:
    """Return the open device that holds this token."""
    return (
        Device.objects.select_related("section", "opened_by")
        .filter(token_hash=token_hash(token), closed_at=None, until__gt=now)
        .first()
    )


def is_open(device: Device, now: datetime) -> bool:
    """Return whether the device is open now."""
    return device.closed_at is None and device.until > now


def people_of(section_id: object, today: object) -> list[Person]:
    """Return who belongs to a section on one day, by name."""
    members = Membership.objects.filter(section_id=section_id, start__lte=today).exclude(
        end__lt=today
    )
    return list(
        Person.objects.filter(pk__in=members.values("person_id"), is_active=True).order_by(
            "name", "id"
        )
    )
