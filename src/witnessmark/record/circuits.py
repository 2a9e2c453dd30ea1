"""The circuit of a job's pinned sheet, and a test of it in words.

The rooms that solve circuits are loaded when they are needed: a page that shows none opens faster.
"""

from functools import lru_cache
from typing import TYPE_CHECKING

from witnessmark.errors import BenchError
from witnessmark.record.models import PinnedSheet, Reading
from witnessmark.shop.models import Shop

if TYPE_CHECKING:
    from witnessmark.networks.circuit import Circuit


@lru_cache(maxsize=64)
def circuit_of(text: str, title: str) -> "Circuit":
    """Return a sheet's text as a circuit; the same text is read once."""
    from witnessmark.sheets.circuit import read_circuit

    return read_circuit(text, title)


def rates_of(shop: Shop) -> dict[str, float]:
    """Return the shop's own weights of faults, by kind and mode."""
    return {name: float(text) for name, text in shop.rates.items()}


def reading_words(sheet: PinnedSheet | None, row: Reading) -> str:
    """Return what was read: a test of the circuit in words, a look in its own."""
    return row.what if row.is_look else test_words(sheet, row.key)


def test_words(sheet: PinnedSheet | None, key: str) -> str:
    """Return a test in words: "E, motor −, the fan running"; the key itself if it is none."""
    if sheet is None:
        return key
    from witnessmark.diagnosis.facts import part_places, places
    from witnessmark.diagnosis.observations import parse_test_key
    from witnessmark.diagnosis.words import what_words

    try:
        test = parse_test_key(key)
        circuit = circuit_of(sheet.text, sheet.title)
        if test.point:
            circuit.point(test.point)
        else:
            circuit.part(test.part)
        setting = circuit.state(test.state).words if test.state else ""
    except BenchError:
        return key
    what = what_words(places(circuit), part_places(circuit), test)
    return f"{what}, {setting}" if setting else what


def is_read_at(sheet: PinnedSheet | None, key: str, suspect: str) -> bool:
    """Return whether a test of the circuit was of a part that a suspect names, or at an end of it.

    Parameters
    ----------
    sheet
        The circuit sheet.
    key
        The test, as a stored reading carries it.
    suspect
        Key of the suspect.
    """
    if sheet is None:
        return False
    from witnessmark.diagnosis.facts import parts_at_fault
    from witnessmark.diagnosis.observations import parse_test_key

    try:
        test = parse_test_key(key)
        parts = parts_at_fault(circuit_of(sheet.text, sheet.title), suspect)
    except BenchError:
        return False
    ends = {end for part in parts for _, end in part.ends}
    names = {part.name for part in parts}
    return test.part in names or bool(ends & {test.point, test.reference})
