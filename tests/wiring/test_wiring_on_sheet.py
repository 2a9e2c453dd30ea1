"""What the sheet says of a run before anybody types it: length, old wire, fuse."""

import pytest

from tests.networks.made_circuits import battery, circuit, fuse, resistor, two_ends
from witnessmark.networks import BATTERY_MINUS, Kind
from witnessmark.networks.copper import wire_area
from witnessmark.wiring.on_sheet import sheet_run

RATING_A, THERE_M, BACK_M = 15.0, 3.5, 1.25
PIECES = ("F1", "W1", "C1", "R1", "W2")


def made(second):
    return circuit(
        battery(12.6),
        fuse("F1", "A", "B", RATING_A),
        two_ends(Kind.WIRE, "W1", "B", "C", size=2.5, length=THERE_M),
        two_ends(Kind.CONNECTOR, "C1", "C", "D", ohms=0.005),
        resistor("R1", "D", "E", 2.0),
        second,
    )


def lengths(**sizes):
    return two_ends(Kind.WIRE, "W2", "E", BATTERY_MINUS, **sizes)


def test_lengths_add_up_there_and_back():
    run = sheet_run(made(lengths(size=1.5, length=BACK_M)), PIECES, None)
    assert run.length_m == pytest.approx(THERE_M + BACK_M)
    assert run.was is None


def test_a_run_with_a_wire_of_unknown_length_has_none():
    """Half a run would size a wire that is too thin."""
    assert sheet_run(made(lengths(ohms=0.02)), PIECES, None).length_m is None


def test_the_old_wire_is_the_one_at_fault_or_the_thinnest_at_the_joint():
    whole = made(lengths(size=1.5, length=BACK_M))
    for name, label in (("W2", "1.5 mm²"), ("W1", "2.5 mm²"), ("C1", "2.5 mm²")):
        assert sheet_run(whole, PIECES, whole.part(name)).was.label == label


@pytest.mark.parametrize("label", ["14 AWG", "SAE 14", "0000 AWG", "0.35 mm²", "2.5 mm²"])
def test_a_size_comes_back_as_it_was_typed(label):
    """A sheet keeps the area alone: one room reads it, the other names it."""
    area_mm2, standard = wire_area(label)
    whole = made(lengths(size=area_mm2, length=BACK_M, standard=standard))
    was = sheet_run(whole, PIECES, whole.part("W2")).was
    assert was is not None and was.label == label


def test_the_fuse_of_the_run_is_the_one_that_is_there():
    assert sheet_run(made(lengths(ohms=0.02)), PIECES, None).fuse_a == RATING_A
    assert sheet_run(made(lengths(ohms=0.02)), ("W1", "R1"), None).fuse_a is None
