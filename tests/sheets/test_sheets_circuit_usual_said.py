"""Usual sizes that were written into a text are out again when the sheet is gone on with."""

from hypothesis import given
from hypothesis import strategies as st

from sheets.typed_sheets import typed_part
from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, read_draft
from witnessmark.sheets.circuit_look import look_through
from witnessmark.sheets.circuit_usual import usual_of
from witnessmark.sheets.circuit_usual_said import USUAL_TAKEN, own_comments, without_usual

BATTERY = {"name": "BAT", "kind": "battery", "plus": "battery +", "minus": "battery −"}
FUSE = {"name": "F1", "kind": "fuse", "from": "battery +", "to": "after F1", "rating": "10 A"}
LAMP = {"name": "L1", "kind": "lamp", "from": "after F1", "to": "battery −", "power": "21 W"}
WORDS = ("F1", "K3", "front", "left", "at", "resistance", "coil", "12", "Ω", "\t")
NAMES = st.lists(st.sampled_from(WORDS), min_size=1, max_size=4).flatmap(
    lambda words: st.sampled_from([", ", ",", " "]).map(lambda joint: joint.join(words))
)


def put_in(*parts, comments=()):
    """Return the text that goes into the Library."""
    head = {"name": "lamp", "source": "page 7"}
    data = {"circuit": head, "parts": list(parts), "states": [{"name": "on"}]}
    return look_through(Draft(data=data, comments=comments)).text


def opened(text):
    return without_usual(read_draft(text, "kept"))


@st.composite
def parts_with_gaps(draw):
    """Parts of any kind and name; of the sizes that have a usual one, some are typed."""
    parts = []
    for name in draw(st.lists(NAMES, min_size=1, max_size=6, unique=True)):
        part = draw(typed_part(draw(st.sampled_from(Kind)), name, "a", "b"))
        for way in FORMS[Kind(part["kind"])].ways:
            for size in way:
                value = part.pop(size.key, None)
                is_usual = any(one.key == size.key for one, _ in usual_of(part))
                if value is not None and (not is_usual or draw(st.booleans())):
                    part[size.key] = value
        parts.append(part)
    return parts


@given(parts_with_gaps())
def test_a_sheet_opened_again_takes_the_same_sizes_and_puts_in_the_same_text(parts):
    first = look_through(Draft(data={"parts": parts}))
    bare = opened(first.text)
    again = look_through(bare)
    assert bare.comments == ()
    assert again.text == first.text
    assert again.taken == first.taken


def test_usual_sizes_are_no_typed_ones_after_they_were_put_in():
    text = put_in(BATTERY, FUSE, LAMP, comments=("mine", "F1 resistance 0.0075 ohm"))
    bare = opened(text)
    assert bare.data["parts"] == [BATTERY, FUSE, LAMP]
    assert bare.comments == ("mine", "F1 resistance 0.0075 ohm")


def test_a_size_that_the_author_typed_or_changed_in_the_text_stays():
    text = put_in({**BATTERY, "emf": "12.6 V"}, FUSE, LAMP)
    changed = text.replace('ohms = "0.0075 ohm"', 'ohms = "0.01 ohm"')
    assert opened(changed).data["parts"] == [
        {**BATTERY, "emf": "12.6 V"},
        {**FUSE, "ohms": "0.01 ohm"},
        LAMP,
    ]


def test_a_fuse_given_another_rating_keeps_the_ohms_that_are_not_usual_for_it():
    text = put_in(BATTERY, FUSE, LAMP).replace('"10 A"', '"20 A"')
    assert opened(text).data["parts"][1] == {**FUSE, "rating": "20 A", "ohms": "0.0075 ohm"}


def test_a_part_with_another_name_keeps_its_size_and_the_others_lose_theirs():
    text = put_in(BATTERY, {**FUSE, "name": "F1, main"}, LAMP).replace('"F1, main"', '"F2"')
    assert opened(text).data["parts"] == [
        BATTERY,
        {**FUSE, "name": "F2", "ohms": "0.0075 ohm"},
        LAMP,
    ]


def test_a_part_taken_out_of_the_text_takes_nothing_from_one_whose_name_is_in_its_own():
    typed = {**FUSE, "name": "main", "ohms": "0.0075 ohm"}
    text = put_in(BATTERY, {**FUSE, "name": "F1, main"}, typed, LAMP)
    assert opened(text).data["parts"][2] == typed


def test_what_would_not_come_back_by_itself_stays_typed():
    truck = {**BATTERY, "name": "BAT 2", "emf": "25.2 V"}
    text = put_in(BATTERY, truck, FUSE, LAMP)
    assert "BAT volts at rest 25.2 V" in text
    kept = "\n\n".join(one for one in text.split("\n\n") if '"BAT 2"' not in one)
    bare = opened(kept)
    assert bare.data["parts"][0]["emf"] == "25.2 V"
    assert look_through(bare).circuit.parts == read_circuit(kept, "kept").parts


def test_a_text_without_that_comment_is_left_as_it_is():
    for text in ("", 'parts = "none"', put_in({**BATTERY, "emf": "12 V", "inside": "1 ohm"})):
        draft = read_draft(text, "kept")
        assert without_usual(draft) == draft


def test_a_comment_over_what_are_no_parts_is_out_and_harms_nothing():
    draft = read_draft(f"# {USUAL_TAKEN} F1 resistance 0.0075 ohm.\nparts = 3", "kept")
    assert without_usual(draft) == Draft(data={"parts": 3})
    assert own_comments(draft.comments) == ()
