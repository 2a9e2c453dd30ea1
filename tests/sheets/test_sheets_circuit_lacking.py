"""What a part has not been told yet is one sentence, its fields named as the page names them."""

import pytest

from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit_draft import Draft
from witnessmark.sheets.circuit_lacking import lacking, ways_of_a_motor
from witnessmark.sheets.circuit_look import look_through

BATTERY = {"name": "BAT", "kind": "battery", "plus": "battery +", "minus": "battery −"}
FAN = {"name": "Fan", "kind": "motor", "from": "battery +", "to": "battery −"}


def notes(**sizes):
    head = {"name": "fan", "source": "page 7"}
    data = {"circuit": head, "parts": [BATTERY, FAN | sizes], "states": [{"name": "on"}]}
    return {note.path[2:]: note.sentence for note in look_through(Draft(data=data)).notes}


def test_a_motor_told_by_its_plate_says_which_fields_under_more_lack_and_what_else_would_do():
    said = notes(volts="12 V")
    assert list(said) == [("armature",)]
    assert said["armature",].startswith(
        "Fan still needs, under More: resistance held still, drawing. The size of a motor is "
    )
    said = notes(volts="12 V", amps="10 A")["armature",]
    assert said.startswith("Fan still needs, under More: resistance held still. ")
    assert "12 V / 10 A = 1.2 Ω" in said


@pytest.mark.parametrize(
    "typed", [{"ohms": "120 W"}, {"ohms": "12 V"}, {"power": "120 W"}, {"watts": "120 W"}]
)
def test_watts_or_volts_where_ohms_are_asked_for_say_how_a_motor_is_told(typed):
    said = notes(**typed)
    (key,) = typed
    assert said[key,].endswith(ways_of_a_motor(FAN | typed))


def test_how_a_motor_is_told_is_said_once():
    said = notes(volts="12 V", power="120 W")
    assert said["power",] == "A motor has no power. Empty that cell, or choose another kind."


def test_a_motor_told_in_two_ways_is_asked_to_take_one_out_and_for_nothing_else():
    said = notes(ohms="1.2 ohm", volts="12 V")
    assert list(said) == [("volts",)]
    assert said["volts",].startswith("'Fan' has both 'ohms' and 'volts'.")


def test_a_motor_told_by_all_three_or_by_its_resistance_alone_is_whole():
    assert notes(armature="0.2 ohm", volts="12 V", amps="10 A") == {}
    assert notes(ohms="1.2 ohm") == {}


def test_volts_and_amps_that_cannot_be_read_leave_the_example_as_it_is():
    assert "12 V / 8 A = 1.5 Ω" in ways_of_a_motor({"volts": "?", "amps": "10 A"})
    assert "12 V / 8 A = 1.5 Ω" in ways_of_a_motor({"volts": "12 V", "amps": "0 A"})


def test_ends_come_before_what_stands_under_more():
    parts = [{"name": "Fan", "kind": "motor", "amps": "8 A"}, {"name": "B", "kind": "battery"}]
    said = dict(lacking({"parts": parts}))
    assert said[0].startswith(
        "Fan still needs: from, to; under More: resistance held still, runs at. "
    )
    assert said[1] == "B still needs: plus post, minus post, volts at rest, inner resistance."


@pytest.mark.parametrize("kind", Kind)
def test_a_part_that_has_its_ends_and_one_way_lacks_nothing(kind):
    ends = {terminal.key: "A" for terminal in FORMS[kind].terminals}
    ends |= {"terminals": {"B": "A"}, "positions": {"off": []}}
    for way in FORMS[kind].ways:
        part = {"name": "X", "kind": str(kind), **ends, **{size.key: 1 for size in way}}
        assert list(lacking({"parts": [part]})) == []
