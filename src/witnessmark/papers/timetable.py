"""A plan as it is shown: rows of places with their sittings, holds and promises, and tables."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from witnessmark.planning import (
    Job,
    JobFinish,
    Period,
    Sitting,
    Step,
    WeekProblem,
    finishes,
)

HOLD = "hold"  # the state of a hold that nobody has looked at yet


def day_words(of: date) -> str:
    """Return a day as people say it in class.

    Parameters
    ----------
    of
        The day.

    Returns
    -------
    str
        Weekday, day and month.

    Examples
    --------
    >>> day_words(date(2026, 11, 24))
    'Tue 24 Nov'
    """
    return f"{of:%a} {of.day} {of:%b}"


def span_words(first: date, last: date) -> str:
    """Return a span of days, the month said once where it is the same.

    Parameters
    ----------
    first
        The first day.
    last
        The last day.

    Returns
    -------
    str
        Both days in words.

    Examples
    --------
    >>> span_words(date(2026, 11, 24), date(2026, 11, 27))
    '24 to 27 Nov'
    >>> span_words(date(2026, 11, 30), date(2026, 12, 4))
    '30 Nov to 4 Dec'
    """
    if first == last:
        return day_words(first)
    month = "" if first.month == last.month else f" {first:%b}"
    return f"{first.day}{month} to {last.day} {last:%b}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """One sitting with the words that are shown for it."""

    sitting: Sitting
    job: Job
    step: Step
    place: int  # of its period among those that are shown
    period: Period
    row: int  # of its place among the rows
    crew: tuple[str, ...]
    hold_number: str  # what the row is called at the teacher's line
    hold_state: str

    @property
    def step_number(self) -> int:
        """The number that the step is shown with."""
        return self.step.number or self.job.steps.index(self.step) + 1

    @property
    def begins(self) -> str:
        """Clock at its start."""
        return f"{self.period.clock(self.sitting.start_min):%H:%M}"

    @property
    def ends(self) -> str:
        """Clock at its end."""
        return f"{self.period.clock(self.sitting.end_min):%H:%M}"

    @property
    def looks(self) -> str:
        """Clock at the teacher's look; empty where there is none."""
        if not self.sitting.hold_min:
            return ""
        return f"{self.period.clock(self.sitting.hold_start_min):%H:%M}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """One job's promise against its planned finish."""

    job: Job
    row: int
    finish: Seat | None
    flag_at: int | None  # shown periods that keep it; None: its day is after these weeks
    spare: int | None  # periods for the job between finish and promise; None where unknown
    periods_late: int

    @property
    def flag(self) -> str:
        """The promised day, as it stands beside the flag; empty without a promise."""
        if self.job.promised is None:
            return ""
        by = f" {self.job.promised_by:%H:%M}" if self.job.promised_by else ""
        return f"{day_words(self.job.promised)}{by}"

    @property
    def words(self) -> str:
        """How the planned finish stands to the promise."""
        if self.finish is None:
            if self.periods_late:
                return "not done in these weeks, too late"
            return "not done in these weeks"
        if self.job.promised is None:
            return "no promise"
        if self.periods_late:
            return f"{_periods(self.periods_late)} late"
        if self.spare is None:
            return "in time"
        return f"{_periods(self.spare)} to spare" if self.spare else "in time, nothing to spare"

    @property
    def finish_words(self) -> str:
        """The planned finish in words."""
        if self.finish is None:
            return "after these weeks"
        return f"{day_words(self.finish.period.day)}, {self.finish.ends}"


