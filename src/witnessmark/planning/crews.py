"""Names for the sittings of a plan whose times are fixed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import groupby

from witnessmark.planning.axis import Axis, Window
from witnessmark.planning.limits import Limits, Row
from witnessmark.planning.plan import Sitting
from witnessmark.planning.problem import Learner, Step
from witnessmark.planning.solver import PRACTICE_MIN, choose

# Costs in quarters of a learner-minute: work and practice first, then fairness, then the rest.
BUSY = -4  # each minute of work for one learner
PRACTISED = PRACTICE_MIN * BUSY
SPREAD = 1  # each minute between the busiest and the least busy of a section
CHANGED = 40  # a learner whom the published plan names and who is not kept
STRANGER = 20  # each learner who comes to a job: fewer faces, fewer handovers
OUTSIDER = 60  # the same where the job has a crew already, and they are not in it
PLENTY = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Crews:
    """The named plan; or the periods in which counting heads was not enough."""

    sittings: tuple[Sitting, ...] | None
    short_in: frozenset[int]  # places of periods without a crew


@dataclass(slots=True)
class _Choice:
    """Collects the numbers and rows of one choice."""

    most: list[int] = field(default_factory=list)
    costs: list[int] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def number(self, most: int, cost: int = 0) -> int:
        self.most.append(most)
        self.costs.append(cost)
        return len(self.most) - 1

    def rule(
        self, terms: Iterable[tuple[int, int]], *, least: int = -PLENTY, most: int = PLENTY
    ) -> None:
        self.rows.append(Row(terms=tuple(terms), least=least, most=most))


def name_crews(
    axis: Axis,
    sittings: tuple[Sitting, ...],
    published: Mapping[tuple[str, str], Sitting],
    limits: Limits,
) -> Crews:
    """Give every sitting a crew: all there, all allowed, nobody in two places.

    Parameters
    ----------
    axis
        The problem on its axis.
    sittings
        Sittings whose times hold; crews that they have are a start, and may change.
    published
        Sittings of the plan that people know, by job and step.
    limits
        How long to search.

    Returns
    -------
    Crews
        The sittings with names, or the periods in which there are none.
    """
    named = _name(axis, sittings, published, limits)
    if named is not None:
        return Crews(sittings=named, short_in=frozenset())
    place = {w.period.key: w.place for w in axis.windows}
    ordered = sorted(sittings, key=lambda one: place[one.period])
    short = set()
    for at, together in groupby(ordered, key=lambda one: place[one.period]):
        if _name(axis, tuple(together), published, limits) is None:
            short.add(at)
    return Crews(sittings=None, short_in=frozenset(short))


def _able(axis: Axis, one: Sitting, step: Step, window: Window) -> tuple[Learner, ...]:
    """Return who may be in this crew and is quick enough for its minutes."""
    return tuple(
        learner
        for learner in axis.pool(step, window)
        if axis.problem.sitting_min(step, learner.pace_percent) <= one.minutes
    )


def _name(
    axis: Axis,
    sittings: tuple[Sitting, ...],
    published: Mapping[tuple[str, str], Sitting],
    limits: Limits,
) -> tuple[Sitting, ...] | None:
    steps = {(job.key, step.key): step for job in axis.problem.jobs for step in job.steps}
    window = {w.period.key: w for w in axis.windows}
    choice = _Choice()
    chosen: dict[tuple[int, str], int] = {}  # sitting, learner -> number
    for at, one in enumerate(sittings):
        step = steps[one.job, one.step]
        known = published.get((one.job, one.step))
        able = _able(axis, one, step, window[one.period])
        for learner in able:
            kept = known is not None and learner.key in known.crew
            cost = BUSY * step.minutes - (CHANGED if kept else 0)
            chosen[at, learner.key] = choice.number(1, cost)
        choice.rule(
            [(chosen[at, learner.key], 1) for learner in able],
            least=step.people_min,
            most=step.people_max,
        )
        for skill in step.skills:
            choice.rule([(chosen[at, x.key], 1) for x in able if skill in x.skills], least=1)
    _one_place_at_a_time(choice, chosen, sittings)
    _practice(choice, chosen, sittings, axis.problem.learners, steps)
    _fairness(choice, chosen, sittings, axis.problem.learners, steps)
    _few_faces(choice, chosen, sittings, {job.key: job.crew_now for job in axis.problem.jobs})
    start = {
        number: int(key in sittings[at].crew)
        for (at, key), number in chosen.items()
        if sittings[at].crew
    }
    numbers = choose(choice.most, choice.costs, choice.rows, start, limits)
    if numbers is None:
        return None
    return tuple(
        replace(
            one,
            crew=tuple(
                learner.key
                for learner in axis.problem.learners
                if (at, learner.key) in chosen and numbers[chosen[at, learner.key]]
            ),
        )
        for at, one in enumerate(sittings)
    )


def _one_place_at_a_time(
    choice: _Choice, chosen: Mapping[tuple[int, str], int], sittings: tuple[Sitting, ...]
) -> None:
    """At the start of each sitting a learner is in one crew at most."""
    for one in sittings:
        together = [
            at
            for at, other in enumerate(sittings)
            if other.period == one.period and other.start_min <= one.start_min < other.end_min
        ]
        if len(together) > 1:
            # in the order of the sittings: a set would differ from one start to the next
            for learner in dict.fromkeys(key for at, key in chosen if at in together):
                terms = [(chosen[at, learner], 1) for at in together if (at, learner) in chosen]
                choice.rule(terms, most=1)


def _practice(
    choice: _Choice,
    chosen: Mapping[tuple[int, str], int],
    sittings: tuple[Sitting, ...],
    learners: tuple[Learner, ...],
    steps: Mapping[tuple[str, str], Step],
) -> None:
    for learner in learners:
        for task in sorted(learner.practice):
            chances = [
                (chosen[at, learner.key], 1)
                for at, one in enumerate(sittings)
                if task in steps[one.job, one.step].practice and (at, learner.key) in chosen
            ]
            if chances:
                choice.rule([*chances, (choice.number(1, PRACTISED), -1)], least=0)


def _fairness(
    choice: _Choice,
    chosen: Mapping[tuple[int, str], int],
    sittings: tuple[Sitting, ...],
    learners: tuple[Learner, ...],
    steps: Mapping[tuple[str, str], Step],
) -> None:
    for section in sorted({one.section for one in learners}):
        busiest, idlest = choice.number(PLENTY, SPREAD), choice.number(PLENTY, -SPREAD)
        for learner in learners:
            if learner.section == section:
                minutes = [
                    (chosen[at, learner.key], steps[one.job, one.step].minutes)
                    for at, one in enumerate(sittings)
                    if (at, learner.key) in chosen
                ]
                choice.rule([(busiest, 1), *((x, -m) for x, m in minutes)], least=0)
                choice.rule([(idlest, -1), *minutes], least=0)


def _few_faces(
    choice: _Choice,
    chosen: Mapping[tuple[int, str], int],
    sittings: tuple[Sitting, ...],
    crews: Mapping[str, frozenset[str]],
) -> None:
    comes: dict[tuple[str, str], int] = {}
    for (at, learner), number in chosen.items():
        pair = (sittings[at].job, learner)
        crew = crews[sittings[at].job]
        if learner in crew:
            continue
        if pair not in comes:
            comes[pair] = choice.number(1, OUTSIDER if crew else STRANGER)
        choice.rule([(comes[pair], 1), (number, -1)], least=0)
