"""A half-done sheet looked through: each mistake at its entry, nothing typed lost, letters kept."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from networks.made_circuits import SHEETS
from sheets.typed_sheets import typed_sheets
from witnessmark.networks import FORMS, Kind
from witnessmark.papers.circuit import draw, layout_of
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, ends_of_part, read_draft
from witnessmark.sheets.circuit_half import half_circuit
from witnessmark.sheets.circuit_look import look_through
from witnessmark.sheets.circuit_points_kept import (
    ends_by_point,
    with_letters,
    without_left_points,
)
from witnessmark.sheets.circuit_units import with_units
from witnessmark.sheets.circuit_usual import usual_of, with_usual
from witnessmark.sheets.circuit_usual_said import USUAL_TAKEN

BATTERY = {"name": "BAT", "kind": "battery", "plus": "battery +", "minus": "battery −"}
FUSE = {"name": "F1", "kind": "fuse", "from": "battery +", "to": "after F1", "rating": "10 A"}
LAMP = {"name": "L1", "kind": "lamp", "from": "after F1", "to": "battery −", "power": "21 W"}
HEAD = {"name": "lamp", "source": "page 7"}
ON = {"name": "on"}


def sheet(*parts, **more):
    return {"circuit": HEAD, "parts": list(parts), "states": [ON], **more}


def notes(data):
    return {note.path: note.sentence for note in look_through(Draft(data=data)).notes}


def test_a_fuse_needs_only_its_rating_and_a_lamp_its_watts():
    looked = look_through(Draft(data=sheet(BATTERY, FUSE, LAMP)))
    assert looked.notes == ()
    assert looked.circuit is not None
    assert {(one.part, one.key) for one in looked.taken} == {
        ("BAT", "emf"),
        ("BAT", "inside"),
        ("F1", "ohms"),
        ("L1", "volts"),
    }
    assert looked.text.startswith(f"# {USUAL_TAKEN} BAT volts at rest 12.6 V, ")
    assert read_circuit(looked.text, "kept") == looked.circuit


def test_a_wire_needs_size_and_length_and_a_relay_its_four_points():
    wire = {"name": "W1", "kind": "wire", "from": "a", "to": "b", "size": "1 mm2", "length": "2 m"}
    ends = {"from": "a", "to": "b", "coil_from": "c", "coil_to": "d"}
    relay = {"name": "K1", "kind": "relay", **ends}
    filled, taken = with_usual({"parts": [wire, relay]})
    assert filled["parts"][0] == wire
    assert {one.key for one in taken} == {"ohms", "coil_ohms", "pulls_in", "drops_out"}


@pytest.mark.reference("common practice, no published source")
def test_a_truck_of_24_volts_has_coils_of_four_times_the_ohms():
    relay = {"name": "K1", "kind": "relay"}
    filled, _ = with_usual({"parts": [{**BATTERY, "emf": "25.2 V"}, relay]})
    assert filled["parts"][1] == {
        **relay,
        "ohms": "0.01 ohm",
        "coil_ohms": "340 ohm",
        "pulls_in": "16 V",
        "drops_out": "3 V",
    }


def test_what_a_row_still_needs_is_one_sentence():
    said = notes(sheet(BATTERY, FUSE, {"name": "K1", "kind": "relay", "from": "after F1"}, LAMP))
    assert said["parts", 2, "to"] == "K1 still needs: contact to, coil first end, coil second end."


def test_an_open_end_is_told_where_it_is():
    said = notes(sheet(BATTERY, FUSE, {**LAMP, "from": "aftr F1"}))
    asked = " Did you mean 'aftr F1'?"
    assert said["parts", 1, "to"] == f"Nothing but F1 ends at 'after F1' yet.{asked}"
    assert said["parts", 2, "from"].endswith("ends at 'aftr F1' yet. Did you mean 'after F1'?")
    half_done = notes(sheet(BATTERY, FUSE, {"name": "L1", "kind": "lamp", "from": "aftr F1"}))
    assert half_done["parts", 1, "to"] == f"Nothing but F1 ends at 'after F1' yet.{asked}"


def test_a_near_spelling_is_asked_for_but_never_plus_for_minus():
    said = notes(sheet(BATTERY, {**FUSE, "from": "BATTERY +"}, {**LAMP, "to": "battery"}))
    assert "Did you mean 'battery +'?" in said["parts", 1, "from"]
    assert "Did you mean 'battery " in said["parts", 2, "to"]
    ends = {**FUSE, "from": "motor +"}, {**LAMP, "to": "motor −"}
    said = notes(sheet(BATTERY, *ends))
    assert "mean" not in said["parts", 1, "from"]
    assert "mean" not in said["parts", 2, "to"]


def test_a_name_used_twice_and_an_unknown_kind_are_told_at_their_rows():
    said = notes(sheet(BATTERY, FUSE, {**LAMP, "name": "F1"}, {"name": "X", "kind": "fuze"}))
    assert said["parts", 2, "name"].startswith("Another row above has this name.")
    assert said["parts", 3, "kind"].startswith("X is of the kind 'fuze'. Known kinds: battery, ")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("-3 m", "It must be from 0.01 to 200 m."),
        ("NaN", "is not one number"),
        ("3 furlongs", "is not a unit this tool knows"),
        ("3 V", "is a voltage"),
        ("1e9", "is not one number"),
        ("ten", "is not one number"),
    ],
)
def test_a_bad_size_is_told_at_its_cell(text, says):
    wire = {"name": "W1", "kind": "wire", "from": "after F1", "to": "x", "size": "1 mm2"}
    said = notes(sheet(BATTERY, FUSE, {**wire, "length": text}, {**LAMP, "from": "x"}))
    assert says in said["parts", 2, "length"]


def test_a_resistance_typed_as_the_size_of_a_wire_is_sent_under_more():
    wire = {"name": "W1", "kind": "wire", "from": "after F1", "to": "x", "length": "3 m"}
    lamp = {**LAMP, "from": "x"}
    said = notes(sheet(BATTERY, FUSE, {**wire, "size": "2.5 ohm"}, lamp))
    assert said["parts", 2, "size"].endswith("A resistance goes under More instead.")
    assert (
        "More" not in notes(sheet(BATTERY, FUSE, {**wire, "size": "3 V"}, lamp))["parts", 2, "size"]
    )


def test_a_battery_of_1200_volts_is_told_at_its_cell():
    said = notes(sheet({**BATTERY, "emf": "1200 V", "inside": "1 ohm"}, FUSE, LAMP))
    assert said["parts", 0, "emf"].startswith("'emf' of 'BAT' is 1200 V. It must be from 0.01 to")


def test_a_sheet_without_ground_is_told_at_the_battery():
    said = notes(sheet(BATTERY, FUSE, {**LAMP, "to": "chassis"}))
    assert said["parts", 0, "minus"].startswith("Nothing but BAT ends at 'battery −' yet.")


def test_two_thousand_parts_are_told_once_and_kept_all():
    many = [{**FUSE, "name": f"F{number}"} for number in range(2000)]
    looked = look_through(Draft(data=sheet(BATTERY, *many)))
    assert any("more than 400 parts" in note.sentence for note in looked.notes)
    assert len(read_draft(looked.text, "many").data["parts"]) == 2001


def test_an_empty_sheet_says_what_to_begin_with():
    said = [note.sentence for note in look_through(Draft(data={})).notes]
    assert "There are no parts yet. Begin with the battery." in said
    assert all(note.is_open for note in look_through(Draft(data={})).notes)


def test_letters_are_given_once_and_stay_when_rows_come_before_or_go():
    first = with_letters(sheet(BATTERY, FUSE, LAMP))
    assert first["points"] == {"0": "battery −", "A": "battery +", "B": "after F1"}
    switch = {"name": "S1", "kind": "switch", "from": "battery +", "to": "after S1"}
    more = {**first, "parts": [BATTERY, switch, {**FUSE, "from": "after S1"}, LAMP]}
    assert with_letters(more)["points"] == {**first["points"], "C": "after S1"}


def test_a_spelling_that_was_mended_leaves_no_point_behind_and_the_letters_stay():
    first = with_letters(sheet(BATTERY, {**FUSE, "to": "aftr"}, {**LAMP, "from": "aftr"}))
    assert first["points"]["B"] == "aftr"
    mended = without_left_points({**first, "parts": [BATTERY, FUSE, LAMP]})
    assert with_letters(mended)["points"] == {"0": "battery −", "A": "battery +", "B": "after F1"}
    timed = without_left_points({**first, "parts": [BATTERY, FUSE, LAMP], "access": {"B": 3}})
    assert timed["points"]["B"] == "aftr"


@pytest.mark.second_way("the middle of 2, 4 and 5, by hand")
@pytest.mark.parametrize(("access", "expected"), [({}, 1.0), ({"A": 2, "B": 4, "C": 5}, 4.0)])
def test_a_point_without_minutes_is_as_far_as_the_middle_one_of_the_others(access, expected):
    """A plug that is added to a copied sheet lies among its neighbours, not beside the battery."""
    plug = {"name": "C1", "kind": "connector", "from": "after F1", "to": "lamp plug"}
    switch = {"name": "S1", "kind": "switch", "from": "lamp plug", "to": "lamp +"}
    parts = (BATTERY, FUSE, plug, switch, {**LAMP, "from": "lamp +"})
    points = {"A": "battery +", "B": "after F1", "C": "lamp +"}
    looked = look_through(Draft(data=sheet(*parts, points=points, access=access)))

    assert looked.circuit is not None
    minutes = {point.words: point.access_min for point in looked.circuit.points}
    assert minutes["lamp plug"] == expected
    assert minutes["battery −"] == 1.0


def test_an_end_typed_as_a_letter_is_the_point_of_that_letter():
    lamp = {**LAMP, "from": "B", "to": "0"}
    points = {"points": {"0": "battery −", "B": "after F1"}}
    looked = look_through(Draft(data=sheet(BATTERY, FUSE, lamp, **points)))
    assert looked.circuit is not None
    assert looked.circuit.part("L1").first == "B"
    assert looked.circuit.part("L1").second == "0"


def test_names_in_any_script_are_names():
    names = {"name": "предохранитель", "from": "battery +", "to": "τέλος"}
    looked = look_through(Draft(data=sheet(BATTERY, {**FUSE, **names}, {**LAMP, "from": "τέλος"})))
    assert looked.circuit is not None
    assert looked.circuit.part("предохранитель").second == "B"


@given(typed_sheets())
def test_a_whole_sheet_has_no_notes_and_is_the_circuit_the_reader_reads(data):
    looked = look_through(Draft(data=data))
    assert looked.notes == ()
    assert looked.circuit == read_circuit(looked.text, "typed")


ANYTHING = st.recursive(
    st.text(max_size=5) | st.integers() | st.floats() | st.booleans(),
    lambda one: st.lists(one, max_size=3) | st.dictionaries(st.text(max_size=3), one, max_size=3),
)


@given(typed_sheets(), st.data())
def test_whatever_is_taken_out_or_spoilt_it_is_looked_through_and_nothing_is_lost(data, drawn):
    for _ in range(drawn.draw(st.integers(1, 6))):
        part = drawn.draw(st.sampled_from(data["parts"]))
        key = drawn.draw(st.sampled_from(sorted(part) or ["name"]))
        if drawn.draw(st.booleans()):
            part.pop(key, None)
        else:
            part[key] = drawn.draw(ANYTHING)
    draft = Draft(data=data)
    looked = look_through(draft)
    assert (looked.circuit is None) == bool(looked.notes)
    kept = read_draft(looked.text, "spoilt").data
    for before, after in zip(with_units(data)["parts"], kept["parts"], strict=True):
        assert repr(before.items() <= after.items()) == "True" or repr(before) in repr(after)
    for note in looked.notes:
        assert note.sentence.endswith((".", "?"))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_a_sheet_cut_off_after_any_row_can_be_drawn(path):
    data = dict(read_draft(path.read_text("utf-8"), path.name).data)
    for count in range(1, len(data["parts"])):
        cut = {**data, "parts": data["parts"][:count]}
        drawn = half_circuit(cut)
        assert drawn is not None
        assert len(drawn.parts) == count
        ends = ends_by_point(cut)
        assert {point.words for point in drawn.points if point.letter != "0"} <= set(ends)


@pytest.mark.parametrize("kind", Kind)
def test_a_row_with_nothing_but_its_ends_is_drawn_whatever_its_kind(kind):
    ends = {terminal.key: f"p{at}" for at, terminal in enumerate(FORMS[kind].terminals)}
    if kind is Kind.SELECTOR:
        ends = {"terminals": {"B": "p0", "L": "p1"}, "positions": {"off": [], "on": ["B-L"]}}
    part = {"name": "X1", "kind": str(kind), **ends}
    drawn = half_circuit({"parts": [part]})
    assert drawn is not None
    assert drawn.part("X1").kind is kind
    assert len(ends_of_part(part)) == len(drawn.part("X1").ends)


def test_two_points_of_one_letter_are_both_drawn():
    points = {"0": "after F1", "A": "battery +"}
    drawn = half_circuit(sheet(BATTERY, FUSE, LAMP, points=points))
    assert drawn is not None
    assert len(drawn.points) == 3


def test_a_usual_size_is_taken_only_where_the_fuse_has_a_rating():
    assert [text for _, text in usual_of({"kind": "fuse", "rating": "20 A"})] == ["0.00375 ohm"]
    assert usual_of({"kind": "fuse"}) == []
    assert usual_of({"kind": "fuse", "rating": "0 A"}) == []


def test_a_half_done_sheet_is_drawn_with_the_sizes_that_were_typed_and_no_others():
    typed = {"name": "F1", "kind": "fuse", "from": "battery +", "to": "after F1", "rating": "60 A"}
    lamp = {"name": "L1", "kind": "lamp", "from": "after F1", "to": "lamp -", "volts": "12 V"}
    drawn = half_circuit(sheet(BATTERY, typed, lamp))
    assert drawn.part("F1").size("rating") == float(typed["rating"].removesuffix(" A"))
    assert not drawn.part("L1").has("power")
    picture = draw(layout_of(drawn, has_words=True))
    assert "60 A" in picture
    assert " W<" not in picture
