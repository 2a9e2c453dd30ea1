"""The circuits that ship, by name."""

from functools import cache
from importlib import resources

from witnessmark.sheets.circuit import read_circuit

SHEETS = {
    sheet.name: sheet.read_text(encoding="utf-8")
    for sheet in resources.files("witnessmark.examples").joinpath("circuits").iterdir()
    if sheet.name.endswith(".toml")
}


@cache
def circuit(name):
    return read_circuit(SHEETS[name], name)
