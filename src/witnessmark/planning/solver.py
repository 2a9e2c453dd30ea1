"""The interval model of a week, solved with CP-SAT; the only file that knows the solver.

Steps are intervals on one axis of usable ticks. Learners are counted there, by permit, skill and
pace, and named afterwards for the fixed times. A period in which no names can be found is
modelled again with names in it, so the answer is exact in the end.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import ModuleType
from typing import Any

from witnessmark.planning.axis import Axis, Window
from witnessmark.planning.limits import Limits, Outcome, Row
from witnessmark.planning.plan import Sitting
from witnessmark.planning.problem import Job, Learner, Step

PRACTICE_MIN = 60  # a task practised by one who needs it counts like an hour of work
WORK_PER_SECOND = 0.4  # the solver's count of work in a second; measured on a small machine


def _cp_model() -> ModuleType:
    """Load the solver when it is needed: it takes longer to load than all else together."""
    from ortools.sat.python import cp_model

    module: ModuleType = cp_model
    return module


@dataclass(frozen=True, slots=True)
class Goal:
    """One thing to strive for in a model: fewer, or more where `more`."""

    name: str
    expression: Any
    more: bool = False


def _solver(limits: Limits, seconds: float) -> Any:
    """Return a solver that gives the same answer each time: its limit is not the clock."""
    solver = _cp_model().CpSolver()
    solver.parameters.max_deterministic_time = seconds * WORK_PER_SECOND
    solver.parameters.random_seed = limits.seed
    solver.parameters.num_workers = limits.workers
    return solver


def choose(
    most: Sequence[int],
    costs: Sequence[int],
    rows: Sequence[Row],
    start: Mapping[int, int],
    limits: Limits,
) -> tuple[int, ...] | None:
    """Return whole numbers from 0 to `most` that keep all rows at the least cost found.

    Parameters
    ----------
    most
        Largest value of each number.
    costs
        Cost of each number by one.
    rows
        The rules.
    start
        Values that some of the numbers have in a choice that is known.
    limits
        How long to search.

    Returns
    -------
    tuple of int or None
        The numbers, or None where none were found.
    """
    cp_model = _cp_model()
    model = cp_model.CpModel()
    numbers = [model.new_int_var(0, high, f"x{at}") for at, high in enumerate(most)]
    for row in rows:
        total = sum(factor * numbers[at] for at, factor in row.terms)
        model.add_linear_constraint(total, row.least, row.most)
    for at, value in start.items():
        model.add_hint(numbers[at], value)
    model.minimize(sum(cost * one for cost, one in zip(costs, numbers, strict=True)))
    solver = _solver(limits, limits.seconds)
    if solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return tuple(solver.value(one) for one in numbers)
    return None


@dataclass(slots=True)
class _StepVars:
    job: Job
    step: Step
    windows: tuple[Window, ...]
    inside: dict[int, Any]  # place of the period -> literal
    planned: Any
    start: Any
    length: Any
    end: Any
    interval: Any
    size: Any
    paces: dict[int, Any]  # percent -> literal

    def up_to(self, place: int) -> Any:
        """Done in this period or an earlier one (0 or 1)."""
        return sum(literal for at, literal in self.inside.items() if at <= place)


class WeekModel:
    """The hard rules of one problem, with names of learners in some of the periods."""

    def __init__(
        self,
        axis: Axis,
        named: frozenset[int],
        published: Mapping[tuple[str, str], Sitting],
    ) -> None:
        self.axis = axis
        self.problem = axis.problem
        self.model = _cp_model().CpModel()
        self.steps = {
            (job.key, step.key): self._step(job, step)
            for job in self.problem.jobs
            for step in job.steps
        }
        self.bay: dict[tuple[str, str], Any] = {}
        self._order()
        self._bays()
        self._single_things()
        self._learners()
        for place in sorted(named):
            self._names(axis.windows[place])
        self.goals = self._goals(published)

    def _bool(self, name: str) -> Any:
        return self.model.new_bool_var(name)

    def _step(self, job: Job, step: Step) -> _StepVars:
        model, axis = self.model, self.axis
        name = f"{job.key}.{step.key}"
        windows = axis.open_windows(job, step)
        inside = {w.place: self._bool(f"{name} in {w.place}") for w in windows}
        planned = self._bool(f"{name} planned")
        model.add(sum(inside.values()) == planned)
        if not job.may_run_on:
            model.add(planned == 1)
        start = model.new_int_var(0, axis.end, f"{name} start")
        end = model.new_int_var(0, axis.end, f"{name} end")
        possible = sorted({pace for w in windows for pace in axis.paces(step, w)})
        paces = {pace: self._bool(f"{name} at {pace} %") for pace in possible}
        model.add(sum(paces.values()) == planned)
        for w in windows:  # a pace at which no crew fits into the period is not taken there
            for pace in sorted(set(possible) - set(axis.paces(step, w))):
                model.add_implication(inside[w.place], paces[pace].Not())
        length = sum(axis.sitting(step, pace) * literal for pace, literal in paces.items())
        model.add(end == start + length)
        model.add(start >= sum(w.base * inside[w.place] for w in windows))
        last = sum(w.end * inside[w.place] for w in windows)
        model.add(end <= last + axis.end * (1 - planned))
        model.add(start == 0).only_enforce_if(planned.Not())
        size = model.new_int_var_from_domain(
            _cp_model().Domain.from_intervals([[0, 0], [step.people_min, step.people_max]]),
            f"{name} people",
        )
        model.add(size >= step.people_min * planned)
        model.add(size <= step.people_max * planned)
        span = self._span(start, length, end, planned, name)
        return _StepVars(job, step, windows, inside, planned, start, length, end, span, size, paces)

    def _span(self, start: Any, length: Any, end: Any, present: Any, name: str) -> Any:
        """Return an interval whose length may be a sum: the solver wants one variable."""
        size = self.model.new_int_var(0, self.axis.end, f"{name} length")
        self.model.add(size == length)
        return self.model.new_optional_interval_var(start, size, end, present, name)

    def _order(self) -> None:
        tick_min = self.problem.tick_min
        for one in self.steps.values():
            for key in one.step.needs:
                before = self.steps[one.job.key, key]
                self.model.add_implication(one.planned, before.planned)
                self.model.add(before.end <= one.start).only_enforce_if(one.planned)
                if wait_min := before.step.wait_after_min:
                    self.model.add(
                        self._real_min(before, before.end, tick_min) + wait_min
                        <= self._real_min(one, one.start, tick_min)
                    ).only_enforce_if(one.planned)

    def _real_min(self, one: _StepVars, tick: Any, tick_min: int) -> Any:
        shift = sum((w.clock_min - w.base * tick_min) * one.inside[w.place] for w in one.windows)
        return tick * tick_min + shift

    def _bays(self) -> None:
        """One place for each job and period; fast vehicles stay from first to last."""
        uses: dict[tuple[str, int], list[Any]] = {}
        for job in self.problem.jobs:
            mine = [self.steps[job.key, step.key] for step in job.steps]
            standing = [one for one in mine if one.step.at_place]
            if not standing and not job.immobile_now:
                continue
            places = self.axis.places(job)
            for bay in places:
                self.bay[job.key, bay] = self._bool(f"{job.key} on {bay}")
            self.model.add_exactly_one(self.bay[job.key, bay] for bay in places)
            fast = [one.up_to for one in standing if one.step.immobilises]
            if job.immobile_now:
                fast.append(lambda place: 1)
            freeing = [one for one in standing if one.step.frees]
            for w in self.axis.windows:
                there = self._bool(f"{job.key} stands in {w.place}")
                for one in standing:
                    if w.place in one.inside:
                        self.model.add_implication(one.inside[w.place], there)
                for begun in fast:
                    for one in freeing:
                        self.model.add(there >= begun(w.place) - one.up_to(w.place - 1))
                    if not freeing:
                        self.model.add(there >= begun(w.place))
                for bay in places:
                    use = self._bool(f"{job.key} on {bay} in {w.place}")
                    self.model.add(use >= there + self.bay[job.key, bay] - 1)
                    uses.setdefault((bay, w.place), []).append(use)
        for together in uses.values():
            self.model.add_at_most_one(together)

    def _single_things(self) -> None:
        """The teacher looks at one hold at a time; a tool is in one place."""
        holds = []
        tools: dict[str, list[Any]] = {}
        for one in self.steps.values():
            if hold := self.axis.hold(one.step):
                holds.append(
                    self.model.new_optional_interval_var(
                        one.end - hold, hold, one.end, one.planned, f"hold {one.job.key}"
                    )
                )
            for key in one.step.tools:
                tools.setdefault(key, []).append(one.interval)
        for together in [holds, *tools.values()]:
            if len(together) > 1:
                self.model.add_no_overlap(together)

    def _learners(self) -> None:
        """Count learners at every tick: all, who hold the permits, who have the skill.

        Crews that work at one pace or quicker come from those who are as quick: counting each
        pace with all quicker ones is exact at every tick.
        """
        everyone = list(self.steps.values())
        self._count(everyone, lambda one: one.size, lambda learner: True)
        for permits in dict.fromkeys(one.step.permits for one in everyone if one.step.permits):
            asking = [one for one in everyone if permits <= one.step.permits]
            self._count(asking, lambda one: one.size, _holds(permits))
        for skill in sorted({skill for one in everyone for skill in one.step.skills}):
            asking = [one for one in everyone if skill in one.step.skills]
            self._count(asking, lambda one: 1, _can(skill))
        paces = sorted({one.pace_percent for one in self.problem.learners})
        for pace in paces[:-1]:
            self._count(everyone, lambda one: one.size, _keeps(pace), at_most=pace)

    def _count(
        self,
        steps: list[_StepVars],
        demand: Callable[[_StepVars], Any],
        counts: Callable[[Learner], bool],
        at_most: int | None = None,
    ) -> None:
        there = [sum(counts(one) for one in self.axis.present(w)) for w in self.axis.windows]
        most = max(there)
        intervals, demands = [], []
        for one in steps:
            interval = one.interval
            if at_most is not None:
                quick = [literal for pace, literal in one.paces.items() if pace <= at_most]
                name = f"{one.job.key}.{one.step.key} within {at_most} %"
                is_quick = self._bool(name)
                self.model.add(sum(quick) == is_quick)
                interval = self._span(one.start, one.length, one.end, is_quick, name)
            intervals.append(interval)
            demands.append(demand(one))
        for w, count in zip(self.axis.windows, there, strict=True):
            if count < most and w.ticks:
                intervals.append(
                    self.model.new_fixed_size_interval_var(w.base, w.ticks, f"away {w.place}")
                )
                demands.append(most - count)
        self.model.add_cumulative(intervals, demands, most)

    def _names(self, w: Window) -> None:
        """Crew with names in one period, for periods where counting was not enough."""
        diary: dict[str, list[Any]] = {one.key: [] for one in self.axis.present(w)}
        for one in self.steps.values():
            if w.place not in one.inside:
                continue
            here = one.inside[w.place]
            crew = {}
            for learner in self.axis.pool(one.step, w):
                name = f"{learner.key} at {one.job.key}.{one.step.key} in {w.place}"
                chosen = crew[learner.key] = self._bool(name)
                self.model.add_implication(chosen, here)
                for pace, literal in one.paces.items():
                    if pace < learner.pace_percent:
                        self.model.add_implication(chosen, literal.Not())
                diary[learner.key].append(self._span(one.start, one.length, one.end, chosen, name))
            self.model.add(sum(crew.values()) == one.size).only_enforce_if(here)
            for skill in one.step.skills:
                able = [crew[x.key] for x in self.axis.pool(one.step, w) if skill in x.skills]
                self.model.add(sum(able) >= here)
        for together in diary.values():
            self.model.add_no_overlap(together)

    # What the plan strives for, in order of rank.

    def _goals(self, published: Mapping[tuple[str, str], Sitting]) -> tuple[Goal, ...]:
        """Return what a plan strives for in this model, first rank first."""
        steps = self.steps.values()
        return (
            Goal("promises", self._late()),
            Goal("left over", sum(one.step.minutes * (1 - one.planned) for one in steps)),
            Goal("learners", self._busy_and_practising(), more=True),
            Goal("changes", self._changes(published)),
            Goal("bay moves", self._moves()),
            Goal("early", sum(one.start for one in steps)),
        )

    def keep(self, goal: Goal, value: int) -> None:
        """Let no later search do worse than this in a goal."""
        if goal.more:
            self.model.add(goal.expression >= value)
        elif not isinstance(goal.expression, int):
            self.model.add(goal.expression <= value)

    def search(self, goal: Goal, start: Iterable[Sitting] | None, limits: Limits) -> Outcome:
        """Search for the best plan in one goal, from a plan that is there already."""
        cp_model = _cp_model()
        self.model.clear_objective()
        spent = 0.0
        if start is not None:
            spent = self._hint_wholly(start, limits)
        if goal.more:
            self.model.maximize(goal.expression)
        else:
            self.model.minimize(goal.expression)
        solver = _solver(limits, max(0.0, limits.seconds - spent))
        status = solver.solve(self.model)
        has_plan = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        # an unfinished bound may lie between whole numbers: round towards the goal
        bound = solver.best_objective_bound
        return Outcome(
            is_proven=status in (cp_model.OPTIMAL, cp_model.INFEASIBLE),
            sittings=tuple(self.sittings(solver.value)) if has_plan else None,
            bound=math.floor(bound + 1e-6) if goal.more else math.ceil(bound - 1e-6),
            seconds=spent + solver.deterministic_time / WORK_PER_SECOND,
        )

    def _hint_wholly(self, start: Iterable[Sitting], limits: Limits) -> float:
        """Complete a plan to a value for every variable: a partial hint is often dropped."""
        cp_model = _cp_model()
        self._hint(start)
        filler = _solver(limits, limits.seconds)
        filler.parameters.fix_variables_to_their_hinted_value = True
        if filler.solve(self.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self.model.clear_hints()
            for at, value in enumerate(filler.response_proto.solution):
                self.model.add_hint(self.model.get_int_var_from_proto_index(at), value)
        spent: float = filler.deterministic_time / WORK_PER_SECOND
        return spent

    def _late(self) -> Any:
        total: Any = 0
        for job in self.problem.jobs:
            if self.problem.last_kept(job) is None or not job.steps:
                continue
            most = self.problem.periods_late(job, None)
            late = self.model.new_int_var(0, most, f"{job.key} late")
            for step in job.steps:
                one = self.steps[job.key, step.key]
                self.model.add(
                    late
                    >= most * (1 - one.planned)
                    + sum(
                        self.problem.periods_late(job, place) * literal
                        for place, literal in one.inside.items()
                    )
                )
            total += job.weight * late
        return total

    def _busy_and_practising(self) -> Any:
        """Learner-minutes of work, and a count of tasks practised that names may fall short of."""
        busy = sum(one.step.minutes * one.size for one in self.steps.values())
        practised: Any = 0
        for task in sorted({t for one in self.steps.values() for t in one.step.practice}):
            needing = [one for one in self.problem.learners if task in one.practice]
            met = []
            for one in self.steps.values():
                if task not in one.step.practice or not needing:
                    continue
                most = min(len(needing), one.step.people_max)
                some = self.model.new_int_var(0, most, f"{task} at {one.job.key}.{one.step.key}")
                self.model.add(some <= one.size)
                self.model.add(
                    some
                    <= sum(
                        sum(task in x.practice for x in self.axis.pool(one.step, w))
                        * one.inside[w.place]
                        for w in one.windows
                    )
                )
                met.append(some)
            self.model.add(sum(met) <= len(needing))
            practised += sum(met)
        return busy + PRACTICE_MIN * practised

    def _changes(self, published: Mapping[tuple[str, str], Sitting]) -> Any:
        place = {w.period.key: w.place for w in self.axis.windows}
        stays = [
            one.inside[place[before.period]]
            for key, one in self.steps.items()
            if (before := published.get(key)) and place.get(before.period) in one.inside
        ]
        return len(stays) - sum(stays)

    def _moves(self) -> Any:
        stays = [
            self.bay[job.key, job.bay_now]
            for job in self.problem.jobs
            if job.bay_now and (job.key, job.bay_now) in self.bay
        ]
        return len(stays) - sum(stays)

    def _hint(self, sittings: Iterable[Sitting]) -> None:
        """Give the solver a plan to start from: its main variables."""
        model = self.model
        model.clear_hints()
        place = {w.period.key: w for w in self.axis.windows}
        pace_of = {one.key: one.pace_percent for one in self.problem.learners}
        written = {(one.job, one.step): one for one in sittings}
        stood = {one.job: one.bay for one in sittings if one.bay}
        for key, one in self.steps.items():
            sitting = written.get(key)
            w = place[sitting.period] if sitting else None
            pace = max(pace_of[x] for x in sitting.crew) if sitting else None
            model.add_hint(one.planned, sitting is not None)
            if sitting and w:
                model.add_hint(one.start, self.axis.tick(w, sitting.start_min))
                model.add_hint(one.size, len(sitting.crew))
            for at, literal in one.inside.items():
                model.add_hint(literal, w is not None and at == w.place)
            for percent, literal in one.paces.items():
                model.add_hint(literal, percent == pace)
        for (job, bay), literal in self.bay.items():
            if job in stood:
                model.add_hint(literal, stood[job] == bay)

    def sittings(self, value: Callable[[Any], int]) -> list[Sitting]:
        """Return the solution as sittings without names."""
        standing = {job: bay for (job, bay), literal in self.bay.items() if value(literal)}
        found = []
        for one in self.steps.values():
            if not value(one.planned):
                continue
            w = next(w for w in one.windows if value(one.inside[w.place]))
            first, end = value(one.start), value(one.end)
            found.append(
                Sitting(
                    job=one.job.key,
                    step=one.step.key,
                    day=w.period.day,
                    number=w.period.number,
                    start_min=self.axis.minute(w, first),
                    minutes=(end - first) * self.problem.tick_min,
                    hold_min=self.axis.hold(one.step) * self.problem.tick_min,
                    bay=standing[one.job.key] if one.step.at_place else None,
                    crew=(),
                )
            )
        return found


def _holds(permits: frozenset[str]) -> Callable[[Learner], bool]:
    return lambda learner: permits <= learner.permits


def _can(skill: str) -> Callable[[Learner], bool]:
    return lambda learner: skill in learner.skills


def _keeps(pace: int) -> Callable[[Learner], bool]:
    return lambda learner: learner.pace_percent <= pace
