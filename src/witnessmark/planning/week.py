"""The whole week problem, and what in it does not fit together."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from witnessmark.errors import BenchError
from witnessmark.planning.problem import Bay, Job, Learner, Part, Period, Step, Tool


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseEnd:
    """Something that does not fit together, and where in the problem it stands."""

    path: tuple[str | int, ...]
    error: BenchError


def _doubles(keys: Iterable[str]) -> Iterator[tuple[int, str]]:
    seen: set[str] = set()
    for at, key in enumerate(keys):
        if key in seen:
            yield at, key
        seen.add(key)


def _circle(job: Job) -> list[str]:
    """Return the keys of steps that wait for each other, or nothing."""
    left = {step.key: set(step.needs) for step in job.steps}
    while ready := [key for key, needs in left.items() if not needs & left.keys()]:
        for key in ready:
            del left[key]
    return list(left)


def _missing(kind: str, title: str, key: str) -> BenchError:
    return BenchError(
        f"'{title}' names {kind} '{key}'.",
        f"There is no such {kind} in these weeks.",
        f"Add the {kind}, or mend its name.",
    )


def loose_ends(
    periods: tuple[Period, ...],
    learners: tuple[Learner, ...],
    bays: tuple[Bay, ...],
    tools: tuple[Tool, ...],
    parts: tuple[Part, ...],
    jobs: tuple[Job, ...],
) -> list[LooseEnd]:
    """Return everything that does not fit together between the values of a week problem.

    Parameters
    ----------
    periods
        Lessons, in any order.
    learners
        Who can be in a crew.
    bays
        Bays and benches.
    tools
        Tools of which there is one.
    parts
        Parts on order.
    jobs
        Jobs with their steps. Each in the order in which a sheet lists them.

    Returns
    -------
    list of LooseEnd
        Each with the path of the value (`("jobs", 2, "steps", 1, "needs")`) and its sentences.
    """
    found: list[LooseEnd] = []

    def note(path: tuple[str | int, ...], error: BenchError) -> None:
        found.append(LooseEnd(path=path, error=error))

    named: list[tuple[str, tuple[str, ...]]] = [
        ("learners", tuple(one.key for one in learners)),
        ("bays", tuple(one.key for one in bays)),
        ("tools", tuple(one.key for one in tools)),
        ("parts", tuple(one.key for one in parts)),
        ("jobs", tuple(one.key for one in jobs)),
    ]
    for table, keys in named:
        for at, key in _doubles(keys):
            note(
                (table, at),
                BenchError(
                    f"'{key}' stands twice in {table}.",
                    "Each needs a key of its own.",
                    "Give the second one another key.",
                ),
            )
    order = sorted(range(len(periods)), key=lambda at: periods[at].starts_at)
    for first, second in pairwise(order):
        a, b = periods[first], periods[second]
        if a.day == b.day and (b.start < a.end or a.number == b.number):
            note(
                ("periods", second),
                BenchError(
                    f"{b.name} and {a.name} share a number or overlap.",
                    "The shop holds one class at a time, and a number names one period of a day.",
                    "Mend the times or the number of one of them.",
                ),
            )
    kinds = {bay.key: bay.kind for bay in bays}
    tool_keys, part_keys = {tool.key for tool in tools}, {part.key for part in parts}
    fast: dict[str, str] = {}  # place -> job that cannot be moved off it
    for j, job in enumerate(jobs):
        if job.immobile_now and job.bay_now:
            other = fast.setdefault(job.bay_now, job.name)
            if other != job.name:
                note(
                    ("jobs", j, "bay_now"),
                    BenchError(
                        f"{other} and {job.name} both stand fast on '{job.bay_now}'.",
                        "A place holds one vehicle.",
                        "Write down where each of them stands.",
                    ),
                )
        standing = {"bay_now": {job.bay_now} if job.bay_now else set(), "bays": set(job.bays)}
        for entry, keys_named in standing.items():
            for bay in sorted(keys_named):
                if bay not in kinds:
                    note(("jobs", j, entry), _missing("bay", job.name, bay))
                elif kinds[bay] is not job.place:
                    note(
                        ("jobs", j, entry),
                        BenchError(
                            f"{job.name} needs a {job.place} and '{bay}' is a {kinds[bay]}.",
                            "A job stands on a place of its own kind.",
                            "Name another place, or change what the job needs.",
                        ),
                    )
        step_keys = [step.key for step in job.steps]
        for at, key in _doubles(step_keys):
            note(
                ("jobs", j, "steps", at, "key"),
                BenchError(
                    f"{job.name} has two steps '{key}'.",
                    "Each step of a job needs a key of its own.",
                    "Give the second one another key.",
                ),
            )
        for s, step in enumerate(job.steps):
            here = ("jobs", j, "steps", s)
            for key in step.needs:
                if key not in step_keys:
                    note((*here, "needs"), _missing("step", step.title, key))
            for key in sorted(step.tools - tool_keys):
                note((*here, "tools"), _missing("tool", step.title, key))
            for key in sorted(step.parts - part_keys):
                note((*here, "parts"), _missing("part", step.title, key))
        if circle := _circle(job):
            note(
                ("jobs", j, "steps", step_keys.index(circle[0]), "needs"),
                BenchError(
                    f"In {job.name} these steps wait for each other: {', '.join(circle)}.",
                    "One of them must be able to come first.",
                    "Take one 'needs' out of the circle.",
                ),
            )
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekProblem:
    """Some weeks of one shop, ready to be planned; periods stand in the order of the clock."""

    name: str
    teacher: str
    periods: tuple[Period, ...]
    learners: tuple[Learner, ...]
    bays: tuple[Bay, ...]
    jobs: tuple[Job, ...]
    tools: tuple[Tool, ...] = ()
    parts: tuple[Part, ...] = ()
    tick_min: int = 5  # sittings start and end on a multiple of this

    def __post_init__(self) -> None:
        if not self.tick_min > 0:
            raise BenchError(
                f"The plan counts in steps of {self.tick_min} min.",
                "It needs more than 0 min.",
                "Write 5, or leave it out.",
            )
        if not self.periods:
            raise BenchError(
                f"{self.name} has no period.",
                "A plan needs at least one period of class.",
                "Add the periods of these weeks.",
            )
        ends = loose_ends(self.periods, self.learners, self.bays, self.tools, self.parts, self.jobs)
        if ends:
            raise ends[0].error
        object.__setattr__(
            self, "periods", tuple(sorted(self.periods, key=lambda one: one.starts_at))
        )

    def ticks(self, minutes: int) -> int:
        """Return how many whole ticks hold so many minutes. [min]"""
        return -(-minutes // self.tick_min)

    def sitting_min(self, step: Step, pace_percent: int) -> int:
        """Return how long a sitting of this step lasts: work at this pace, then the hold.

        Parameters
        ----------
        step
            The step to do.
        pace_percent
            Pace of the slowest in the crew. [%]

        Returns
        -------
        int
            Work rounded up to the tick, and hold rounded up to the tick. [min]
        """
        work = self.ticks(-(-step.minutes * pace_percent // 100))
        return (work + self.ticks(step.hold_min)) * self.tick_min

    def last_kept(self, job: Job) -> int | None:
        """Return the place of the last period that keeps the promise of a job.

        -1 where even the first period is too late; None where no period is too late.
        """
        if job.promised is None:
            return None
        kept = -1
        for at, period in enumerate(self.periods):
            down = period.clock(period.usable_min)
            if period.day < job.promised or (
                period.day == job.promised and (job.promised_by is None or down <= job.promised_by)
            ):
                kept = at
        return None if kept == len(self.periods) - 1 else kept

    def periods_late(self, job: Job, finish: int | None) -> int:
        """Return how many periods after its promise a job is finished.

        Parameters
        ----------
        job
            The job with its promise.
        finish
            Place of the period in which its last step ends; None if that is after these weeks.

        Returns
        -------
        int
            0 if the promise is kept; a job that is not finished counts as one period after the
            last. [periods]
        """
        kept = self.last_kept(job)
        if kept is None:
            return 0
        return max(0, (len(self.periods) if finish is None else finish) - kept)
