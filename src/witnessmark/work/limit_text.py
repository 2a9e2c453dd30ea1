"""A limit as people and sources write it, and the range that it means."""

import re

from witnessmark.errors import BenchError
from witnessmark.metrology import Limit
from witnessmark.quantities import parse, quoted

_BETWEEN = re.compile(r"(?P<lower>.+?)\s+to\s+(?P<upper>.+)")
_ABOUT = re.compile(r"(?P<middle>.+?)\s*±\s*(?P<half>.+)")
_LEAST = re.compile(r"at least\s+(?P<lower>.+)")
_MOST = re.compile(r"at most\s+(?P<upper>.+)")


def limit_from_text(text: str, unit: str, source: str) -> Limit:
    """Return the limit that a line of a sheet means.

    Parameters
    ----------
    text
        "24 to 26 N·m", "25 ± 1 N·m", "at least 1.5 mm" or "at most 0.1 bar".
    unit
        The unit of the readings that it judges; meant where the text names none.
    source
        Who asks for it: maker, document, page.

    Returns
    -------
    Limit
        The range in `unit`, with its text as written.

    Raises
    ------
    BenchError
        If the text is none of these forms, or its unit is of another kind.

    Examples
    --------
    >>> limit_from_text("24 to 26 N·m", "N·m", "invented").upper
    26.0
    >>> limit_from_text("at most 0,1 bar", "kPa", "invented").upper
    10.0
    """
    plain = " ".join(text.split())
    lower: float | None = None
    upper: float | None = None
    if found := _LEAST.fullmatch(plain):
        lower = parse(found["lower"], unit).to(unit)
    elif found := _MOST.fullmatch(plain):
        upper = parse(found["upper"], unit).to(unit)
    elif found := _ABOUT.fullmatch(plain):
        half = parse(found["half"], unit)
        middle = parse(found["middle"], half.unit)
        centre, spread = middle.to(unit), half.to(unit) - parse("0", half.unit).to(unit)
        lower, upper = centre - spread, centre + spread
    elif found := _BETWEEN.fullmatch(plain):
        high = parse(found["upper"], unit)
        # "24 to 26 N·m": the unit stands once, at the end
        lower, upper = parse(found["lower"], high.unit).to(unit), high.to(unit)
    else:
        raise BenchError(
            f"“{quoted(text)}” is no limit.",
            "A limit reads like 24 to 26 N·m, at least 1.5 mm or at most 0.1 bar.",
            "Copy the range from the service information in one of these forms.",
        )
    return Limit(lower=lower, upper=upper, unit=unit, source=source, text=plain)