def _periods(count: int) -> str:
    return f"{count} period" if count == 1 else f"{count} periods"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One bay or bench, or a job that stands nowhere; and who stands there."""

    name: str
    short: str
    vehicles: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """One line of 'Show as table'."""

    day: str
    period: str
    clock: str
    place: str
    job: str
    step: str
    crew: str
    looks: str  # when the teacher looks; empty for no hold


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPart:
    """One period of the list by day that phones show."""

    name: str
    clock: str
    lines: tuple[TableRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day of that list."""

    name: str
    parts: tuple[DayPart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Timetable:
    """Everything that the drawing, the table and the list show, and nothing else."""

    title: str
    teacher: str
    periods: tuple[Period, ...]
    rows: tuple[Row, ...]
    seats: tuple[Seat, ...]
    promises: tuple[Promise, ...]
    now: datetime | None

    @property
    def holds(self) -> tuple[Seat, ...]:
        """The sittings with a hold, in the order in which the teacher looks."""
        holding = [seat for seat in self.seats if seat.sitting.hold_min]
        return tuple(sorted(holding, key=lambda one: (one.place, one.sitting.hold_start_min)))

    def table(self) -> tuple[TableRow, ...]:
        """Return the plan as lines, by the clock and then by place."""
        ordered = sorted(self.seats, key=lambda one: (one.place, one.sitting.start_min, one.row))
        return tuple(
            TableRow(
                day=day_words(seat.period.day),
                period=f"Period {seat.period.number}",
                clock=f"{seat.begins} to {seat.ends}",
                place=self.rows[seat.row].name if seat.sitting.bay else "",
                job=seat.job.name,
                step=seat.step.title,
                crew=", ".join(seat.crew),
                looks=seat.looks,
            )
            for seat in ordered
        )

    def days(self) -> tuple[Day, ...]:
        """Return the plan as a list by day; periods without work are left out."""
        found = []
        lines = self.table()
        clocks = {
            (day_words(one.day), f"Period {one.number}"): f"{one.start:%H:%M} to {one.end:%H:%M}"
            for one in self.periods
        }
        for day, of_day in groupby(lines, key=lambda line: line.day):
            parts = tuple(
                DayPart(name=name, clock=clocks[day, name], lines=tuple(of_period))
                for name, of_period in groupby(of_day, key=lambda line: line.period)
            )
            found.append(Day(name=day, parts=parts))
        return tuple(found)


def make_timetable(
    problem: WeekProblem,
    sittings: tuple[Sitting, ...],
    *,
    now: datetime | None = None,
    hold_states: Mapping[tuple[str, str], str] | None = None,
) -> Timetable:
    """Put a plan into the rows and words in which it is shown.

    Parameters
    ----------
    problem
        The weeks that were planned.
    sittings
        The plan.
    now
        Day and clock of the line 'now'; None leaves it out.
    hold_states
        State of the mark of a job and step, where it is no longer a plain hold.

    Returns
    -------
    Timetable
        What is shown.
    """
    states = hold_states or {}
    row_of, rows = _rows(problem, sittings)
    periods = _shown_periods(problem, sittings)
    place_of = {period.key: at for at, period in enumerate(periods)}
    names = {one.key: one.name for one in problem.learners}
    seats: dict[Sitting, Seat] = {}
    for sitting in sittings:
        job = next(one for one in problem.jobs if one.key == sitting.job)
        place = place_of[sitting.period]
        seats[sitting] = Seat(
            sitting=sitting,
            job=job,
            step=next(one for one in job.steps if one.key == sitting.step),
            place=place,
            period=periods[place],
            row=row_of[sitting.job],
            crew=tuple(names[key] for key in sitting.crew),
            hold_number=rows[row_of[sitting.job]].short,
            hold_state=states.get((sitting.job, sitting.step), HOLD),
        )
    return Timetable(
        title=span_words(periods[0].day, periods[-1].day),
        teacher=problem.teacher,
        periods=periods,
        rows=rows,
        seats=tuple(seats.values()),
        promises=tuple(
            _promise(problem, one, row_of[one.job], seats, periods)
            for one in finishes(problem, sittings)
        ),
        now=now,
    )


def _promise(
    problem: WeekProblem,
    one: JobFinish,
    row: int,
    seats: Mapping[Sitting, Seat],
    periods: tuple[Period, ...],
) -> Promise:
    job = next(job for job in problem.jobs if job.key == one.job)
    kept = _kept(problem, job)
    finish = seats[one.finish] if one.finish else None
    spare = None
    if finish is not None and kept is not None:
        spare = sum(
            period.starts_at > finish.period.starts_at and job.section in ("", period.section)
            for period in kept
        )
    return Promise(
        job=job,
        row=row,
        finish=finish,
        flag_at=None if kept is None else sum(period in kept for period in periods),
        spare=spare,
        periods_late=one.periods_late,
    )


def _kept(problem: WeekProblem, job: Job) -> tuple[Period, ...] | None:
    """Return the periods that keep a promise; None where its day is after these weeks."""
    last = problem.last_kept(job)
    if last is not None:
        return problem.periods[: last + 1]
    if job.promised and job.promised <= problem.periods[-1].day:
        return problem.periods
    return None


def _shown_periods(problem: WeekProblem, sittings: tuple[Sitting, ...]) -> tuple[Period, ...]:
    """Return the periods worth showing: of classes that work, until all is done or promised."""
    used = {one.period for one in sittings}
    classes = {period.section for period in problem.periods if period.key in used}
    of_class = [period for period in problem.periods if period.section in classes]
    until = max((period.day for period in of_class if period.key in used), default=None)
    if until is None:
        return problem.periods
    until = max([until, *(job.promised for job in problem.jobs if job.promised)])
    return tuple(period for period in of_class if period.day <= until)


def _rows(
    problem: WeekProblem, sittings: tuple[Sitting, ...]
) -> tuple[dict[str, int], tuple[Row, ...]]:
    """Return the row of each job: places in the order of the shop, then jobs without one."""
    stands = {job.key: job.bay_now for job in problem.jobs}
    stands |= {one.job: one.bay for one in sittings if one.bay is not None}
    first = {one.job: one for one in reversed(sittings)}
    row_of: dict[str, int] = {}
    rows: list[Row] = []
    for bay in problem.bays:
        here = [job for job in problem.jobs if stands[job.key] == bay.key]
        here.sort(key=lambda job: first[job.key].period if job.key in first else (date.max, 0))
        row_of |= {job.key: len(rows) for job in here}
        if here:
            names = ", then ".join(job.name for job in here)
            rows.append(Row(name=bay.name, short=bay.name.split()[-1], vehicles=names))
    for job in problem.jobs:
        if stands[job.key] is None:
            row_of[job.key] = len(rows)
            rows.append(Row(name=job.name, short=job.name[:1], vehicles=""))
    return row_of, tuple(rows)


def week_starts(periods: tuple[Period, ...]) -> tuple[tuple[int, str], ...]:
    """Return for each week the place of its first period and its days in words.

    Parameters
    ----------
    periods
        The periods in the order of the clock.

    Returns
    -------
    tuple of (int, str)
        Place and words, one for each calendar week that has a period.
    """

    def monday(period: Period) -> date:
        return period.day - timedelta(days=period.day.weekday())

    found = []
    for _, group in groupby(enumerate(periods), key=lambda pair: monday(pair[1])):
        of_week = list(group)
        found.append((of_week[0][0], span_words(of_week[0][1].day, of_week[-1][1].day)))
    return tuple(found)


def busiest_words(timetable: Timetable) -> str:
    """Return in one sentence in which period the teacher looks most.

    Parameters
    ----------
    timetable
        The plan that is shown.

    Returns
    -------
    str
        Period, holds and minutes; that there is none where nothing waits for the teacher.
    """
    looks: dict[int, list[int]] = {}
    for seat in timetable.holds:
        looks.setdefault(seat.place, []).append(seat.sitting.hold_min)
    if not looks:
        return "No hold is planned."
    place, minutes = max(looks.items(), key=lambda one: (sum(one[1]), -one[0]))
    period = timetable.periods[place]
    count = f"{len(minutes)} hold" + ("" if len(minutes) == 1 else "s")
    return f"Busiest: {period.name}, {count}, {sum(minutes)} min of looking."
