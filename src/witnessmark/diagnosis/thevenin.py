"""Test lamps by Thevenin: one inverse per scenario and state answers for every point at once.

What a point offers is its open voltage and the resistance behind it. The resistance follows from
the slopes of all pieces at their operating point, and these are read from two solutions that
differ by a milliampere or so at each point, so that no law of any piece has to be known here. A
lamp loads the circuit: where it may move a relay or bends the law of another lamp too far, that
one case is solved again with the lamp drawn into the circuit.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.kinds import LAMP, LED
from witnessmark.diagnosis.loading import Behind, led_volts, loaded, open_volts, places_of
from witnessmark.networks import Circuit, Fault, Kind, Point, Solution, make_part, solve, with_lamp
from witnessmark.networks.circuit import BATTERY_MINUS
from witnessmark.networks.compiled import compiled
from witnessmark.networks.laws import LEAK_S

_EXCITING_V: Final = 5.3
_EXCITING_OHM: Final = 10_000.0
_CHUNK: Final = 512


def lamp_volts(
    circuit: Circuit,
    scenarios: Sequence[tuple[Fault, ...]],
    solved: Solution,
    letters: Sequence[str],
    references: Sequence[str],
    careful: bool = True,
) -> dict[tuple[str, str], Floats]:
    """Return the volts across a bulb and an LED tester from each point to each reference.

    Parameters
    ----------
    circuit
        The circuit.
    scenarios
        The faults of each scenario.
    solved
        The solution for these scenarios, in all states.
    letters
        The points.
    references
        Letters of where the clip is; empty for the battery's negative post.
    careful
        Whether the cases that need it are solved again.

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
    for rows, behind, moved in _chunks(circuit, scenarios, solved):
        part = (len(rows), shape[1], shape[2])
        for reference in references:
            at = places_of(circuit, letters, reference)
            open_v, ohm = open_volts(behind, at)
            lit_v, risky = loaded(circuit, solved, rows, behind, at)
            tested[LAMP, reference][rows] = lit_v.reshape(part)
            tested[LED, reference][rows] = led_volts(open_v, ohm).reshape(part)
            again[reference][rows] = (risky | moved[:, None]).reshape(part)
    for reference in references if careful else ():
        _solve_again(
            circuit, scenarios, letters, reference, again[reference], tested[LAMP, reference]
        )
    return tested


def _chunks(
    circuit: Circuit, scenarios: Sequence[tuple[Fault, ...]], solved: Solution
) -> Iterator[tuple[Indices, Behind, Flags]]:
    """Yield scenario numbers, what lies behind their points, and where a contact moved."""
    excited = _excited(circuit)
    states = len(solved.states)
    count, pieces = len(circuit.points), len(solved.pieces)
    book, pushed_book = compiled(circuit), compiled(excited)
    at, to = book.first, book.second
    same = np.array([pushed_book.place[name] for name in solved.pieces], dtype=np.intp)
    each = max(1, _CHUNK // states)
    for start in range(0, len(scenarios), each):
        rows = np.arange(start, min(start + each, len(scenarios)))
        pushed = solve(excited, [scenarios[row] for row in rows.tolist()])
        moved = (
            (pushed.contacts != solved.contacts[rows]).any(axis=-1)
            | (pushed.blown[..., same] != solved.blown[rows]).any(axis=-1)
            | pushed.chatter
            | solved.chatter[rows]
        ).reshape(-1)
        volts = solved.volts[rows].reshape(-1, count)
        moved_v = pushed.volts[..., :count].reshape(-1, count) - volts
        across = moved_v[:, at] - moved_v[:, to]
        more_a = (pushed.currents[..., same] - solved.currents[rows]).reshape(-1, pieces)
        still = np.abs(across) < 1e-12
        slope = np.where(still, 0.0, more_a / np.where(still, 1.0, across))
        slope = np.maximum(slope, 0.0)
        yield (
            rows,
            Behind(volts=volts[:, 1:], ohm=_inverse(slope, at, to, count), slope=slope),
            moved,
        )
        assert len(volts) == len(rows) * states


def _excited(circuit: Circuit) -> Circuit:
    """Return the circuit with a little current put in at every point, each its own amount."""
    source = Point(letter="", words="where the probing current comes from")
    parts = [
        make_part(
            "probing source",
            Kind.BATTERY,
            {"plus": source.key, "minus": BATTERY_MINUS},
            {"emf": _EXCITING_V, "inside": 1e-3},
        )
    ]
    for number, point in enumerate(circuit.points[1:]):
        uneven = 1.0 + (number * 0.6180339887) % 1.0
        parts.append(
            make_part(
                f"probing current {number}",
                Kind.RESISTOR,
                {"from": source.key, "to": point.key},
                {"ohms": _EXCITING_OHM * uneven},
            )
        )
    return replace(
        circuit, points=(*circuit.points, source), parts=(*circuit.parts, *parts), complaints=()
    )


def _inverse(slope: Floats, at: Indices, to: Indices, count: int) -> Floats:
    matrix = np.zeros((len(slope), count, count))
    for piece in range(slope.shape[1]):
        one, other = int(at[piece]), int(to[piece])
        siemens = slope[:, piece]
        matrix[:, one, one] += siemens
        matrix[:, other, other] += siemens
        matrix[:, one, other] -= siemens
        matrix[:, other, one] -= siemens
    inner = matrix[:, 1:, 1:]
    inner[:, np.arange(count - 1), np.arange(count - 1)] += LEAK_S
    return np.asarray(np.linalg.inv(inner), dtype=np.float64)


def _solve_again(
    circuit: Circuit,
    scenarios: Sequence[tuple[Fault, ...]],
    letters: Sequence[str],
    reference: str,
    again: Flags,
    tested: Floats,
) -> None:
    """Solve the doubtful cases with the lamp drawn into the circuit, point by point."""
    states = [state.name for state in circuit.states]
    for number, letter in enumerate(letters):
        if letter == reference:
            continue
        wanted = again[:, :, number]
        rows = np.flatnonzero(wanted.any(axis=1))
        columns = np.flatnonzero(wanted.any(axis=0))
        if not len(rows):
            continue
        lit = with_lamp(circuit, letter, reference) if reference else with_lamp(circuit, letter)
        found = solve(
            lit, [scenarios[row] for row in rows.tolist()], [states[at] for at in columns.tolist()]
        )
        volts = found.volts[:, :, found.point_place[letter]]
        if reference:
            volts = volts - found.volts[:, :, found.point_place[reference]]
        place = np.ix_(rows, columns)
        tested[..., number][place] = np.where(wanted[place], volts, tested[..., number][place])
