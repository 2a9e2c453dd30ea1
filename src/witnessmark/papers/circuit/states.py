"""How switches and contacts stand in an operating state, when nothing is wrong."""

from functools import lru_cache

from witnessmark.networks import Circuit, solve


@lru_cache(maxsize=256)
def conducting(circuit: Circuit, state: str) -> frozenset[str]:
    """Return the keys of what conducts in a state of a whole circuit.

    Parameters
    ----------
    circuit
        The circuit, whole.
    state
        Name of the operating state.
    """
    found = solve(circuit, states=(state,))
    place = found.state_place[state]
    return frozenset(
        piece
        for piece, conducts in zip(found.pieces, found.conducts[0, place].tolist(), strict=True)
        if conducts
    )
