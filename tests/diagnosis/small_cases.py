"""Small choices of tests, taken from the circuits that ship, and their exact optimum.

Each case is a complaint of a sheet: its ten likeliest suspects at one severity each, and volts
and test lamps in the complained state and one more. Outcomes are certain: readings half a volt
apart are different.
"""

from functools import cache

import numpy as np

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.hypotheses import Problem
from witnessmark.diagnosis.kinds import LAMPS
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.offers import Menu, between, menu_of, minutes_after
from witnessmark.diagnosis.outcomes import size

HYPOTHESES = 10
TESTS = 14
APART_V = 0.5


def small_case(sheet, complaint):
    """The choice that a complaint of a sheet poses."""
    book = dictionary_of(sheet)
    weighed = weigh(book, [Observation(complaint=complaint.key, source="here")], [])
    suspects = np.argsort(-weighed.suspects[:-1], kind="stable")[:HYPOTHESES]
    samples = []
    for suspect in suspects:
        own = np.flatnonzero(book.suspect == suspect)
        samples.append(int(own[np.argmax(weighed.belief[own])]))
    weight = weighed.suspects[suspects] / weighed.suspects[suspects].sum()
    repair = np.unique(book.repair_of[suspects], return_inverse=True)[1]
    menu = menu_of(book)
    columns, kept, seen = [], [], {}
    states = [complaint.state, *(s.name for s in sheet.states if s.name != complaint.state)][:2]
    minutes = minutes_after(book, menu, None)
    for number, test in enumerate(menu.tests):
        if test.kind == "ohms" or test.state not in states:
            continue
        volts = (
            np.abs(size(book, test)[samples]) if test.kind in LAMPS else size(book, test)[samples]
        )
        order = np.argsort(volts)
        rank = np.zeros(len(volts), dtype=np.intp)
        rank[order[1:]] = np.cumsum(np.diff(volts[order]) > APART_V)
        if rank.max() == 0:
            continue
        twin = seen.get(rank.tobytes())
        if twin is not None and minutes[kept[twin]] <= minutes[number]:
            continue
        seen[rank.tobytes()] = len(kept)
        columns.append(rank)
        kept.append(number)
    order = np.argsort(minutes[kept], kind="stable")[:TESTS]
    chosen = [kept[at] for at in order]
    small = Menu(
        tests=tuple(menu.tests[n] for n in chosen),
        keys=tuple(menu.keys[n] for n in chosen),
        doing=menu.doing[chosen],
        setup=menu.setup[chosen],
    )
    return Problem(
        weight=weight,
        repair=repair,
        outcome=np.stack([columns[at] for at in order], axis=1),
        first=minutes[chosen],
        after=between(small, book),
    )


def least_minutes(problem):
    """The exact optimum by dynamic programming over sets of hypotheses and the test before."""
    count, tests = problem.outcome.shape
    weight, repair = problem.weight.tolist(), problem.repair.tolist()
    outcome = problem.outcome.tolist()

    def parts(members, test):
        found = {}
        for h in members:
            found.setdefault(outcome[h][test], []).append(h)
        return [tuple(part) for part in found.values()]

    @cache
    def best(members, last):
        if len({repair[h] for h in members}) < 2:
            return 0.0
        whole = sum(weight[h] for h in members)
        least = None
        for test in range(tests):
            split = parts(members, test)
            if len(split) < 2:
                continue
            took = problem.first[test] if last < 0 else problem.after[last, test]
            for part in split:
                took += sum(weight[h] for h in part) / whole * best(part, test)
            least = took if least is None or took < least else least
        return 0.0 if least is None else least

    return float(best(tuple(range(count)), -1))


def minutes_by(problem, rule):
    """Expected minutes of a rule that is asked anew before each test."""

    def follow(members, last):
        kept = problem.repair[members]
        if len(set(kept.tolist())) < 2:
            return 0.0
        weight = problem.weight[members]
        share = weight / weight.sum()
        here = Problem(
            weight=share,
            repair=np.unique(kept, return_inverse=True)[1],
            outcome=problem.outcome[members],
            first=problem.first if last < 0 else problem.after[last],
            after=problem.after,
        )
        test = rule(here)
        if test is None:
            return 0.0
        took = float(here.first[test])
        for shown in set(here.outcome[:, test].tolist()):
            same = here.outcome[:, test] == shown
            took += float(share[same].sum()) * follow(members[same], test)
        return took

    return follow(np.arange(len(problem.weight)), -1)
