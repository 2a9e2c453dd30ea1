"""What a fault reaches: the points whose volts it moves, and the parts that feel it."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Indices
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.faults import SHORT
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import Solution

REACHES_V: Final = 0.25  # V: a point so far from its healthy voltage is reached by a fault
REACHES_SHARE: Final = 0.1  # of its greatest current: so far a fault changes another part's


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What S scenarios reach in T states, seen from the healthy circuit.

    Attributes
    ----------
    points
        S x T x point: whether its volts move.
    parts
        S x T x part: whether the volts of one of its ends move, or the current through it.
    """

    points: Flags
    parts: Flags


_NOTHING = np.zeros((0, 0, 0), dtype=np.bool_)
UNKNOWN: Final = Reach(points=_NOTHING, parts=_NOTHING)  # where no faults were solved


def reach_of(circuit: Circuit, solved: Solution) -> Reach:
    """Return what each scenario reaches.

    Parameters
    ----------
    circuit
        The circuit.
    solved
        The scenarios, the healthy circuit first.
    """
    points = np.abs(solved.volts - solved.volts[:1]) > REACHES_V
    points[:, :, 0] = False  # the reference
    # A short's own current is no measure of what a part usually carries.
    usual = np.array(
        [not any(fault.mode.startswith(SHORT) for fault in faults) for faults in solved.scenarios]
    )
    most_a = np.abs(solved.currents[usual]).max(axis=(0, 1))
    changed_a = np.abs(solved.currents - solved.currents[:1])
    changes = changed_a > REACHES_SHARE * most_a
    numbers = {part.name: number for number, part in enumerate(circuit.parts)}
    parts = np.zeros((*points.shape[:2], len(numbers)), dtype=np.bool_)
    for number, piece in enumerate(pieces_of(circuit)):
        at, to = circuit.place[piece.first], circuit.place[piece.second]
        feels = changes[:, :, number] | points[:, :, at] | points[:, :, to]
        parts[:, :, numbers[piece.part]] |= feels
    return Reach(points=points, parts=parts)


def meeting(circuit: Circuit, reach: Reach, scenario: Indices, part: Indices) -> Flags:
    """Return which single faults do not leave each other alone, F by F by T.

    They meet where both move a point, or where one reaches the other's part: an open wire shows
    only once something sends current through it.

    Parameters
    ----------
    circuit
        The circuit.
    reach
        What the single faults reach.
    scenario
        Scenario of each of F faults.
    part
        Number of the part of each.
    """
    moved = reach.points[scenario].transpose(1, 0, 2).astype(np.float32)
    meets = (moved @ moved.transpose(0, 2, 1) > 0).transpose(1, 2, 0)
    touched = reach.parts[scenario][:, :, part].transpose(0, 2, 1)
    meets |= touched | touched.transpose(1, 0, 2)
    for number, state in enumerate(circuit.states):
        # What moved in the state before stands so in the one that follows.
        while state.after:
            state = circuit.state(state.after)
            meets[:, :, number] |= meets[:, :, circuit.states.index(state)]
    return np.asarray(meets, dtype=np.bool_)
