"""Where a test lamp would itself switch something in a healthy circuit."""

from collections.abc import Sequence

from witnessmark.networks import Circuit, coils_of, solve
from witnessmark.networks.circuit import BATTERY_MINUS

Held = tuple[str, str, str]  # letter, letter of the clip, state


def lamp_works(
    circuit: Circuit, letters: Sequence[str], references: Sequence[str]
) -> dict[Held, str]:
    """Return what a bulb would switch over, wherever it would.

    A bulb that is clipped to the battery's plus and touches a relay's feed lets the coil pull in:
    a fan or a starter moves while somebody stands beside it.

    Parameters
    ----------
    circuit
        The circuit, without a fault.
    letters
        The points.
    references
        Letters of where the clip is; empty for the battery's negative post.

    Returns
    -------
    dict
        Name of the relay or solenoid by letter, letter of the clip, and state.
    """
    coils = coils_of(circuit)
    held = [(letter, clip) for clip in references for letter in letters if letter != clip]
    if not coils or not held:
        return {}
    found = solve(
        circuit,
        [()] * (len(held) + 1),
        lamps=[
            None,
            *((letter, clip or BATTERY_MINUS) for letter, clip in held),
        ],
    )
    moved = found.pulled[1:] != found.pulled[:1]
    return {
        (*held[at], found.states[state]): coils[int(moved[at, state].argmax())].part
        for at, state in zip(*moved.any(axis=2).nonzero(), strict=True)
    }
