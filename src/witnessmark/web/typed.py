"""Days, hours, numbers and photos as forms send them, refused in words where they cannot be."""

from datetime import date, time

from django.http import HttpRequest

from witnessmark.errors import BenchError
from witnessmark.record.acts.photos import must_be_small_enough


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


def picture(request: HttpRequest) -> bytes:
    """Return the photo that was sent; one that is far too large is not read at all."""
    sent = request.FILES.get("photo")
    if sent is None:
        raise BenchError(
            "No photo came.", "A photo is a picture file.", "Take it, look at it, send it."
        )
    must_be_small_enough(sent.size)
    return bytes(sent.read())
