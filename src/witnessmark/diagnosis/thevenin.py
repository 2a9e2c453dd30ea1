"""Test lamps by Thevenin: one inverse per scenario and state answers for every point at once.

What a point offers is its open voltage and the resistance behind it. The resistance follows from
the slopes of all pieces at their operating point. A lamp loads the circuit: where it may move a
relay or bends the law of another lamp too far, that one case is solved again with the lamp held
there.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.kinds import LAMP, LED
from witnessmark.diagnosis.lamp_works import Held
from witnessmark.diagnosis.loading import Behind, doubtful, led_volts, loaded, open_volts, places_of
from witnessmark.networks import Circuit, Fault, Solution, solve
from witnessmark.networks.circuit import BATTERY_MINUS
from witnessmark.networks.compiled import compiled
from witnessmark.networks.nodal import nodal_matrix

_CHUNK: Final = 512  # operating points at once
_MOST_BYTES: Final = 64e6  # of their inverses
_CASES: Final = 512  # lamps held somewhere, solved at once


def lamp_volts(
    circuit: Circuit,
    solved: Solution,
    letters: Sequence[str],
    references: Sequence[str],
    careful: bool = True,
    refused: Collection[Held] = (),
) -> dict[tuple[str, str], Floats]:
    """Return the volts across a bulb and an LED tester from each point to each reference.

    Parameters
    ----------
    circuit
        The circuit.
    solved
        The scenarios as they were solved, in all states.
    letters
        The points.
    references
        Letters of where the clip is; empty for the battery's negative post.
    careful
        Whether the cases that need it are solved again.
    refused
        Where no bulb is held, and in which state: not solved again.

    Returns
    -------
    dict
        By tool and reference: scenario by state by point. [V]
    """
    shape = (len(solved.scenarios), len(solved.states), len(letters))
    tested = {
        (tool, reference): np.zeros(shape) for tool in (LAMP, LED) for reference in references
    }
    again = {reference: np.zeros(shape, dtype=np.bool_) for reference in references}
    for rows, behind in _chunks(circuit, solved):
        part = (len(rows), shape[1], shape[2])
        for reference in references:
            at = places_of(circuit, letters, reference)
            open_v, ohm = open_volts(behind, at)
            lit = loaded(circuit, behind, at, open_v, ohm)
            tested[LAMP, reference][rows] = lit.volts.reshape(part)
            tested[LED, reference][rows] = led_volts(open_v, ohm).reshape(part)
            if careful:
                doubts = doubtful(circuit, solved, rows, behind, at, lit)
                again[reference][rows] = doubts.reshape(part)
    if not careful:
        return tested
    for doubts in again.values():
        _doubt_what_follows(circuit, solved.states, doubts)
    for letter, clip, state in refused:
        again[clip][:, solved.states.index(state), letters.index(letter)] = False
    _solve_again(circuit, solved.scenarios, solved.states, letters, again, tested)
    return tested


def _doubt_what_follows(circuit: Circuit, states: Sequence[str], doubts: Flags) -> None:
    """Doubt a state wherever the one it follows is in doubt: a relay moved there stays so."""
    for _ in states:  # a chain of states is no longer than that
        for number, name in enumerate(states):
            before = circuit.state(name).after
            if before in states:
                doubts[:, number] |= doubts[:, states.index(before)]


def _chunks(circuit: Circuit, solved: Solution) -> Iterator[tuple[Indices, Behind]]:
    """Yield scenario numbers, and what lies behind their points in each state."""
    count, pieces = len(circuit.points), len(solved.pieces)
    book = compiled(circuit)
    at_once = min(_CHUNK, int(_MOST_BYTES / 8 / count**2))
    each = max(1, at_once // len(solved.states))
    for start in range(0, len(solved.scenarios), each):
        rows = np.arange(start, min(start + each, len(solved.scenarios)))
        slope = solved.slopes[rows].reshape(-1, pieces)
        ohm = np.asarray(np.linalg.inv(nodal_matrix(book, slope)), dtype=np.float64)
        yield rows, Behind(volts=solved.volts[rows].reshape(-1, count)[:, 1:], ohm=ohm, slope=slope)


def _solve_again(
    circuit: Circuit,
    scenarios: Sequence[tuple[Fault, ...]],
    states: Sequence[str],
    letters: Sequence[str],
    again: Mapping[str, Flags],
    tested: Mapping[tuple[str, str], Floats],
) -> None:
    """Solve the doubtful cases with the lamp held there, all in one."""
    cases = [
        (reference, row, point)
        for reference, flags in again.items()
        for point, row in np.argwhere(flags.any(axis=1).T).tolist()
        if letters[point] != reference
    ]
    for start in range(0, len(cases), _CASES):
        chosen = cases[start : start + _CASES]
        wanted = np.stack([again[reference][row, :, point] for reference, row, point in chosen])
        found = solve(
            circuit,
            [scenarios[row] for _, row, _ in chosen],
            states,
            lamps=[(letters[point], reference or BATTERY_MINUS) for reference, _, point in chosen],
            only=wanted,
        )
        for number, (reference, row, point) in enumerate(chosen):
            volts = found.volts[number, :, found.point_place[letters[point]]]
            if reference:
                volts = volts - found.volts[number, :, found.point_place[reference]]
            shown = tested[LAMP, reference][row, :, point]
            shown[wanted[number]] = volts[wanted[number]]
