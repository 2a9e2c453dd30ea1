"""Why no plan exists, in a sentence that names what is short."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from witnessmark.planning.axis import Axis
from witnessmark.planning.problem import Bay, PlaceKind
from witnessmark.planning.week import WeekProblem


def hopeless_steps(axis: Axis) -> list[str]:
    """Return a sentence for each thing that rules out every plan by itself.

    Parameters
    ----------
    axis
        The problem on its axis.

    Returns
    -------
    list of str
        Jobs without a place, and steps that must be done and fit into no period.
    """
    found = []
    for job in axis.problem.jobs:
        if any(step.at_place for step in job.steps) and not axis.places(job):
            found.append(f"{job.name} needs a {job.place}, and there is none.")
        for step in job.steps:
            if not job.may_run_on and not axis.open_windows(job, step):
                reasons = Counter(axis.obstacle(job, step, window) for window in axis.windows)
                said = "; ".join(
                    f"in {count} of {len(axis.windows)} periods {reason}"
                    for reason, count in reasons.most_common(3)
                )
                found.append(f"No period can hold '{step.title}' of {job.name}: {said}.")
    return found


def _with_one_more(problem: WeekProblem, kind: PlaceKind) -> WeekProblem:
    extra = Bay(key=f"one more {kind}", name=f"one more {kind}", kind=kind)
    jobs = tuple(
        replace(job, bays=job.bays | {extra.key} if job.bays else job.bays)
        if job.place is kind
        else job
        for job in problem.jobs
    )
    return replace(problem, bays=(*problem.bays, extra), jobs=jobs)


def _without_holds(problem: WeekProblem) -> WeekProblem:
    """Let somebody else look: the sittings stay as long as they were."""
    jobs = tuple(
        replace(
            job,
            steps=tuple(
                replace(step, minutes=step.minutes + step.hold_min, hold_min=0)
                for step in job.steps
            ),
        )
        for job in problem.jobs
    )
    return replace(problem, jobs=jobs)


def _without_tool(problem: WeekProblem, key: str) -> WeekProblem:
    jobs = tuple(
        replace(job, steps=tuple(replace(step, tools=step.tools - {key}) for step in job.steps))
        for job in problem.jobs
    )
    return replace(problem, jobs=jobs)


def easings(problem: WeekProblem) -> list[tuple[str, WeekProblem]]:
    """Return the ways to ease a problem by one thing, each in words that follow 'with'.

    Parameters
    ----------
    problem
        The problem that has no plan.

    Returns
    -------
    list of (str, WeekProblem)
        What would be there, and the problem with it.
    """
    ways: list[tuple[str, WeekProblem]] = []
    standing = {job.place for job in problem.jobs if any(step.at_place for step in job.steps)}
    for kind in sorted(standing):
        ways.append((f"one more {kind}", _with_one_more(problem, kind)))
    if any(step.hold_min for job in problem.jobs for step in job.steps):
        ways.append(("a second teacher for the holds", _without_holds(problem)))
    first = problem.periods[0].day
    for at, part in enumerate(problem.parts):
        if part.arrives > first:
            early = replace(part, arrives=first)
            parts = (*problem.parts[:at], early, *problem.parts[at + 1 :])
            ways.append((f"{part.name} there on the first day", replace(problem, parts=parts)))
    for tool in problem.tools:
        ways.append((f"a second {tool.name}", _without_tool(problem, tool.key)))
    twins = tuple(replace(one, key=f"{one.key} (2)") for one in problem.learners)
    ways.append(("twice as many learners", replace(problem, learners=(*problem.learners, *twins))))
    return ways


def what_is_short(
    problem: WeekProblem,
    has_plan: Callable[[WeekProblem], bool],
    least_left_over_min: Callable[[WeekProblem], int | None],
) -> str:
    """Return why the work does not fit, by trying what would make it fit.

    Parameters
    ----------
    problem
        A problem that is proven to have no plan.
    has_plan
        Whether a plan was found for a problem.
    least_left_over_min
        Least minutes of work left over where every job may run on; None if not found. [min]

    Returns
    -------
    str
        One or two sentences.
    """
    helps = [words for words, eased in easings(problem) if has_plan(eased)]
    if helps:
        listed = ", or with ".join(helps)
        return f"The work does not fit into these periods. It would fit with {listed}."
    running_on = replace(problem, jobs=tuple(replace(job, may_run_on=True) for job in problem.jobs))
    over_min = least_left_over_min(running_on)
    if over_min is None:
        return "The work does not fit into these periods, and no single thing would make it fit."
    return (
        "The work does not fit into these periods, and no single thing would make it fit: "
        f"{over_min} min of work stay over. Add periods, or let a job run on."
    )
