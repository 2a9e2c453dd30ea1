"""What forms send: choices, days, hours, numbers, photos; refused where they cannot be."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, time
from typing import TypeVar
from uuid import UUID

from django.db.models import Model, QuerySet
from django.http import Http404, HttpRequest

from witnessmark.errors import BenchError
from witnessmark.record.acts.photos import must_be_small_enough

Row = TypeVar("Row", bound=Model)


def sent_id(text: str) -> UUID | None:
    """Return the id that a form sent; none where it is no id.

    >>> sent_id("nobody") is None
    True
    """
    try:
        return UUID(text)
    except ValueError:
        return None


def chosen(rows: QuerySet[Row], text: str) -> Row | None:
    """Return which of these rows a form chose; none where it left the choice open.

    Anything else was never offered by a page of this shop, and is not found.
    """
    if not text:
        return None
    found = _of(rows, text)
    if found is None:
        raise Http404
    return found


def must_choose(rows: QuerySet[Row], text: str, otherwise: BenchError | None = None) -> Row:
    """Return which of these rows a form chose; where it is none, say so, or find nothing."""
    found = _of(rows, text)
    if found is None:
        raise otherwise or Http404
    return found


def _of(rows: QuerySet[Row], text: str) -> Row | None:
    id = sent_id(text)
    return None if id is None else rows.filter(pk=id).first()


@contextmanager
def about(field: str) -> Iterator[None]:
    """Say of a refusal which field it is about, so that the page can point at it."""
    try:
        yield
    except BenchError as error:
        error.field = field
        raise


def day(text: str) -> date | None:
    """Return a day, or none where the field is empty.

    >>> day("2026-11-24")
    datetime.date(2026, 11, 24)
    """
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BenchError(
            f"“{text}” is not a day.", "Year, month and day are needed.", "Write it as 2026-11-24."
        ) from None


def hour(text: str) -> time:
    """Return a time of day."""
    try:
        return time.fromisoformat(text)
    except ValueError:
        raise BenchError(
            f"“{text}” is not a time of day.", "Hours and minutes are needed.", "Write it as 10:40."
        ) from None


def whole(text: str, what: str) -> int:
    """Return a whole number of something."""
    if not (text.isascii() and text.isdigit()):
        raise BenchError(
            f"“{text}” is not a number of {what}.",
            "A whole number is needed.",
            "Write figures only.",
        )
    return int(text)


def reason(request: HttpRequest) -> str:
    """Return why something is changed: what was chosen, and the writer's own words."""
    said = (request.POST.get("reason", ""), request.POST.get("words", "").strip())
    return ": ".join(part for part in said if part)


def picture(request: HttpRequest) -> bytes:
    """Return the photo that was sent; one that is far too large is not read at all."""
    sent = request.FILES.get("photo")
    if sent is None:
        raise BenchError(
            "No photo came.", "A photo is a picture file.", "Take it, look at it, send it."
        )
    must_be_small_enough(sent.size)
    return bytes(sent.read())
