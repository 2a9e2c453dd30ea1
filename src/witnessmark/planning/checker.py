"""The independent check of a plan: every hard rule again, from the dates, without the solver.

It shares only the values with the search, no axis and no model, so that a mistake in one is
not a mistake in both.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import combinations

from witnessmark.planning.plan import Sitting
from witnessmark.planning.problem import Job, Learner, Period, Presence, Step
from witnessmark.planning.week import WeekProblem


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One broken rule of a plan; `rule` names it for programs."""

    rule: str
    sentence: str

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """One sitting with the values that it names."""

    sitting: Sitting
    job: Job
    step: Step
    period: Period
    crew: tuple[Learner, ...]

    @property
    def words(self) -> str:
        return f"'{self.step.title}' of {self.job.name} ({self.period.name})"

    @property
    def starts(self) -> datetime:
        return self.period.starts_at + timedelta(minutes=self.sitting.start_min)

    @property
    def ends(self) -> datetime:
        return self.period.starts_at + timedelta(minutes=self.sitting.end_min)

    @property
    def looks(self) -> datetime:
        return self.period.starts_at + timedelta(minutes=self.sitting.hold_start_min)


def check_plan(problem: WeekProblem, sittings: tuple[Sitting, ...]) -> tuple[Breach, ...]:
    """Return every hard rule that a plan breaks.

    Parameters
    ----------
    problem
        The weeks that are planned.
    sittings
        The plan, from wherever it came.

    Returns
    -------
    tuple of Breach
        Named breaches in sentences; empty where the plan holds.
    """
    found: list[Breach] = []
    seen = []
    for sitting in sittings:
        unknown = list(_unknown(problem, sitting))
        found += unknown
        if not unknown:
            seen.append(_look_up(problem, sitting))
    for one in seen:
        found += _alone(problem, one)
    for first, second in combinations(seen, 2):
        found += _together(first, second)
    for job in problem.jobs:
        mine = [one for one in seen if one.job is job]
        found += _in_order(job, mine)
        found += _whole(job, mine)
        found += _standing(problem, job, mine, seen)
    return tuple(found)


def _unknown(problem: WeekProblem, sitting: Sitting) -> Iterator[Breach]:
    jobs = {job.key: job for job in problem.jobs}
    named = f"A sitting of '{sitting.step}'"
    if sitting.job not in jobs:
        yield Breach(
            rule="unknown job", sentence=f"{named} names job '{sitting.job}': no such job."
        )
    elif sitting.step not in {step.key for step in jobs[sitting.job].steps}:
        yield Breach(
            rule="unknown step",
            sentence=f"{jobs[sitting.job].name} has no step '{sitting.step}'.",
        )
    if sitting.period not in {period.key for period in problem.periods}:
        yield Breach(
            rule="unknown period",
            sentence=f"{named} lies in period {sitting.number} of {sitting.day}: no such period.",
        )
    if sitting.bay is not None and sitting.bay not in {bay.key for bay in problem.bays}:
        yield Breach(rule="unknown bay", sentence=f"{named} names '{sitting.bay}': no such place.")
    for key in sitting.crew:
        if key not in {one.key for one in problem.learners}:
            yield Breach(
                rule="unknown learner", sentence=f"{named} names '{key}': no such learner."
            )


def _look_up(problem: WeekProblem, sitting: Sitting) -> _Seen:
    job = next(job for job in problem.jobs if job.key == sitting.job)
    learners = {one.key: one for one in problem.learners}
    return _Seen(
        sitting=sitting,
        job=job,
        step=next(step for step in job.steps if step.key == sitting.step),
        period=next(one for one in problem.periods if one.key == sitting.period),
        crew=tuple(learners[key] for key in sitting.crew),
    )


