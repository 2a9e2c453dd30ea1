"""The intake form as it is filled in, and every slip of the pen in it, each at its field."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from witnessmark.errors import BenchError
from witnessmark.record.odometer import must_be_odometer

FIRST_YEAR = 1886  # no motor vehicle is older
NEEDED = {  # of a customer's vehicle, by the intake's fields
    "owner_name": "the owner's name",
    "owner_phone": "the owner's phone number",
    "promised": "a promised date",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """The intake form as filled in so far; only the vehicle's name is needed to keep it."""

    vehicle: str  # what the shop calls it: "Library bus"
    kind: str = "customer"
    make: str = ""
    model: str = ""  # the maker's name for it
    serial: str = ""
    plate: str = ""
    year: int | None = None
    odometer: str = ""  # as read, with its unit
    owner_name: str = ""
    owner_phone: str = ""
    owner_address: str = ""
    lamps: str = ""
    condition: str = ""
    keys: str = ""
    says: str = ""  # the owner's words, kept here until they are the job's complaint
    happens: str = ""
    old_parts_wanted: bool | None = None
    not_before: datetime | None = None
    promised: datetime | None = None


def slips_half_done(intake: Intake) -> list[BenchError]:
    """Return why an intake cannot be kept half done: without a name nobody finds it again."""
    found = []
    if not intake.vehicle.strip():
        found.append(
            BenchError(
                "The vehicle has no name.",
                "The shop needs something to call it.",
                "Write it as people say it, as in Library bus.",
                field="vehicle",
            )
        )
    if intake.kind not in {"customer", "training"}:
        found.append(
            BenchError(
                f"A job of kind '{intake.kind}'.",
                "It is customer or training.",
                "Choose one of them.",
            )
        )
    return found


def slips(intake: Intake, complaint: str, now: datetime) -> list[BenchError]:
    """Return everything for which an intake cannot be a job yet; half done, most of it may stand.

    >>> kept = Intake(vehicle="Library bus", owner_name="Harbour library", year=1066)
    >>> [one.field for one in slips(kept, "It stalls.", datetime(2026, 11, 24))]
    ['owner_phone', 'promised', 'year']
    """
    return [
        *slips_half_done(intake),
        *_lacking(intake, complaint),
        *_odometer(intake),
        *_year(intake, now),
        *_promise(intake, now),
    ]


def promise_turned(promised: datetime, not_before: datetime | None) -> BenchError | None:
    """Return why a vehicle cannot be handed back between two moments; None where it can.

    >>> noon = datetime(2026, 12, 1, 12)
    >>> promise_turned(noon, noon).field, promise_turned(noon, noon - timedelta(hours=1))
    ('promised', None)
    """
    if not_before is None or promised > not_before:
        return None
    return BenchError(
        "“At the latest” does not lie after “not before”.",
        "The vehicle is handed back between the two.",
        "Write a later day at “at the latest”, or an earlier one at “not before”.",
        field="promised",
    )


def _lacking(intake: Intake, complaint: str) -> Iterator[BenchError]:
    if intake.kind != "customer":
        return
    of = f"The intake of {intake.vehicle}" if intake.vehicle.strip() else "The intake"
    if not complaint.strip():
        yield BenchError(
            f"{of} has no complaint.",
            "Work starts from what the owner says.",
            "Write it in the owner's own words.",
            field="says",
        )
    for field, words in NEEDED.items():
        if not getattr(intake, field):
            yield BenchError(
                f"{of} lacks {words}.",
                "A job needs it before work begins.",
                "Ask the owner, or keep the intake half done.",
                field=field,
            )


def _odometer(intake: Intake) -> Iterator[BenchError]:
    try:
        if intake.odometer.strip():
            must_be_odometer(intake.odometer)
    except BenchError as error:
        yield error


def _year(intake: Intake, now: datetime) -> Iterator[BenchError]:
    if intake.year is not None and not FIRST_YEAR <= intake.year <= now.year + 1:
        yield BenchError(
            f"The vehicle is of the year {intake.year}.",
            f"A vehicle was built between {FIRST_YEAR} and next year.",
            "Read the year on the papers, or leave it empty.",
            field="year",
        )


def _promise(intake: Intake, now: datetime) -> Iterator[BenchError]:
    if intake.promised is None:
        return
    if not intake.promised > now - timedelta(days=1):
        yield BenchError(
            "The promised day is over already.",
            "A promise lies ahead.",
            "Ask the owner when the vehicle is needed, and write that day.",
            field="promised",
        )
    elif error := promise_turned(intake.promised, intake.not_before):
        yield error
