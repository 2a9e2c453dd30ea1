"""How much of each Newton step is taken: up to where the content of the circuit falls no more."""

from collections.abc import Callable
from typing import Final

import numpy as np

from witnessmark.networks.compiled import Floats

MOST_HALVINGS: Final = 60
RISES: Final = 0.5  # of its fall at the start: so far may the content rise at the end of a step
NEARLY_LEVEL: Final = 0.1  # of its fall at the start: so level it is at the end of a shorter one


def share_within(step_v: Floats, reach_v: float) -> Floats:
    """Return how much of each step may be taken so that nothing moves further than so far, B x 1.

    Parameters
    ----------
    step_v
        B x anything. [V]
    reach_v
        What all sources give together: no voltage of a circuit is greater. [V]
    """
    farthest: Floats = np.abs(step_v).max(axis=1, initial=reach_v, keepdims=True)
    return reach_v / farthest


def shortened(along: Callable[[Floats], Floats], start: Floats) -> None:
    """Shorten steps that go too far to about where the content is least along them.

    A regulator that nothing loads is flat on both sides of a narrow knee: a step from the one
    side ends far away on the other, and coming back by halves would take as many steps again.

    Parameters
    ----------
    along
        Gives the derivative of the content along each step, at a share of the step: B x 1 to B.
        It is called last with the shares to be taken.
    start
        B: the derivative where the steps begin, below zero. [W]
    """
    share = np.ones((len(start), 1))
    slope = along(share)
    searched = np.flatnonzero(slope > -RISES * start)
    low, high = np.zeros(len(searched)), np.ones(len(searched))
    for _ in range(MOST_HALVINGS):
        if not len(searched):
            return
        middle = (low + high) / 2.0
        share[searched, 0] = middle
        slope = along(share)[searched]
        far = slope > 0.0
        low, high = np.where(far, low, middle), np.where(far, middle, high)
        goes_on = np.abs(slope) > -NEARLY_LEVEL * start[searched]
        searched, low, high = searched[goes_on], low[goes_on], high[goes_on]
