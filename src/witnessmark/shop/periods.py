"""Periods: made from a weekly pattern, found by the time of day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from witnessmark.errors import BenchError
from witnessmark.shop.models import Period, Shop

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeklyPeriod:
    """One lesson of the weekly pattern, in the shop's own time."""

    weekday: int  # 0 is Monday
    number: int
    start: time
    end: time
    section_id: UUID
    presence: str = "in"

    def __post_init__(self) -> None:
        if self.weekday not in range(7):
            raise BenchError(
                f"Day {self.weekday} is not a day of the week.",
                "0 is Monday and 6 is Sunday.",
                "Choose the day again.",
            )
        if not self.start < self.end:
            raise BenchError(
                f"Period {self.number} on {DAYS[self.weekday]} runs from {self.start:%H:%M} "
                f"to {self.end:%H:%M}.",
                "A period ends after it starts.",
                "Check the two times.",
            )


def dated(pattern: Sequence[WeeklyPeriod], first: date, days: int = 14) -> tuple[Period, ...]:
    """Return the dated periods of a weekly pattern, not yet saved."""
    made = []
    for offset in range(days):
        day = first + timedelta(days=offset)
        made += [
            Period(
                date=day,
                number=weekly.number,
                start=weekly.start,
                end=weekly.end,
                section_id=weekly.section_id,
                presence=weekly.presence,
            )
            for weekly in pattern
            if weekly.weekday == day.weekday()
        ]
    return tuple(made)


def zone() -> ZoneInfo:
    """Return the shop's zone; UTC before there is a shop."""
    name = Shop.objects.filter(pk=1).values_list("zone", flat=True).first()
    return ZoneInfo(name or "UTC")


def moment(day: date, at: time, where: ZoneInfo) -> datetime:
    """Return a time of day in the shop as a moment in UTC."""
    return datetime.combine(day, at, tzinfo=where).astimezone(UTC)


def period_at(now: datetime, section_id: UUID | None = None) -> Period | None:
    """Return the period that runs now, of one section or of any."""
    local = now.astimezone(zone())
    running = Period.objects.select_related("section").filter(
        date=local.date(), start__lte=local.time(), end__gt=local.time()
    )
    if section_id is not None:
        running = running.filter(section_id=section_id)
    return running.first()
