"""Between two rows of a table on a log-log sheet, as time-current curves are drawn."""

from collections.abc import Sequence
from itertools import pairwise
from math import exp, isclose, log


def between(rows: Sequence[tuple[float, float]], at: float) -> float | None:
    """Return the value of a table at a place, straight between its rows on a log-log sheet.

    Parameters
    ----------
    rows
        Places, rising, with their values; all above zero.
    at
        The place. [unit of the places]

    Returns
    -------
    float or None
        A row's own value is given exactly; None outside of the rows.

    Examples
    --------
    >>> rows = [(1.0, 100.0), (10.0, 1.0)]
    >>> between(rows, 10.0), round(between(rows, 10**0.5)), between(rows, 11.0)
    (1.0, 10, None)
    """
    for place, value in rows:
        if isclose(place, at, rel_tol=1e-9):
            return value
    for (low, before), (high, after) in pairwise(rows):
        if low < at < high:
            share = log(at / low) / log(high / low)
            return exp(log(before) + share * log(after / before))
    return None
