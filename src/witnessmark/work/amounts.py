"""How many, or how much: exact numbers, so that a balance comes out at nothing."""

from decimal import Decimal

from witnessmark.errors import BenchError
from witnessmark.quantities import parse, quoted, show


def amount(text: str, unit: str | None) -> Decimal:
    """Return a quantity of the ledger as an exact number in its line's unit.

    Parameters
    ----------
    text
        As typed: "2", "9,4 L".
    unit
        The unit of the line: empty for things that are counted, None where it is not known.

    Returns
    -------
    Decimal
        More than nothing; a whole number where things are counted. [unit]

    Raises
    ------
    BenchError
        If the text is no quantity of that unit, is nothing, or is half a thing.

    Examples
    --------
    >>> amount("9,4 L", "L"), amount("4", "")
    (Decimal('9.4'), Decimal('4'))
    """
    quantity = parse(text, unit)
    exact = Decimal(str(quantity.value if unit is None else quantity.to(unit)))
    if not exact > 0:
        raise BenchError(
            f"The quantity is “{quoted(text)}”.",
            "It must be more than nothing.",
            "Count or measure it and enter that.",
        )
    whole = exact.to_integral_value()
    if unit == "" and exact != whole:
        raise BenchError(
            f"The quantity is “{quoted(text)}”.",
            "Things are counted whole.",
            "Enter how many there are.",
        )
    return whole if exact == whole else exact


def amount_in_words(exact: Decimal, unit: str) -> str:
    """Return a quantity as a page prints it.

    Parameters
    ----------
    exact
        The quantity. [unit]
    unit
        Its unit; empty for a count.

    Returns
    -------
    str
        For example "4" or "9.4 L".

    Examples
    --------
    >>> amount_in_words(Decimal("9.40"), "L"), amount_in_words(Decimal("4"), "")
    ('9.4 L', '4')
    """
    last_digit = int(exact.normalize().as_tuple().exponent)
    return show(float(exact), unit, float(Decimal(1).scaleb(min(last_digit, 0))))
