"""A test lamp held between two points: part of the circuit while it is there."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.circuit import BATTERY_MINUS, Circuit
from witnessmark.networks.kinds import Kind
from witnessmark.networks.part import make_part
from witnessmark.networks.piece import Piece
from witnessmark.networks.pieces import pieces_of

TEST_LAMP: Final = "test lamp"
# 0.25 A at 12 V: below the 0.3 A that an engine service manual calls safe for a test lamp (seen).
LAMP_W: Final = 3.0
LAMP_V: Final = 12.0

Spot = tuple[str, str]  # keys of the points that probe and clip are on


def with_lamp(circuit: Circuit, point: str, reference: str = BATTERY_MINUS) -> Circuit:
    """Return the circuit with a test lamp between a point and a reference.

    Parameters
    ----------
    circuit
        The circuit.
    point
        Key of the point the probe is on.
    reference
        Key of the point the clip is on; the battery's negative post by default.

    Returns
    -------
    Circuit
        The same circuit and one lamp more, named `TEST_LAMP`.

    Raises
    ------
    BenchError
        If a point is not there, or both are the same.

    References
    ----------
    An incandescent lamp of 12 V, 3 W draws 0.25 A; safe below 0.3 A at 12 V by an engine
    service manual, seen.
    """
    probe, clip = _ends(circuit, point, reference)
    lamp = make_part(
        TEST_LAMP,
        Kind.LAMP,
        {"from": probe, "to": clip},
        {"power": LAMP_W, "volts": LAMP_V},
    )
    return replace(circuit, parts=(*circuit.parts, lamp))


def held_lamps(circuit: Circuit, spots: Sequence[Spot]) -> tuple[Piece, ...]:
    """Return test lamps that scenarios may hold between two points.

    Parameters
    ----------
    circuit
        The circuit.
    spots
        Keys of the points that probe and clip are on.

    Returns
    -------
    tuple of Piece
        The lamps, named after their points.

    Raises
    ------
    BenchError
        If a point is not there, or both are the same.
    """
    if not spots:
        return ()
    lamp = with_lamp(circuit, *spots[0]).parts[-1]
    (piece,) = pieces_of(replace(circuit, parts=(lamp,)))
    return tuple(_held_at(piece, *_ends(circuit, *spot)) for spot in spots)


def _held_at(lamp: Piece, probe: str, clip: str) -> Piece:
    return replace(lamp, name=f"{TEST_LAMP} at {probe}, clip at {clip}", first=probe, second=clip)


def _ends(circuit: Circuit, point: str, reference: str) -> tuple[str, str]:
    """Return the keys of the points that probe and clip are on."""
    probe, clip = circuit.point(point).key, circuit.point(reference).key
    if probe == clip:
        raise BenchError(
            f"Both ends of the test lamp are at {probe}.",
            "It lights between two points.",
            "Clip it to the battery's negative post and probe another point.",
        )
    return probe, clip
