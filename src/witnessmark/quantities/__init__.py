"""What a person types about a size, as a value in a named unit, and back to words.

The grammar is strict on purpose: a comma or a point as the decimal sign, inch fractions,
thousandths, wire gauge, and nothing that could be read in two ways.
"""

from witnessmark.quantities.typed import MINUS, Quantity, parse, show
from witnessmark.quantities.units import convert, kind_in_words, kind_of, listed, quoted, unit_named

__all__ = [
    "MINUS",
    "Quantity",
    "convert",
    "kind_in_words",
    "kind_of",
    "listed",
    "parse",
    "quoted",
    "show",
    "unit_named",
]
