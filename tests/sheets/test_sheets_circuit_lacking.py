"""What a part has not been told yet is one sentence, its fields named as the page names them."""

import pytest

from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit_draft import Draft
from witnessmark.sheets.circuit_lacking import lacking
from witnessmark.sheets.circuit_loads import watts_in_ohms, ways_of_a_motor
from witnessmark.sheets.circuit_look import look_through

BATTERY = {"name": "BAT", "kind": "battery", "plus": "battery +", "minus": "battery −"}
LOAD = {"name": "X1", "from": "battery +", "to": "battery −"}
FAN = {"name": "Fan", "kind": "motor", "from": "battery +", "to": "battery −"}


def notes(part=None, **sizes):
    head = {"name": "fan", "source": "page 7"}
    parts = [BATTERY, (part or FAN) | sizes]
    data = {"circuit": head, "parts": parts, "states": [{"name": "on"}]}
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


def test_a_fuse_does_not_ask_for_the_resistance_that_its_rating_brings():
    fuse = LOAD | {"kind": "fuse"}
    assert notes(fuse) == {("rating",): "X1 still needs: rating."}
    wrong = notes(fuse, rating="20 V")
    assert list(wrong) == [("rating",)]
    assert wrong["rating",].startswith("“20 V” is a voltage.")
    assert "still needs" not in str(notes(fuse, rating="20 A"))


def test_a_heater_asks_for_its_power_and_takes_its_watts_or_its_ohms():
    heater = LOAD | {"kind": "heater"}
    assert notes(heater) == {("power",): "X1 still needs: power."}
    for told in ({"power": "120 W"}, {"power": "120"}, {"ohms": "1.2 ohm"}):
        assert "still needs" not in str(notes(heater, **told))


@pytest.mark.second_way("Ohm's law by hand: 12² / 120 is 1.2, 24² / 120 is 4.8, 10² / 120 is 0.833")
def test_watts_typed_as_ohms_say_where_they_go_and_what_they_are():
    def end(kind, **typed):
        return notes(LOAD | {"kind": kind}, **typed)["ohms",].partition("Watts ")[2]

    assert end("heater", ohms="120 W") == "go into power: 120 W at 12 V are 1.2 Ω."
    assert end("resistor", ohms="0.12 kW") == "go into power under More: 120 W at 12 V are 1.2 Ω."
    assert end("heater", ohms="120 V") == ""
    heater = {"kind": "heater", "ohms": "120 W"}
    assert watts_in_ohms(heater, 2.0).endswith(": 120 W at 24 V are 4.8 Ω.")
    assert watts_in_ohms(heater | {"volts": "10 V"}, 1.0).endswith(": 120 W at 10 V are 0.833 Ω.")
    assert watts_in_ohms(heater, None) == " Watts go into power."
    assert watts_in_ohms({"kind": "heater", "ohms": "0 W"}, 1.0) == ""


def test_ohms_typed_as_the_power_of_a_heater_say_where_they_go():
    said = notes(LOAD | {"kind": "heater"}, power="1.2 ohm")["power",]
    assert said.endswith(" A resistance goes under More instead.")
