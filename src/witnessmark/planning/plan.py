"""A plan as values: sittings, how far each aim was reached, and how the search ended."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from witnessmark.planning.week import WeekProblem


class Status(StrEnum):
    """How a search for a plan ended; the last two are different news for a teacher."""

    PROVEN_BEST = "proven best"  # no plan keeps the promises better
    FOUND = "found"  # a plan that holds; a better one was not ruled out
    NONE_EXISTS = "none exists"  # proven: the work does not fit
    OUT_OF_TIME = "out of time"  # no plan found, and not proven that there is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """One crew at one step in one period; the hold fills its last minutes."""

    job: str
    step: str
    day: date
    number: int
    start_min: int  # after the period starts
    minutes: int  # work and hold together
    hold_min: int
    bay: str | None  # None for a step done elsewhere
    crew: tuple[str, ...]

    @property
    def end_min(self) -> int:
        """Minutes from the start of the period to the end of the sitting."""
        return self.start_min + self.minutes

    @property
    def hold_start_min(self) -> int:
        """Minutes from the start of the period to the teacher's look."""
        return self.end_min - self.hold_min

    @property
    def period(self) -> tuple[date, int]:
        """Key of the period it lies in."""
        return self.day, self.number


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One thing the plan strives for: what was reached, and what no plan can beat.

    The bound holds among plans that reach all aims of higher rank as well as this one does; it
    is None where the time did not last to look for it.
    """

    name: str
    reached: int
    bound: int | None
    unit: str

    @property
    def gap(self) -> int | None:
        """What a better plan could at most gain, in the unit of the aim."""
        return None if self.bound is None else abs(self.reached - self.bound)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFinish:
    """When a job is planned to be done, against its promise."""

    job: str
    finish: Sitting | None  # its last sitting; None if it is not finished in these weeks
    periods_late: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanResult:
    """What a search gave. `bound` and `gap` speak of the promises, in weighted periods late."""

    status: Status
    sittings: tuple[Sitting, ...]
    left_over: tuple[tuple[str, str], ...]  # job and step that stay for after these weeks
    aims: tuple[Aim, ...]  # in order of rank; the first is the promises
    reason: str  # why there is no plan; empty where there is one

    @property
    def has_plan(self) -> bool:
        """Whether there are sittings to work by."""
        return self.status in (Status.PROVEN_BEST, Status.FOUND)

    @property
    def late(self) -> int:
        """Weighted periods that promises are late."""
        assert self.has_plan, "no plan, no lateness"
        return self.aims[0].reached

    @property
    def bound(self) -> int:
        """Weighted periods late that no plan of this problem can beat."""
        assert self.has_plan and self.aims[0].bound is not None, "no plan, no bound"
        return self.aims[0].bound

    @property
    def gap(self) -> int:
        """Weighted periods late that a better plan could at most save."""
        return self.late - self.bound


def finishes(problem: WeekProblem, sittings: tuple[Sitting, ...]) -> tuple[JobFinish, ...]:
    """Return for each job with steps when it is done, and how late that is.

    Parameters
    ----------
    problem
        The weeks with their jobs and promises.
    sittings
        The plan.

    Returns
    -------
    tuple of JobFinish
        One for each job that has steps, in the order of the problem.
    """
    place = {period.key: at for at, period in enumerate(problem.periods)}
    found = []
    for job in problem.jobs:
        mine = [one for one in sittings if one.job == job.key]
        if not job.steps:
            continue
        done = {one.step for one in mine} >= {step.key for step in job.steps}
        last = max(mine, key=lambda one: (place[one.period], one.end_min)) if done else None
        late = problem.periods_late(job, place[last.period] if last else None)
        found.append(JobFinish(job=job.key, finish=last, periods_late=late))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How far a plan reaches each aim, counted from its sittings."""

    late: int  # weighted periods
    left_over_min: int  # minutes of work not planned
    busy_min: int  # learner-minutes of work, as the steps are written
    practised: int  # tasks practised by learners who need them
    changes: int  # steps of the published plan that move to another period
    bay_moves: int  # vehicles planned away from where they stand
    spread_min: int  # most less least minutes of one learner, the largest of all sections


def tally(
    problem: WeekProblem,
    sittings: tuple[Sitting, ...],
    published: tuple[Sitting, ...] = (),
) -> Tally:
    """Count how far a plan reaches each aim.

    Parameters
    ----------
    problem
        The weeks that are planned.
    sittings
        The plan.
    published
        The plan that people know by now; empty where there is none.

    Returns
    -------
    Tally
        The counts, without weights except those of the promises.
    """
    jobs = {job.key: job for job in problem.jobs}
    steps = {(job.key, step.key): step for job in problem.jobs for step in job.steps}
    planned = {(one.job, one.step): one for one in sittings}
    minutes = {one.key: 0 for one in problem.learners}
    met: set[tuple[str, str]] = set()
    needs = {one.key: one.practice for one in problem.learners}
    for key, one in planned.items():
        for learner in one.crew:
            minutes[learner] += steps[key].minutes
            met |= {(learner, task) for task in steps[key].practice & needs[learner]}
    known = {period.key for period in problem.periods}
    before = {(one.job, one.step): one for one in published if one.period in known}
    spreads = [0]
    for section in {one.section for one in problem.learners}:
        of = [minutes[one.key] for one in problem.learners if one.section == section]
        spreads.append(max(of) - min(of))
    return Tally(
        late=sum(jobs[one.job].weight * one.periods_late for one in finishes(problem, sittings)),
        left_over_min=sum(step.minutes for key, step in steps.items() if key not in planned),
        busy_min=sum(minutes.values()),
        practised=len(met),
        changes=sum(
            key in steps and (key not in planned or planned[key].period != one.period)
            for key, one in before.items()
        ),
        bay_moves=len(
            {
                one.job
                for one in sittings
                if one.bay and jobs[one.job].bay_now not in (None, one.bay)
            }
        ),
        spread_min=max(spreads),
    )