def _alone(problem: WeekProblem, one: _Seen) -> Iterator[Breach]:
    """Yield what is wrong with one sitting by itself."""
    yield from _times(problem, one)
    yield from _teacher(one)
    yield from _crew(one)
    if one.job.section not in ("", one.period.section):
        yield Breach(
            rule="other section's job",
            sentence=f"{one.words} is a job of {one.job.section}, not of {one.period.section}.",
        )
    for part in problem.parts:
        if part.key in one.step.parts and one.period.day < part.arrives:
            yield Breach(
                rule="part not there",
                sentence=f"{one.words} needs {part.name}, which arrives on {_day(part.arrives)}.",
            )
    place = one.sitting.bay
    if one.step.at_place and place is None:
        yield Breach(rule="no place", sentence=f"{one.words} has no {one.job.place}.")
    if place is not None:
        bay = next(bay for bay in problem.bays if bay.key == place)
        if bay.kind is not one.job.place or (one.job.bays and place not in one.job.bays):
            yield Breach(
                rule="wrong place",
                sentence=f"{one.words} is on {bay.name}, where {one.job.name} may not stand.",
            )


def _times(problem: WeekProblem, one: _Seen) -> Iterator[Breach]:
    sitting, tick = one.sitting, problem.tick_min
    if sitting.start_min % tick or sitting.minutes % tick:
        yield Breach(
            rule="off the tick",
            sentence=f"{one.words} does not start and end on a multiple of {tick} min.",
        )
    if sitting.start_min < 0:
        yield Breach(rule="before the period", sentence=f"{one.words} starts before the period.")
    elif sitting.start_min < one.period.gone_min:
        yield Breach(
            rule="in time that is gone",
            sentence=f"{one.words} starts in minutes of the period that are gone.",
        )
    if sitting.end_min > one.period.usable_min:
        over = sitting.end_min - one.period.usable_min
        yield Breach(
            rule="past tools down", sentence=f"{one.words} ends {over} min after tools down."
        )
    slowest = max((learner.pace_percent for learner in one.crew), default=100)
    need = problem.sitting_min(one.step, slowest)
    if sitting.minutes < need:
        yield Breach(
            rule="too short",
            sentence=f"{one.words} is planned for {sitting.minutes} min; this crew needs {need}.",
        )


def _teacher(one: _Seen) -> Iterator[Breach]:
    hold = one.sitting.hold_min
    if hold < one.step.hold_min or (hold > 0 and one.step.hold_min == 0):
        yield Breach(
            rule="wrong hold",
            sentence=f"{one.words} has a look of {hold} min; its hold takes {one.step.hold_min}.",
        )
    if one.period.presence is Presence.OUT:
        yield Breach(rule="teacher out", sentence=f"{one.words}: the teacher is out.")
    elif one.period.presence is Presence.SUBSTITUTE and not one.step.with_substitute:
        yield Breach(
            rule="substitute",
            sentence=f"{one.words} needs the teacher, and a substitute is in.",
        )


def _crew(one: _Seen) -> Iterator[Breach]:
    size, step = len(one.crew), one.step
    if len(set(one.sitting.crew)) != size:
        yield Breach(rule="named twice", sentence=f"{one.words} names a learner twice.")
    if size < step.people_min:
        yield Breach(
            rule="crew too small", sentence=f"{one.words} has {size}; it takes {step.people_min}."
        )
    if size > step.people_max:
        yield Breach(
            rule="crew too large",
            sentence=f"{one.words} has {size}; it has room for {step.people_max}.",
        )
    for learner in one.crew:
        if learner.section != one.period.section:
            yield Breach(
                rule="other section",
                sentence=f"{learner.name} is at {one.words}, a period of {one.period.section}.",
            )
        if one.period.key in learner.absences:
            yield Breach(rule="absent", sentence=f"{learner.name} is away during {one.words}.")
        for permit in sorted(step.permits - learner.permits):
            yield Breach(
                rule="no permit",
                sentence=f"{learner.name} has no permit for {permit}, needed at {one.words}.",
            )
    for skill in sorted(step.skills):
        if not any(skill in learner.skills for learner in one.crew):
            yield Breach(rule="no skill", sentence=f"Nobody at {one.words} can do {skill}.")


