"""The plan a teacher would write on a whiteboard: period by period, first promised first.

It is a start for the search, the answer when time runs out, and what a benchmark measures
the search against.
"""

import random
from collections import defaultdict
from dataclasses import dataclass, field

from witnessmark.planning.axis import Axis, Window
from witnessmark.planning.plan import Sitting, finishes
from witnessmark.planning.problem import Job, Learner, Step
from witnessmark.planning.week import WeekProblem


@dataclass(slots=True)
class _Board:
    """What is taken so far."""

    ready: dict[tuple[str, str], int] = field(default_factory=dict)  # real minutes, wait over
    bay_of: dict[str, str] = field(default_factory=dict)
    held: dict[str, str] = field(default_factory=dict)  # bay -> job that cannot be moved
    standing: dict[tuple[str, int], str] = field(default_factory=dict)  # bay, period -> job
    taken: dict[str, set[int]] = field(default_factory=lambda: defaultdict(set))  # who -> ticks
    busy: dict[str, int] = field(default_factory=lambda: defaultdict(int))  # learner -> ticks
    needs: dict[str, set[str]] = field(default_factory=dict)
    sittings: list[Sitting] = field(default_factory=list)

    def is_free(self, who: str, first: int, end: int) -> bool:
        ticks = self.taken[who]
        return not any(tick in ticks for tick in range(first, end))


