"""The usable ticks of all periods behind one another on one axis, and who can work where."""

from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

from witnessmark.planning.problem import (
    Job,
    Learner,
    Period,
    Presence,
    Step,
    clock_minutes,
)
from witnessmark.planning.week import WeekProblem

DAY_MIN = 24 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """One period on the axis of ticks."""

    place: int  # counted from 0 among the periods
    base: int  # first tick on the axis
    ticks: int
    clock_min: int  # real minutes from the first midnight to its first tick
    first_min: int  # minutes of the period that are gone when its first tick begins
    period: Period

    @property
    def end(self) -> int:
        """First tick after tools down."""
        return self.base + self.ticks


class Axis:
    """A week problem laid on one axis; asked by every way of planning, not by the checker."""

    def __init__(self, problem: WeekProblem) -> None:
        self.problem = problem
        first_day = problem.periods[0].day
        gone = [problem.ticks(period.gone_min) for period in problem.periods]
        lengths = [
            max(0, period.usable_min // problem.tick_min - before)
            for period, before in zip(problem.periods, gone, strict=True)
        ]
        bases = [0, *accumulate(lengths)]
        self.windows = tuple(
            Window(
                place=at,
                base=bases[at],
                ticks=lengths[at],
                clock_min=(period.day - first_day).days * DAY_MIN
                + clock_minutes(period.start)
                + gone[at] * problem.tick_min,
                first_min=gone[at] * problem.tick_min,
                period=period,
            )
            for at, period in enumerate(problem.periods)
        )
        self.end = bases[-1]
        self._arrivals = {part.key: part for part in problem.parts}

    def present(self, window: Window) -> tuple[Learner, ...]:
        """Return the learners of the section who are there in this period."""
        return self._present[window.place]

    @cached_property
    def _present(self) -> tuple[tuple[Learner, ...], ...]:
        return tuple(
            tuple(
                one
                for one in self.problem.learners
                if one.section == window.period.section and window.period.key not in one.absences
            )
            for window in self.windows
        )

    def pool(self, step: Step, window: Window) -> tuple[Learner, ...]:
        """Return who may be in the crew of this step in this period."""
        return tuple(one for one in self.present(window) if step.permits <= one.permits)

    def paces(self, step: Step, window: Window) -> tuple[int, ...]:
        """Return the paces at which a crew of this step fits into this period. [%]"""
        pool = self.pool(step, window)
        return tuple(
            pace
            for pace in sorted({one.pace_percent for one in pool})
            if sum(one.pace_percent <= pace for one in pool) >= step.people_min
            and self.sitting(step, pace) <= window.ticks
        )

    def sitting(self, step: Step, pace_percent: int) -> int:
        """Return how long a sitting at this pace lasts. [ticks]"""
        return self.problem.sitting_min(step, pace_percent) // self.problem.tick_min

    def minute(self, window: Window, tick: int) -> int:
        """Return the minute of the period at which a tick begins. [min]"""
        return window.first_min + (tick - window.base) * self.problem.tick_min

    def tick(self, window: Window, minute: int) -> int:
        """Return the tick that begins at a minute of the period."""
        return window.base + (minute - window.first_min) // self.problem.tick_min

    def hold(self, step: Step) -> int:
        """Return how long the teacher looks at the end. [ticks]"""
        return self.problem.ticks(step.hold_min)

    def obstacle(self, job: Job, step: Step, window: Window) -> str | None:
        """Return in words what stands against this step in this period by itself, if anything."""
        period = window.period
        if job.section not in ("", period.section):
            return f"the class is {period.section}, and the job is of {job.section}"
        if period.presence is Presence.OUT:
            return "the teacher is out"
        if period.presence is Presence.SUBSTITUTE and not step.with_substitute:
            return "a substitute is in, and the step needs the teacher"
        for key in sorted(step.parts):
            part = self._arrivals[key]
            if period.day < part.arrives:
                return f"{part.name} has not arrived"
        return self._no_crew(step, window)

    def _no_crew(self, step: Step, window: Window) -> str | None:
        pool = self.pool(step, window)
        people = f"{step.people_min} {'person' if step.people_min == 1 else 'people'}"
        if len(pool) < step.people_min:
            if step.permits:
                permits = " and ".join(sorted(step.permits))
                return f"it takes {people} and {len(pool)} there hold the permit for {permits}"
            return f"it takes {people} and {len(pool)} are there"
        for skill in sorted(step.skills):
            if not any(skill in one.skills for one in pool):
                return f"nobody there can do {skill}"
        if not self.paces(step, window):
            need = min(
                self.problem.sitting_min(step, one.pace_percent)
                for one in sorted(pool, key=lambda one: one.pace_percent)[step.people_min - 1 :]
            )
            left = window.period.usable_min - window.period.gone_min
            return f"it takes {need} min and tools go down after {left} min"
        return None

    def open_windows(self, job: Job, step: Step) -> tuple[Window, ...]:
        """Return the periods in which nothing stands against this step by itself."""
        return self._open[job.key, step.key]

    @cached_property
    def _open(self) -> dict[tuple[str, str], tuple[Window, ...]]:
        return {
            (job.key, step.key): tuple(
                w for w in self.windows if self.obstacle(job, step, w) is None
            )
            for job in self.problem.jobs
            for step in job.steps
        }

    def places(self, job: Job) -> tuple[str, ...]:
        """Return the keys of the bays or benches that this job may stand on."""
        if job.immobile_now:
            assert job.bay_now is not None
            return (job.bay_now,)
        return tuple(
            bay.key
            for bay in self.problem.bays
            if bay.kind is job.place and (not job.bays or bay.key in job.bays)
        )

    def following(self, job: Job) -> dict[str, frozenset[str]]:
        """Return for each step of a job the keys of all steps that come after it."""
        after: dict[str, frozenset[str]] = {}

        def look(key: str) -> frozenset[str]:
            if key not in after:
                direct = [step.key for step in job.steps if key in step.needs]
                after[key] = frozenset(direct).union(*(look(one) for one in direct))
            return after[key]

        for step in job.steps:
            look(step.key)
        return after
