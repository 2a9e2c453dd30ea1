"""Labels on one line: each as near to its place as the others leave room for."""

from collections.abc import Sequence

import numpy as np
from scipy.optimize import isotonic_regression


def clear_places(
    wanted: Sequence[float], widths: Sequence[float], low: float, high: float, gap: float
) -> tuple[float, ...]:
    """Return where the middles of labels stand: in order, inside the line, clear of each other.

    The sum of squares of how far they stand from where they are wanted is the least there can be.

    Parameters
    ----------
    wanted
        The middle of each label where it would be best, rising. [px]
    widths
        Width of each label. [px]
    low
        Where the line begins. [px]
    high
        Where it ends. [px]
    gap
        Room between two labels. [px]

    Returns
    -------
    tuple of float
        The middles; none where the line is too short for all of them. [px]

    Notes
    -----
    With the room that the labels before need taken off, a place that must not lie left of the one
    before is a rising one: isotonic regression, cut off at the ends of the line.

    Examples
    --------
    >>> clear_places([10, 12, 90], [8, 8, 8], 0, 100, gap=2)
    (6.0, 16.0, 90.0)
    >>> clear_places([5, 5], [8, 8], 0, 12, gap=2)
    ()
    """
    if not wanted:
        return ()
    wide = np.asarray(widths, dtype=np.float64)
    before = np.concatenate([[0.0], np.cumsum((wide[:-1] + wide[1:]) / 2.0 + gap)])
    first, last = low + wide[0] / 2.0, high - wide[-1] / 2.0 - before[-1]
    if last < first:
        return ()
    rising = isotonic_regression(np.asarray(wanted, dtype=np.float64) - before).x
    return tuple(float(x) for x in np.clip(rising, first, last) + before)
