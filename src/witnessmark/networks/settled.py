"""What the solver finds for many scenarios in many states, and what ties a point to the battery."""

from dataclasses import dataclass, fields

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from witnessmark.networks.compiled import Compiled, Flags, Floats


@dataclass(slots=True, kw_only=True)
class Settled:
    """Where everything came to rest. B scenarios, T states, N points, P pieces, K relays.

    Attributes
    ----------
    volts
        B x T x N, the reference first. [V]
    currents, slopes
        B x T x P. [A], [S]
    contacts, blown, conducts
        B x T x contacts, B x T x P, B x T x P.
    chatter
        B x T.
    pulled, opened
        B x T x K, B x T x fuses: from where a state that follows starts.
    """

    volts: Floats
    currents: Floats
    slopes: Floats
    contacts: Flags
    blown: Flags
    conducts: Flags
    chatter: Flags
    pulled: Flags
    opened: Flags

    def rows(self, chosen: slice) -> "Settled":
        """Return a view of some of the scenarios."""
        return Settled(**{each.name: getattr(self, each.name)[chosen] for each in fields(self)})


def nothing_settled(book: Compiled, scenarios: int, states: int) -> Settled:
    """Return room for what is found.

    Parameters
    ----------
    book
        The circuit as arrays.
    scenarios
        B.
    states
        T.
    """
    shape = (scenarios, states)
    pieces, relays = (*shape, len(book.pieces)), book.relays
    return Settled(
        volts=np.zeros((*shape, len(book.circuit.points))),
        currents=np.zeros(pieces),
        slopes=np.zeros(pieces),
        contacts=np.zeros((*shape, len(relays.contact)), dtype=np.bool_),
        blown=np.zeros(pieces, dtype=np.bool_),
        conducts=np.zeros(pieces, dtype=np.bool_),
        chatter=np.zeros(shape, dtype=np.bool_),
        pulled=np.zeros((*shape, relays.count), dtype=np.bool_),
        opened=np.zeros((*shape, len(book.fuse)), dtype=np.bool_),
    )


def tied(book: Compiled, conducts: Flags) -> Flags:
    """Return which points a conducting way ties to the reference, B x N.

    Parameters
    ----------
    book
        The circuit as arrays.
    conducts
        B x P: which pieces conduct.
    """
    rows, count = len(conducts), len(book.circuit.points)
    row, piece = np.nonzero(conducts)
    start = row * count
    edges = coo_array(
        (
            np.ones(len(row), dtype=np.bool_),
            (start + book.first[piece], start + book.second[piece]),
        ),
        shape=(rows * count, rows * count),
    )
    _, label = connected_components(edges.tocsr(), directed=False)
    island = label.reshape(rows, count)
    result: Flags = island == island[:, :1]
    return result