def _together(first: _Seen, second: _Seen) -> Iterator[Breach]:
    """Yield what is wrong between two sittings."""
    pair = f"{first.words} and {second.words}"
    if first.job is second.job and first.step is second.step:
        yield Breach(rule="planned twice", sentence=f"{first.words} is planned twice.")
    both_hold = first.sitting.hold_min and second.sitting.hold_min
    if both_hold and first.looks < second.ends and second.looks < first.ends:
        yield Breach(
            rule="two holds at once", sentence=f"The teacher looks at {pair} at the same time."
        )
    if first.period is second.period and first.job is not second.job:
        place = first.sitting.bay
        if place is not None and place == second.sitting.bay:
            yield Breach(
                rule="two vehicles on one place",
                sentence=f"{pair} are on the same place in one period.",
            )
    if first.starts < second.ends and second.starts < first.ends:
        for learner in first.crew:
            if learner in second.crew:
                yield Breach(
                    rule="two crews at once", sentence=f"{learner.name} is at {pair} at once."
                )
        for key in sorted(first.step.tools & second.step.tools):
            yield Breach(rule="one tool twice", sentence=f"The tool '{key}' is at {pair} at once.")


def _in_order(job: Job, mine: list[_Seen]) -> Iterator[Breach]:
    by_key = {one.step.key: one for one in mine}
    for one in mine:
        for key in one.step.needs:
            before = by_key.get(key)
            if before is None:
                yield Breach(
                    rule="step before missing",
                    sentence=f"{one.words} comes after '{key}', which is not planned.",
                )
            elif one.starts < before.ends:
                yield Breach(
                    rule="out of order", sentence=f"{one.words} starts before {before.words} ends."
                )
            elif one.starts < before.ends + timedelta(minutes=before.step.wait_after_min):
                yield Breach(
                    rule="wait too short",
                    sentence=f"{one.words} starts before the {before.step.wait_after_min} min "
                    f"after {before.words} are over.",
                )


def _whole(job: Job, mine: list[_Seen]) -> Iterator[Breach]:
    if not job.may_run_on:
        for step in job.steps:
            if not any(one.step is step for one in mine):
                yield Breach(
                    rule="not planned", sentence=f"'{step.title}' of {job.name} is not planned."
                )


def _standing(
    problem: WeekProblem, job: Job, mine: list[_Seen], everyone: list[_Seen]
) -> Iterator[Breach]:
    """Yield what is wrong with where one vehicle stands over the weeks."""
    places = {one.sitting.bay for one in mine if one.sitting.bay is not None}
    if len(places) > 1:
        yield Breach(rule="two places", sentence=f"{job.name} is planned on {len(places)} places.")
    if job.immobile_now and places - {job.bay_now}:
        yield Breach(
            rule="cannot be moved",
            sentence=f"{job.name} cannot be moved, and is planned away from where it stands.",
        )
    fast = _fast_from_to(problem, job, mine)
    if fast is None:
        return
    place = job.bay_now if job.immobile_now else next(iter(places), None)
    for other in everyone:
        on_it = other.job is not job and other.sitting.bay == place and place is not None
        if on_it and fast[0] <= other.period.key <= fast[1]:
            yield Breach(
                rule="place is taken",
                sentence=f"{other.words} is planned where {job.name} stands and cannot be moved.",
            )


def _fast_from_to(
    problem: WeekProblem, job: Job, mine: list[_Seen]
) -> tuple[tuple[date, int], tuple[date, int]] | None:
    """Return the first and the last period in which the vehicle cannot be moved."""
    keys = [period.key for period in problem.periods]
    first = [one.period.key for one in mine if one.step.immobilises]
    if job.immobile_now:
        first.append(keys[0])
    if not first:
        return None
    freeing = [step for step in job.steps if step.frees]
    freed = [one.period.key for one in mine if one.step.frees]
    last = max(freed) if freeing and len(freed) == len(freeing) else keys[-1]
    return (min(first), last) if min(first) <= last else None


def _day(of: date) -> str:
    return f"{of:%a} {of.day} {of:%b}"
