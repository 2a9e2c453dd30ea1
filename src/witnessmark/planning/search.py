"""From a week problem to a plan: aim after aim, names after times, and how sure it is."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from witnessmark.planning.axis import Axis
from witnessmark.planning.checker import check_plan
from witnessmark.planning.crews import name_crews
from witnessmark.planning.limits import Limits
from witnessmark.planning.plan import Aim, PlanResult, Sitting, Status, Tally, tally
from witnessmark.planning.shortage import hopeless_steps, what_is_short
from witnessmark.planning.solver import PRACTICE_MIN, WeekModel
from witnessmark.planning.week import WeekProblem
from witnessmark.planning.whiteboard import write_on_whiteboard

START_TRIES = 20
NAMING_SHARE = 0.15  # of the whole time, for each round of names
START_SHARE = 0.04  # of the whole time, for names of the start
EASING_SHARE = 0.2  # of the whole time, for each thing tried where no plan exists
LEAST_SECONDS = 0.01  # below this a search is not worth starting


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """One aim: how it is counted, and its share of the time that is left."""

    name: str
    unit: str
    share: float
    reached: Callable[[Tally], int] | None  # None for a tidying-up that nobody asks about
    is_at_best: Callable[[Tally], bool]


STAGES = (
    _Stage(
        name="promises",
        unit="periods late",
        share=0.6,
        reached=lambda of: of.late,
        is_at_best=lambda of: of.late == 0,
    ),
    _Stage(
        name="left over",
        unit="min of work",
        share=0.5,
        reached=lambda of: of.left_over_min,
        is_at_best=lambda of: of.left_over_min == 0,
    ),
    _Stage(
        name="learners",
        unit=f"learner-min at work, a task practised counting {PRACTICE_MIN}",
        share=0.5,
        reached=lambda of: of.busy_min + PRACTICE_MIN * of.practised,
        is_at_best=lambda of: False,
    ),
    _Stage(
        name="changes",
        unit="steps moved to another period",
        share=0.5,
        reached=lambda of: of.changes,
        is_at_best=lambda of: of.changes == 0,
    ),
    _Stage(
        name="bay moves",
        unit="vehicles moved",
        share=0.5,
        reached=lambda of: of.bay_moves,
        is_at_best=lambda of: of.bay_moves == 0,
    ),
    _Stage(name="early", unit="", share=0.15, reached=None, is_at_best=lambda of: False),
)


@dataclass(slots=True)
class _Search:
    axis: Axis
    limits: Limits
    published: tuple[Sitting, ...]
    best: tuple[Sitting, ...] | None
    left_seconds: float = 0.0
    named: frozenset[int] = frozenset()
    kept: list[tuple[int, int]] = field(default_factory=list)  # stage, value
    bounds: dict[int, int] = field(default_factory=dict)
    proven: set[int] = field(default_factory=set)
    model: WeekModel | None = None

    def run(self) -> bool:
        """Improve the plan aim after aim; return False where no plan exists."""
        self.left_seconds = self.limits.seconds
        if self.best is not None:
            quick = replace(self.limits, seconds=self.limits.seconds * START_SHARE)
            named = name_crews(self.axis, self.best, self._before(), quick)
            if named.sittings is not None:
                self.best = self._better(len(STAGES) - 1, named.sittings)
        for at, stage in enumerate(STAGES):
            if self.best is not None and stage.is_at_best(self._count()):
                self.bounds[at] = 0
                self.proven.add(at)
            elif not self._stage(at, stage):
                return False
            if self.best is None:
                return True
            if stage.reached is not None:
                self.kept.append((at, stage.reached(self._count())))
                if self.model is not None:
                    self._keep(self.model, *self.kept[-1])
        return True

    def _count(self) -> Tally:
        assert self.best is not None
        return tally(self.axis.problem, self.best, self.published)

    def _before(self) -> dict[tuple[str, str], Sitting]:
        known = {w.period.key for w in self.axis.windows}
        return {(one.job, one.step): one for one in self.published if one.period in known}

    def _naming(self) -> Limits:
        return replace(self.limits, seconds=self.limits.seconds * NAMING_SHARE)

    def _keep(self, model: WeekModel, at: int, value: int) -> None:
        model.keep(model.goals[at], value)

    def _stage(self, at: int, stage: _Stage) -> bool:
        budget = self.left_seconds * stage.share
        while budget > LEAST_SECONDS:
            if self.model is None:
                self.model = WeekModel(self.axis, self.named, self._before())
                for earlier, value in self.kept:
                    self._keep(self.model, earlier, value)
            outcome = self.model.search(
                self.model.goals[at], self.best, replace(self.limits, seconds=budget)
            )
            budget -= outcome.seconds
            self.left_seconds -= outcome.seconds
            if outcome.is_proven and outcome.sittings is None:
                assert self.best is None, "a plan that was found is called impossible"
                return False
            self._remember_bound(at, outcome.bound, STAGES[at].name == "learners")
            if outcome.sittings is None:
                return True
            crews = name_crews(self.axis, outcome.sittings, self._before(), self._naming())
            if crews.sittings is not None:
                self.best = self._better(at, crews.sittings)
                if outcome.is_proven:
                    self.proven.add(at)
                return True
            if not crews.short_in - self.named:
                return True  # naming ran out of time
            self.named |= crews.short_in
            self.model = None
        return True

    def _better(self, at: int, found: tuple[Sitting, ...]) -> tuple[Sitting, ...]:
        """Take the new plan unless its names made it worse in an aim of this or higher rank."""
        if self.best is None:
            return found
        new, old = tally(self.axis.problem, found, self.published), self._count()
        for stage in STAGES[: at + 1]:
            if stage.reached is not None:
                sign = -1 if stage.name == "learners" else 1
                a, b = sign * stage.reached(new), sign * stage.reached(old)
                if a != b:
                    return found if a < b else self.best
        return found

    def _remember_bound(self, at: int, bound: int, more: bool) -> None:
        if at in self.bounds:
            bound = min(bound, self.bounds[at]) if more else max(bound, self.bounds[at])
        self.bounds[at] = bound

    def result(self) -> PlanResult:
        assert self.best is not None
        count = self._count()
        aims = tuple(
            Aim(
                name=stage.name,
                reached=stage.reached(count),
                bound=self.bounds.get(at, 0 if at == 0 else None),
                unit=stage.unit,
            )
            for at, stage in enumerate(STAGES)
            if stage.reached is not None
        )
        place = {w.period.key: w.place for w in self.axis.windows}
        planned = {(one.job, one.step) for one in self.best}
        return PlanResult(
            status=Status.PROVEN_BEST if aims[0].gap == 0 else Status.FOUND,
            sittings=tuple(
                sorted(self.best, key=lambda one: (place[one.period], one.start_min, one.job))
            ),
            left_over=tuple(
                (job.key, step.key)
                for job in self.axis.problem.jobs
                for step in job.steps
                if (job.key, step.key) not in planned
            ),
            aims=aims,
            reason="",
        )


def _no_plan(status: Status, reason: str) -> PlanResult:
    return PlanResult(status=status, sittings=(), left_over=(), aims=(), reason=reason)


def _start(
    problem: WeekProblem, published: tuple[Sitting, ...], seed: int
) -> tuple[Sitting, ...] | None:
    """Return the better of the whiteboard and the published plan, where that still holds."""
    written = write_on_whiteboard(problem, seed=seed, tries=START_TRIES)
    steps = {(job.key, step.key) for job in problem.jobs for step in job.steps}
    standing = tuple(one for one in published if (one.job, one.step) in steps)
    if not standing or check_plan(problem, standing):
        return written
    if written is None or tally(problem, standing).late <= tally(problem, written).late:
        return standing
    return written


def solve_week(
    problem: WeekProblem,
    *,
    seconds: float = 10.0,
    seed: int = 0,
    workers: int = 1,
    published: tuple[Sitting, ...] = (),
) -> PlanResult:
    """Plan some weeks: promises first, then learners, fairness, few changes, few bay moves.

    Each aim is improved without letting an aim of higher rank go. Fairness is looked for when
    names are given, so among the times that are fixed by then. Among plans that are equal in
    all aims, earlier is better.

    Parameters
    ----------
    problem
        The weeks to plan.
    seconds
        Limit of the search in the solver's own count of work, about seconds of a usual machine;
        the same limit and seed give the same plan with one worker. [s]
    seed
        Start of all random choices.
    workers
        Processor cores to use; more than one may give another plan each time.
    published
        The plan that people know by now; empty where there is none.

    Returns
    -------
    PlanResult
        The plan with bound and gap, or why there is none.
    """
    axis = Axis(problem)
    limits = Limits(seconds=seconds, seed=seed, workers=workers)
    if hopeless := hopeless_steps(axis):
        return _no_plan(Status.NONE_EXISTS, " ".join(hopeless))
    search = _Search(axis, limits, published, _start(problem, published, seed))
    if not search.run():
        return _no_plan(Status.NONE_EXISTS, _reason(problem, limits))
    if search.best is None:
        return _no_plan(
            Status.OUT_OF_TIME,
            f"No plan was found in {seconds:g} s, and none was ruled out. Give it more time.",
        )
    return search.result()


def _reason(problem: WeekProblem, limits: Limits) -> str:
    short = replace(limits, seconds=limits.seconds * EASING_SHARE)

    def has_plan(eased: WeekProblem) -> bool:
        axis = Axis(eased)
        if hopeless_steps(axis):
            return False
        search = _Search(axis, short, (), write_on_whiteboard(eased, tries=START_TRIES))
        if search.best is None:
            search.left_seconds = short.seconds
            search._stage(0, STAGES[0])
        return search.best is not None

    def least_left_over_min(running_on: WeekProblem) -> int | None:
        # promises are of no interest here: only how much work is too much
        free = tuple(replace(job, promised=None) for job in running_on.jobs)
        eased = replace(running_on, jobs=free)
        search = _Search(Axis(eased), short, (), write_on_whiteboard(eased, tries=START_TRIES))
        search.left_seconds = short.seconds
        search._stage(1, STAGES[1])
        return tally(eased, search.best).left_over_min if search.best is not None else None

    return what_is_short(problem, has_plan, least_left_over_min)
