"""The one clock: wall time and an offset, or the time that a demo was given."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime, timedelta

from django.conf import settings

_given: ContextVar[datetime | None] = ContextVar("given time", default=None)


def now() -> datetime:
    """Return the shop's time, in UTC."""
    given = _given.get()
    if given is not None:
        return given
    return datetime.now(UTC) + timedelta(seconds=settings.CLOCK_OFFSET_SECONDS)


@contextmanager
def at(moment: datetime) -> Iterator[None]:
    """Let the clock stand at one moment, for a demo that is played or a test."""
    if moment.tzinfo is None:
        raise ValueError("a moment without a zone is no moment")
    token = _given.set(moment.astimezone(UTC))
    try:
        yield
    finally:
        _given.reset(token)
