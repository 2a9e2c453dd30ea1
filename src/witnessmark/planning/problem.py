"""The values of a week problem: periods, learners, bays, tools, parts, jobs and their steps."""

from dataclasses import dataclass, field
from datetime import date, datetime, time
from enum import StrEnum

from witnessmark.errors import BenchError

PACE_PERCENT = 100  # of the minutes that a step is written with
LEAST_PACE_PERCENT, MOST_PACE_PERCENT = 50, 300


class Presence(StrEnum):
    """Who stands in the shop for a period."""

    IN = "in"  # the teacher: all work, and holds can be seen
    SUBSTITUTE = "substitute"  # only steps that allow it, and no hold
    OUT = "out"  # nobody who may supervise: no work


class PlaceKind(StrEnum):
    """Where work stands."""

    BAY = "bay"
    BENCH = "bench"


def clock_minutes(of: time) -> int:
    """Return the whole minutes since midnight.

    Parameters
    ----------
    of
        A time of day.

    Returns
    -------
    int
        Minutes after midnight. [min]
    """
    return of.hour * 60 + of.minute


def clock_time(minutes: int) -> time:
    """Return the time of day that lies so many minutes after midnight.

    Parameters
    ----------
    minutes
        Minutes after midnight, less than a day. [min]

    Returns
    -------
    time
        The time of day.
    """
    return time(minutes // 60, minutes % 60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """One dated lesson in the shop; `usable_min` runs from its start to tools down.

    Of a period that runs already, `gone_min` are gone: nothing is planned in them.
    """

    day: date
    number: int
    start: time
    end: time
    usable_min: int
    section: str
    presence: Presence = Presence.IN
    gone_min: int = 0

    def __post_init__(self) -> None:
        length_min = clock_minutes(self.end) - clock_minutes(self.start)
        if not length_min > 0:
            raise BenchError(
                f"{self.name} runs from {self.start:%H:%M} to {self.end:%H:%M}.",
                "A period must end after it starts, on the same day.",
                "Check both times and write them again.",
            )
        if not 0 < self.usable_min <= length_min:
            raise BenchError(
                f"{self.name} lasts {length_min} min but tools go down after "
                f"{self.usable_min} min.",
                "Tools down must lie inside the period.",
                "Write fewer minutes, or mend the times of the period.",
            )
        if not 0 <= self.gone_min <= self.usable_min:
            raise BenchError(
                f"{self.name}: {self.gone_min} min of {self.usable_min} min are gone.",
                "What is gone lies between the start and tools down.",
                "Leave a period out once its tools are down.",
            )

    @property
    def key(self) -> tuple[date, int]:
        """What names a period: its day and its number."""
        return self.day, self.number

    @property
    def name(self) -> str:
        """The period in words: `Tue 24 Nov, period 3`."""
        return f"{self.day:%a} {self.day.day} {self.day:%b}, period {self.number}"

    @property
    def starts_at(self) -> datetime:
        """Day and clock of its first minute."""
        return datetime.combine(self.day, self.start)

    def clock(self, minutes: int) -> time:
        """Return the clock so many minutes after the period starts. [min]"""
        return clock_time(clock_minutes(self.start) + minutes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Learner:
    """One learner as the timetable sees them; `absences` are keys of periods."""

    key: str
    name: str
    section: str
    permits: frozenset[str] = frozenset()
    skills: frozenset[str] = frozenset()
    practice: frozenset[str] = frozenset()  # tasks still to be practised
    absences: frozenset[tuple[date, int]] = frozenset()
    pace_percent: int = PACE_PERCENT

    def __post_init__(self) -> None:
        if not LEAST_PACE_PERCENT <= self.pace_percent <= MOST_PACE_PERCENT:
            raise BenchError(
                f"{self.name} has a pace of {self.pace_percent} %.",
                f"A pace lies between {LEAST_PACE_PERCENT} and {MOST_PACE_PERCENT} %; "
                "100 % takes the minutes as written, 125 % a quarter longer.",
                "Write a pace in that range.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """A place for one vehicle, or one bench."""

    key: str
    name: str
    kind: PlaceKind = PlaceKind.BAY


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A tool of which the shop has one."""

    key: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part on order; work that needs it can begin on the day it arrives."""

    key: str
    name: str
    arrives: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One sitting of work: a crew, its minutes, and what must be there.

    The teacher's hold fills the last `hold_min` minutes of the sitting, after the `minutes` of
    work. Everybody in the crew holds the permits; each skill is there at least once.
    """

    key: str
    title: str
    minutes: int
    people_min: int = 1
    people_max: int = 1
    needs: tuple[str, ...] = ()  # keys of steps of the same job that come before
    hold_min: int = 0
    permits: frozenset[str] = frozenset()
    skills: frozenset[str] = frozenset()
    tools: frozenset[str] = frozenset()
    parts: frozenset[str] = frozenset()
    practice: frozenset[str] = frozenset()  # tasks that it lets a learner practise
    wait_after_min: int = 0  # curing, cooling: on the real clock, over nights too
    at_place: bool = True  # it is done where the vehicle stands
    immobilises: bool = False  # from here on the vehicle cannot be moved
    frees: bool = False  # from its end on the vehicle can be moved again
    with_substitute: bool = False
    number: int = 0  # what it is shown with in its job; 0 for its place among the steps here

    def __post_init__(self) -> None:
        if not self.minutes > 0:
            raise BenchError(
                f"Step '{self.title}' takes {self.minutes} min.",
                "A step takes more than 0 min.",
                "Write how long a crew needs for it.",
            )
        if not (self.hold_min >= 0 and self.wait_after_min >= 0):
            raise BenchError(
                f"Step '{self.title}' has a hold of {self.hold_min} min and a wait of "
                f"{self.wait_after_min} min.",
                "Neither can be below 0 min.",
                "Leave them out where there is no hold and no wait.",
            )
        if not 1 <= self.people_min <= self.people_max:
            raise BenchError(
                f"Step '{self.title}' is for {self.people_min} to {self.people_max} people.",
                "A crew is at least one, and the most cannot be fewer than the least.",
                "Write the least and the most people for it again.",
            )
        if (self.immobilises or self.frees) and not self.at_place:
            raise BenchError(
                f"Step '{self.title}' makes the vehicle fast or free away from its place.",
                "A vehicle is put on stands, or taken off them, where it stands.",
                "Let the step be done at the place, or take the other entry out.",
            )
        if self.hold_min and self.with_substitute:
            raise BenchError(
                f"Step '{self.title}' has a hold and may be done with a substitute.",
                "Only the teacher can see a hold.",
                "Take one of the two out.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One vehicle's work in these weeks.

    `promised` counts as kept when the last step's period ends on that day, or by `promised_by`
    of that day where a time was given.
    """

    key: str
    name: str
    place: PlaceKind = PlaceKind.BAY
    promised: date | None = None
    promised_by: time | None = None
    bay_now: str | None = None  # where it stands today
    immobile_now: bool = False  # it cannot be moved out of `bay_now`
    bays: frozenset[str] = frozenset()  # only these; empty for any of its kind
    section: str = ""  # only its periods; empty for any
    crew_now: frozenset[str] = frozenset()  # who knows the job: they are named before others
    may_run_on: bool = False  # its last steps may wait until after these weeks
    weight: int = 1  # how much a late period of this job counts
    steps: tuple[Step, ...] = field(default=())

    def __post_init__(self) -> None:
        if not self.weight > 0:
            raise BenchError(
                f"{self.name} has a weight of {self.weight}.",
                "A promise counts at least once.",
                "Write 1, or more for a promise that matters more.",
            )
        if self.immobile_now and self.bay_now is None:
            raise BenchError(
                f"{self.name} cannot be moved, but no bay is named.",
                "A vehicle that cannot be moved stands somewhere.",
                "Name the bay where it stands.",
            )
