"""What the sheet says of a run before anybody types it: length, old wire, fuse."""

import pytest

from tests.networks.made_circuits import battery, circuit, fuse, resistor, sheet, two_ends
from witnessmark.networks import BATTERY_MINUS, Kind, solve
from witnessmark.networks.wire_sizes import wire_area
from witnessmark.wiring.fuses import FuseKind
from witnessmark.wiring.on_sheet import sheet_run

RATING_A, THERE_M, BACK_M = 15.0, 3.5, 1.25
PIECES = ("F1", "W1", "C1", "R1", "W2")


def run_of(whole, part=""):
    return sheet_run(
        whole,
        solve(whole),
        PIECES,
        part=whole.part(part) if part else None,
        load=whole.part("R1"),
    )


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
    run = run_of(made(lengths(size=1.5, length=BACK_M)))
    assert run.length_m == pytest.approx(THERE_M + BACK_M)
    assert run.was is None


def test_a_run_with_a_wire_of_unknown_length_has_none():
    """Half a run would size a wire that is too thin."""
    assert run_of(made(lengths(ohms=0.02))).length_m is None


def test_the_old_wire_is_the_one_at_fault_or_the_thinnest_at_the_joint():
    whole = made(lengths(size=1.5, length=BACK_M))
    for name, label in (("W2", "1.5 mm²"), ("W1", "2.5 mm²"), ("C1", "2.5 mm²")):
        assert run_of(whole, name).was.label == label


@pytest.mark.parametrize("label", ["14 AWG", "SAE 14", "0000 AWG", "0.35 mm²", "2.5 mm²"])
def test_a_size_comes_back_as_it_was_typed(label):
    """A sheet keeps the area alone: one room reads it, the other names it."""
    area_mm2, standard = wire_area(label)
    whole = made(lengths(size=area_mm2, length=BACK_M, standard=standard))
    was = run_of(whole, "W2").was
    assert was is not None and was.label == label


def test_the_fuse_is_the_one_that_the_current_came_through():
    assert run_of(made(lengths(ohms=0.02))).fuse_a == RATING_A
    assert run_of(made(lengths(ohms=0.02)), "W1").fuse_a == RATING_A
    bare = circuit(battery(12.6), resistor("R1", "A", BATTERY_MINUS, 2.0))
    assert sheet_run(bare, solve(bare), ("R1",), load=bare.part("R1")).fuse_a is None


def of_sheet(name, part, load, pieces=()):
    known = sheet(name)
    return sheet_run(known, solve(known), pieces, part=known.part(part), load=known.part(load))


@pytest.mark.second_way("the text of the sheet, read by eye")
def test_a_shared_feed_has_all_its_loads_and_the_wire_to_one_load_its_own():
    shared = of_sheet("headlamps", "W2", "L1")
    assert shared.renewed == ("W2",)
    assert (shared.length_m, shared.was.label, shared.fuse_a) == (1.5, "4 mm²", 20.0)
    assert shared.fuse_kind is FuseKind.STANDARD
    assert [one.words for one in shared.carried.counted] == [
        "L1 left headlamp",
        "L2 right headlamp",
    ]
    assert shared.carried.current_a == pytest.approx(shared.fed.current_a, rel=1e-4)
    own = of_sheet("headlamps", "W3", "L1")
    assert [one.words for one in own.carried.counted] == ["L1 left headlamp"]
    assert own.fed == shared.fed
    assert own.carried.current_a < 0.6 * own.fed.current_a
    # the thinnest other wire that the fuse protects alone: the lamps' own, not the side lamp's
    assert shared.thinnest.label == "2.5 mm²"


@pytest.mark.second_way("the text of the sheet, read by eye")
def test_the_way_back_of_a_lamp_has_the_fuse_of_its_feed():
    back = of_sheet("headlamps", "W6", "L2")
    assert (back.length_m, back.was.label, back.fuse_a) == (1.3, "2.5 mm²", 20.0)


@pytest.mark.second_way("Ohm's law by hand: the supply over the armature")
def test_a_motor_held_still_and_hot_copper_are_known():
    hot = circuit(
        battery(12.6),
        fuse("F1", "A", "B", RATING_A),
        two_ends(Kind.WIRE, "W1", "B", "C", size=2.5, length=THERE_M, temperature=70.0),
        two_ends(Kind.MOTOR, "M1", "C", BATTERY_MINUS, armature=0.5, volts=12.0, amps=6.0),
    )
    run = sheet_run(hot, solve(hot), (), part=hot.part("W1"), load=hot.part("M1"))
    assert run.stalled_a == pytest.approx(12.6 / 0.5)
    assert run.copper_c == 70.0
    assert run_of(made(lengths(ohms=0.02))).copper_c is None


@pytest.mark.second_way("the text of the sheet, read by eye")
def test_a_lamp_at_fault_renews_no_wire():
    lamp = of_sheet("headlamps", "L1", "L1")
    assert lamp.renewed == () and lamp.length_m is None
    assert lamp.fuse_a == 20.0


def test_a_wire_behind_a_link_or_behind_nothing_says_so():
    assert "By the sheet no fuse stands before it." in of_sheet("headlamps", "W1", "L1").no_fuse
    assert of_sheet("headlamps", "W2", "L1").no_fuse == ""
    linked = circuit(
        battery(12.6),
        two_ends(Kind.LINK, "FL1", "A", "B", size=2.0, length=0.15),
        two_ends(Kind.WIRE, "W1", "B", "C", size=4.0, length=THERE_M),
        resistor("R1", "C", BATTERY_MINUS, 2.0),
    )
    run = sheet_run(linked, solve(linked), (), part=linked.part("W1"), load=linked.part("R1"))
    assert run.fuse_a is None
    assert "FL1 feeds it, a fusible link" in run.no_fuse
