"""Fault modes with the shop's rates, and severities close together where readings bend or jump."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import METERS, Floats, meter_uncertainty
from witnessmark.diagnosis.kinds import CLAMP, VOLTS
from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import Solution, assembled, solve

PIECES: Final = 8  # into which an interval is cut where a contact moves or a fuse blows
HALVINGS: Final = 5  # of an interval within which readings bend
BENT_IN_U: Final = 1.0  # off the straight line between two severities, over a meter's uncertainty

Rates = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """A fault mode with its severities, and how its weight lies between them.

    Attributes
    ----------
    mode
        The fault mode.
    shares
        For each interval between two severities, its share of the weight; none where the mode has
        no size.
    """

    mode: FaultMode
    shares: tuple[float, ...]

    def at(self, share: float) -> int:
        """Return the number of the severity below which a share of the weight lies."""
        if not self.shares:
            return 0
        passed = np.concatenate([[0.0], np.cumsum(self.shares)])
        return int(np.abs(passed - share).argmin())


def own_rates(circuit: Circuit) -> dict[str, float]:
    """Return the program's own weights for the parts of a circuit, for a shop to edit.

    Parameters
    ----------
    circuit
        The circuit.
    """
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    return {
        f"{kinds[name]}/{mode.mode}": mode.weight
        for mode in fault_modes(circuit)
        if (name := part_of(mode.part)) in kinds
    }


def weighted_modes(circuit: Circuit, rates: Rates) -> tuple[FaultMode, ...]:
    """Return the fault modes with the shop's weights.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode.

    Raises
    ------
    BenchError
        If a rate is below zero, or nothing could fail.
    """
    given = dict(rates)
    for name, weight in given.items():
        if not 0 <= weight < 1e6 or name.count("/") != 1:
            raise BenchError(
                f'The rate of "{name}" is {weight:g}.',
                'A rate is a weight of 0 or more for a kind and a mode: "connector/high".',
                "Write it so, or leave it out.",
            )
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    modes = tuple(
        replace(mode, weight=given.get(f"{kinds.get(part_of(mode.part))}/{mode.mode}", mode.weight))
        for mode in fault_modes(circuit)
    )
    kept = tuple(mode for mode in modes if mode.weight > 0)
    if not kept:
        raise BenchError(
            f"By these rates nothing in {circuit.name} can fail.",
            "At least one part needs a rate above 0.",
            "Mend the rates.",
        )
    return kept


def part_of(name: str) -> str:
    """Return the part that a part or one of its pieces belongs to.

    Parameters
    ----------
    name
        "K3" or "K3.coil".
    """
    return name.partition(".")[0]


def graded_modes(circuit: Circuit, rates: Rates = ()) -> tuple[tuple[Graded, ...], Solution]:
    """Return the fault modes with severities that leave no contact in doubt, and all solved.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode, as sorted items.

    Returns
    -------
    tuple
        The modes; the solution of their `single_faults`.

    Notes
    -----
    What lies between two severities is taken as a mixture of both. Where a contact moves between
    them, readings jump, so there the interval is cut into pieces. Where readings bend, as the
    current in a wire that touches a live one does, it is halved until they are nearly straight.
    """
    modes = weighted_modes(circuit, rates)
    seen = _Seen(circuit)
    seen.solve([(), *((fault,) for mode in modes for fault in mode.faults)])
    cut = {
        pair: _pieces(*pair)
        for mode in modes
        for pair in pairwise(mode.faults)
        if seen.moves(*pair) and min(_size(fault) for fault in pair) > 0
    }
    seen.solve([(fault,) for faults in cut.values() for fault in faults[1:-1]])
    runs = [*(mode.faults for mode in modes), *cut.values()]
    halved = _halved(seen, [pair for faults in runs for pair in seen.unsure(faults)])
    graded = tuple(_laid(mode, cut, halved) for mode in modes)
    return graded, assembled(seen.solutions, single_faults(graded))


Interval = tuple[Fault, Fault]


class _Seen:
    """What the faults of a circuit show, as far as they are solved.

    Attributes
    ----------
    solutions
        What was solved.
    sizes
        By fault: volts at every point and amperes in every piece, in every state; what a short
        itself carries is left out. [V], [A]
    stands
        By fault: how contacts and fuses stand.
    """

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.solutions: list[Solution] = []
        self.sizes: dict[Fault, tuple[Floats, Floats]] = {}
        self.stands: dict[Fault, bytes] = {}

    def solve(self, scenarios: Sequence[tuple[Fault, ...]]) -> None:
        """Solve scenarios of one fault each, or none."""
        if not scenarios:
            return
        found = solve(self.circuit, scenarios)
        self.solutions.append(found)
        rows, own = len(scenarios), len(pieces_of(self.circuit))
        volts = found.volts.reshape(rows, -1)
        amps = found.currents[:, :, :own].reshape(rows, -1)
        flags = [each.reshape(rows, -1) for each in (found.contacts, found.blown, found.chatter)]
        stands = np.concatenate(flags, axis=1)
        for row, faults in enumerate(scenarios):
            for fault in faults:
                self.sizes[fault] = (volts[row], amps[row])
                self.stands[fault] = stands[row].tobytes()

    def moves(self, low: Fault, high: Fault) -> bool:
        """Return whether a contact or a fuse moves between two severities."""
        return self.stands[low] != self.stands[high]

    def bends(self, low: Fault, middle: Fault, high: Fault) -> bool:
        """Return whether what the middle severity shows lies off the line between the others."""
        volts, amps = self.sizes[middle]
        u_v = meter_uncertainty(volts, 0.01, METERS[VOLTS])
        u_a = meter_uncertainty(amps, 0.01, METERS[CLAMP])
        start, between, end = (
            np.concatenate([self.sizes[fault][0] / u_v, self.sizes[fault][1] / u_a])
            for fault in (low, middle, high)
        )
        chord = end - start
        length = float(chord @ chord)
        share = float(np.clip((between - start) @ chord / length, 0, 1)) if length > 0 else 0.0
        return float(np.abs(between - start - share * chord).max(initial=0.0)) > BENT_IN_U

    def unsure(self, faults: Sequence[Fault]) -> list[Interval]:
        """Return the intervals that may bend: no neighbour shows that they do not."""
        bends = [self.bends(*three) for three in zip(faults, faults[1:], faults[2:], strict=False)]
        return [
            pair
            for at, pair in enumerate(pairwise(faults))
            if not self.moves(*pair) and (not bends or any(bends[max(at - 1, 0) : at + 1]))
        ]


def _size(fault: Fault) -> float:
    return float(fault.value or 0.0)


def _between(low: Fault, high: Fault, share: float) -> Fault:
    """Return the severity at a share of the way, on a log scale."""
    return replace(low, value=_size(low) * (_size(high) / _size(low)) ** share)


def _pieces(low: Fault, high: Fault) -> tuple[Fault, ...]:
    """Return the severities of the pieces into which an interval is cut, its ends among them."""
    inner = [_between(low, high, piece / PIECES) for piece in range(1, PIECES)]
    return (low, *inner, high)


def _halved(seen: _Seen, intervals: Sequence[Interval]) -> dict[Interval, Fault]:
    """Return the middle of each interval, and of each of its halves, in which readings bend."""
    middles: dict[Interval, Fault] = {}
    left = [pair for pair in intervals if min(_size(fault) for fault in pair) > 0]
    for _ in range(HALVINGS):
        between = {pair: _between(*pair, 0.5) for pair in left}
        seen.solve([(middle,) for middle in between.values()])
        bent = {
            (low, high): middle
            for (low, high), middle in between.items()
            if seen.bends(low, middle, high)
        }
        middles |= bent
        left = [half for pair, middle in bent.items() for half in _halves(pair, middle)]
    return middles


def _halves(interval: Interval, middle: Fault) -> tuple[Interval, Interval]:
    return (interval[0], middle), (middle, interval[1])


def _laid(
    mode: FaultMode, cut: Mapping[Interval, tuple[Fault, ...]], halved: Mapping[Interval, Fault]
) -> Graded:
    """Return a mode with the severities inside its intervals, and the weight of each piece."""
    severities: list[float | None] = [mode.severities[0]]
    shares: list[float] = []
    for interval in pairwise(mode.faults):
        pieces = list(pairwise(cut.get(interval, interval)))
        for piece in pieces:
            within, widths = _within(piece, halved)
            severities += [*within, _size(piece[1])]
            shares += [width / len(pieces) / (len(mode.faults) - 1) for width in widths]
    return Graded(mode=replace(mode, severities=tuple(severities)), shares=tuple(shares))


def _within(
    interval: Interval, halved: Mapping[Interval, Fault]
) -> tuple[list[float], list[float]]:
    """Return the severities inside an interval, and the share of each piece."""
    middle = halved.get(interval)
    if middle is None:
        return [], [1.0]
    (left, narrow), (right, wide) = (_within(half, halved) for half in _halves(interval, middle))
    widths = [width / 2.0 for width in (*narrow, *wide)]
    return [*left, _size(middle), *right], widths


def single_faults(graded: Sequence[Graded]) -> list[tuple[Fault, ...]]:
    """Return the scenarios of a dictionary: the healthy circuit, then every severity in turn.

    Parameters
    ----------
    graded
        The fault modes.
    """
    scenarios: list[tuple[Fault, ...]] = [()]
    scenarios += [(fault,) for grade in graded for fault in grade.mode.faults]
    return scenarios
