"""The circuits that ship, by name."""

from functools import cache
from importlib import resources

from witnessmark.sheets.circuit import read_circuit

ALL = {
    sheet.name: sheet.read_text(encoding="utf-8")
    for sheet in resources.files("witnessmark.examples").joinpath("circuits").iterdir()
    if sheet.name.endswith(".toml")
}
# Small enough for every fault to be played to its end in a test.
SHEETS = {name: ALL[name] for name in ("fan.toml", "headlamps.toml", "horn.toml", "starting.toml")}


@cache
def circuit(name):
    return read_circuit(ALL[name], name)