class _Writer:
    """Writes one plan; `jitter` shakes the order in which steps get their turn."""

    def __init__(self, axis: Axis, rng: random.Random, jitter: float) -> None:
        self.axis = axis
        self.problem = axis.problem
        self.rng = rng
        self.large_crews = jitter == 0 or rng.random() < 0.5
        self.board = _Board()
        for one in self.problem.learners:
            self.board.needs[one.key] = set(one.practice)
        for job in self.problem.jobs:
            if job.immobile_now and job.bay_now:
                self.board.held[job.bay_now] = job.key
                self.board.bay_of[job.key] = job.bay_now
        self.queue = sorted(
            ((job, step) for job in self.problem.jobs for step in job.steps),
            key=lambda pair: self._urgency(*pair) * (1 + jitter * rng.random()),
        )

    def _urgency(self, job: Job, step: Step) -> float:
        kept = self.problem.last_kept(job)
        behind = len(self.axis.following(job)[step.key])
        return (len(self.axis.windows) if kept is None else kept + 1) + 1 / (1 + behind)

    def write(self) -> tuple[Sitting, ...]:
        for window in self.axis.windows:
            waiting = [
                (job, step)
                for job, step in self.queue
                if window in self.axis.open_windows(job, step)
            ]
            for tick in range(window.base, window.end):
                for pair in list(waiting):
                    if self._try(*pair, window, tick):
                        waiting.remove(pair)
                        self.queue.remove(pair)
        return tuple(self.board.sittings)

    def _real(self, window: Window, tick: int) -> int:
        return window.clock_min + (tick - window.base) * self.problem.tick_min

    def _is_ready(self, job: Job, step: Step, now_min: int) -> bool:
        ready = self.board.ready
        return all(ready.get((job.key, key), now_min + 1) <= now_min for key in step.needs)

    def _bay(self, job: Job, window: Window) -> str | None:
        """Return the place for this job in this period, or None where there is none."""

        def is_free(bay: str) -> bool:
            return (
                self.board.held.get(bay, job.key) == job.key
                and self.board.standing.get((bay, window.place), job.key) == job.key
            )

        if job.key in self.board.bay_of:
            bay = self.board.bay_of[job.key]
            return bay if is_free(bay) else None
        chosen = list(self.board.bay_of.values())
        free = [bay for bay in self.axis.places(job) if is_free(bay)]
        return min(free, key=lambda bay: (bay != job.bay_now, chosen.count(bay)), default=None)

    def _crew(self, job: Job, step: Step, window: Window, tick: int) -> tuple[Learner, ...]:
        """Return a crew that is free long enough, or nobody."""
        paces = self.axis.paces(step, window)
        mates = {key for one in self.board.sittings if one.job == job.key for key in one.crew}
        for pace in reversed(paces):
            end = tick + self.axis.sitting(step, pace)
            if end > window.end:
                continue
            free = [
                one
                for one in self.axis.pool(step, window)
                if one.pace_percent <= pace and self.board.is_free(one.key, tick, end)
            ]
            free.sort(
                key=lambda one: (
                    one.key not in mates,
                    -len(step.practice & self.board.needs[one.key]),
                    self.board.busy[one.key],
                )
            )
            crew: list[Learner] = []
            for skill in sorted(step.skills):
                if not any(skill in one.skills for one in crew):
                    crew += [one for one in free if skill in one.skills and one not in crew][:1]
            size = step.people_max if self.large_crews else step.people_min
            crew += [one for one in free if one not in crew][: max(0, size - len(crew))]
            has_skills = all(any(skill in one.skills for one in crew) for skill in step.skills)
            if step.people_min <= len(crew) <= step.people_max and has_skills:
                return tuple(crew)
        return ()

    def _try(self, job: Job, step: Step, window: Window, tick: int) -> bool:
        board = self.board
        if not self._is_ready(job, step, self._real(window, tick)):
            return False
        bay = self._bay(job, window)
        if step.at_place and bay is None:
            return False
        if not all(board.is_free(f"tool {key}", tick, tick + 1) for key in step.tools):
            return False
        crew = self._crew(job, step, window, tick)
        if not crew:
            return False
        end = tick + self.axis.sitting(step, max(one.pace_percent for one in crew))
        hold = self.axis.hold(step)
        if end > window.end or not board.is_free("teacher", end - hold, end):
            return False
        if not all(board.is_free(f"tool {key}", tick, end) for key in step.tools):
            return False
        for who in [*(one.key for one in crew), *(f"tool {key}" for key in step.tools)]:
            board.taken[who].update(range(tick, end))
        board.taken["teacher"].update(range(end - hold, end))
        for one in crew:
            board.busy[one.key] += end - tick
            board.needs[one.key] -= step.practice
        if step.at_place and bay is not None:
            board.bay_of[job.key] = bay
            board.standing[bay, window.place] = job.key
            if step.immobilises:
                board.held[bay] = job.key
        board.ready[job.key, step.key] = self._real(window, end) + step.wait_after_min
        self._release(job, bay)
        board.sittings.append(
            Sitting(
                job=job.key,
                step=step.key,
                day=window.period.day,
                number=window.period.number,
                start_min=self.axis.minute(window, tick),
                minutes=(end - tick) * self.problem.tick_min,
                hold_min=hold * self.problem.tick_min,
                bay=bay if step.at_place else None,
                crew=tuple(one.key for one in crew),
            )
        )
        return True

    def _release(self, job: Job, bay: str | None) -> None:
        """Let the vehicle be moved again once the last step that frees it is done."""
        freeing = [step.key for step in job.steps if step.frees]
        done = freeing and all((job.key, key) in self.board.ready for key in freeing)
        if done and bay and self.board.held.get(bay) == job.key:
            del self.board.held[bay]
            # the rest of this period it still stands there: `standing` says so


def write_on_whiteboard(
    problem: WeekProblem, *, seed: int = 0, tries: int = 1
) -> tuple[Sitting, ...] | None:
    """Plan period by period, first promised first, and keep the best of some tries.

    Parameters
    ----------
    problem
        The weeks to plan.
    seed
        Start of the order in which later tries are shaken; the first try is never shaken.
    tries
        How many plans are written.

    Returns
    -------
    tuple of Sitting or None
        The plan with the fewest weighted periods late; None where a job that must be finished
        is not.
    """
    axis = Axis(problem)
    rng = random.Random(seed)  # noqa: S311  a plan needs no secrecy
    best: tuple[tuple[int, int], tuple[Sitting, ...]] | None = None
    steps = sum(len(job.steps) for job in problem.jobs)
    jobs = {job.key: job for job in problem.jobs}
    for trial in range(tries):
        sittings = _Writer(axis, rng, 0.0 if trial == 0 else 1.0).write()
        ends = finishes(problem, sittings)
        if any(one.finish is None and not jobs[one.job].may_run_on for one in ends):
            continue
        late = sum(jobs[one.job].weight * one.periods_late for one in ends)
        score = (late, steps - len(sittings))
        if best is None or score < best[0]:
            best = (score, sittings)
        if best[0] == (0, 0):
            break
    return best[1] if best else None
