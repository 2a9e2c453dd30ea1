"""Parts that no test on the sheet tells apart, and the extra point that would part them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from witnessmark.diagnosis.answers import between_words
from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.networks.circuit import Circuit
from witnessmark.networks.pieces import pieces_of
from witnessmark.quantities import listed

STANDS: Final = 0.03  # belief from which a suspect counts as still standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Twins:
    """Parts that every volts test on the sheet reads alike.

    Attributes
    ----------
    parts
        Their names.
    point
        Key of a point between them that has no letter yet; empty if the sheet has none.
    sentence
        What to do about it, in words.
    """

    parts: tuple[str, ...]
    point: str
    sentence: str


def twin_parts(book: Dictionary, weighed: Weighed) -> tuple[tuple[str, ...], ...]:
    """Return the standing parts of several repairs that every volts test reads alike.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    """
    standing = [
        number
        for number in np.argsort(-weighed.suspects, kind="stable").tolist()
        if weighed.suspects[number] >= STANDS and len(book.suspects[number].parts) == 1
    ]
    means = {}
    for number in standing:
        own = book.samples(number)
        weight = weighed.belief[own] / weighed.belief[own].sum()
        volts = book.mix.rows(np.arange(own.start, own.stop)).of(book.solved.volts)
        means[number] = np.tensordot(weight, volts, axes=1)
    found: list[list[int]] = []
    for number in standing:
        for group in found:
            u_v = meter_uncertainty(means[group[0]], 0.01)
            if (np.abs(means[number] - means[group[0]]) < u_v).all():
                group.append(number)
                break
        else:
            found.append([number])
    twins = []
    for group in found:
        repairs = {book.suspects[number].repair for number in group}
        parts = tuple(dict.fromkeys(book.suspects[number].part for number in group))
        if len(repairs) > 1 and len(parts) > 1:
            twins.append(parts)
    return tuple(twins)


def parted(circuit: Circuit, groups: Sequence[tuple[str, ...]]) -> tuple[Twins, ...]:
    """Return twins with the point that would part them.

    Parameters
    ----------
    circuit
        The circuit.
    groups
        Groups of parts that no test on the sheet tells apart.
    """
    return tuple(_parted(circuit, group) for group in groups)


def _parted(circuit: Circuit, group: tuple[str, ...]) -> Twins:
    ends: dict[str, set[str]] = {}
    for piece in pieces_of(circuit):
        if piece.part in group:
            ends.setdefault(piece.part, set()).update((piece.first, piece.second))
    blind = [point.key for point in circuit.points[1:] if not point.letter]
    for number, one in enumerate(group):
        for other in group[number + 1 :]:
            shared = ends.get(one, set()) & ends.get(other, set()) & set(blind)
            if shared:
                point = min(shared, key=blind.index)
                return Twins(
                    parts=group, point=point, sentence=between_words(listed(group, "and"), point)
                )
    touching = {end for part in group for end in ends.get(part, set())}
    point = next((key for key in blind if key in touching), "")
    return Twins(parts=group, point=point, sentence=between_words(listed(group, "and"), point))
