"""What is left of a circuit that is being entered is a list of ways to the fields concerned."""

import re

import pytest

from tests.web.test_web_circuit import PARTS, fields_of, form, send
from witnessmark.networks import FORMS, Kind
from witnessmark.sheets.circuit_draft import Draft, read_draft
from witnessmark.sheets.circuit_look import Note
from witnessmark.web.circuit_page import page_facts, see
from witnessmark.web.circuit_rows import part_row
from witnessmark.web.circuit_todo import MOST_SHOWN, things_to_do
from witnessmark.web.general import general_circuits


@pytest.fixture
def teacher(cast):
    return cast.browser(cast.teacher)


def ways(page):
    """Return where each link goes, its field, and its words."""
    return re.findall(r'<a href="#([^"]+)" data-go="([^"]*)">([^<]+)</a>', page)


def test_each_thing_that_is_left_leads_to_its_row_and_its_first_field(teacher):
    parts = [*PARTS[:3], ("W1", "wire", "after S1", "lamp +", "2 ohm", "3 m"), *PARTS[4:]]
    page = send(teacher, **form([*parts, ("K1", "relay", "lamp +", "", "", "")])).content.decode()
    found = ways(page)
    assert ("row-r3", "r3.s1") in [way[:2] for way in found]
    assert ("row-r6", "r6.e2", "K1 still needs: contact to, coil first end, coil second end.") in (
        found
    )
    for row, field, _ in found:
        assert f'id="{row}"' in page
        assert f'name="{field}"' in page
    assert "data-first" not in page


def test_what_the_whole_sheet_lacks_leads_to_its_head_or_to_a_new_row(teacher):
    page = teacher.get("/library/circuit").content.decode()
    assert [way[:2] for way in ways(page)][:2] == [
        ("at-head", "head.name"),
        ("at-head", "head.source"),
    ]
    assert ("at-parts", "part") in [way[:2] for way in ways(page)]
    assert 'id="at-head"' in page and 'id="at-parts"' in page and 'data-rows="part"' in page


def test_many_are_folded_and_a_few_are_not(teacher):
    ends = [(f"W{n}", "wire", f"p{n}", f"q{n}", "1 mm2", "1 m") for n in range(MOST_SHOWN)]
    assert 'id="todo"' in send(teacher, **form(ends)).content.decode()
    page = send(teacher, **form(PARTS[:3])).content.decode()
    assert 'id="todo"' not in page
    assert ways(page)


def test_a_refused_sheet_names_the_first_field_to_go_to(teacher):
    sent = form(PARTS[:3]) | {"head.source": ""}
    page = send(teacher, do="put", **sent).content.decode()
    assert 'data-first="head.source"' in page
    sent |= {"head.source": "page 7"} | {
        key: fields_of(page)[key] for key in ("id", "draft", "base")
    }
    page = send(teacher, do="put", **sent).content.decode()
    assert 'data-first="r0.e2"' in page  # nothing comes back to the battery yet


@pytest.mark.parametrize("kind", Kind)
def test_every_entry_of_every_kind_leads_to_a_field_of_its_row(kind):
    form_of = FORMS[kind]
    sizes = [size for way in (*form_of.ways, form_of.options) for size in way]
    entries = [*form_of.terminals, *sizes, *form_of.choices]
    keys = {"name", "kind", "words", "rate", *(one.key for one in entries)}
    if kind is Kind.SELECTOR:
        keys |= {"positions", "L 1"}
    part = {"name": "X1", "kind": str(kind)}
    row = part_row("r7", part, 1.0)
    names = {cell.name for cell in (row.name, row.kind, *row.columns, *row.seen, *row.more)}
    notes = [Note(path=("parts", 0, key), sentence="So it is.") for key in sorted(keys)]
    found = things_to_do(notes, {"parts": ["r7"]}, Draft(data={"parts": [part]}))
    assert {one.field for one in found} <= names
    assert {one.row for one in found} == {"row-r7"}
    assert len({one.field for one in found}) >= len(keys) - 1  # a selector's ends share one


@pytest.mark.parametrize(
    ("path", "row", "field"),
    [
        ((), "", ""),
        (("circuit", "body"), "at-head", "head.body"),
        (("circuit", "unreachable"), "at-head", ""),
        (("points", "B"), "at-points", "p2.words"),
        (("access", "A"), "at-points", "p1.minutes"),
        (("states",), "at-states", "state"),
        (("complaints",), "at-complaints", "complaint"),
        (("states", 1, "closed"), "row-s9", "s9.set"),
        (("states", 0, "held"), "row-s4", "s4.held"),
        (("complaints", 0, "load"), "row-c0", "c0.load"),
        (("complaints", 0), "row-c0", "c0.words"),
        (("parts", 0), "row-r1", "r1.name"),
        (("parts", 399, "name"), "at-parts", "part"),
    ],
)
def test_every_place_of_a_sheet_leads_to_its_place_on_the_page(path, row, field):
    data = {
        "points": {"0": "battery −", "A": "battery +", "B": "after F1"},
        "parts": [{"name": "F1"}],
        "states": [{"name": "off"}, {"name": "on"}],
        "complaints": [{"words": "dead"}],
    }
    ids = {"parts": ["r1"], "states": ["s4", "s9"], "complaints": ["c0"]}
    note = Note(path=path, sentence="It is 12.6 V. Then this.")
    (one,) = things_to_do([note], ids, Draft(data=data))
    assert (one.row, one.field) == (row, field)


def test_the_words_are_the_first_sentence_with_the_rows_name():
    data = {"parts": [{"name": "F1"}, {}], "complaints": [{"words": "dead"}]}
    ids = {"parts": ["r0", "r1"], "complaints": ["c0"]}
    said = {
        ("parts", 0, "ohms"): (
            "12.6 V is no resistance. Type ohm.",
            "F1: 12.6 V is no resistance.",
        ),
        ("parts", 0, "to"): ("F1 lacks an end.", "F1 lacks an end."),
        ("parts", 1, "name"): ("A part has no name. Give it one.", "Part 2: A part has no name."),
        ("parts", 1, "to"): ("Part 2 still needs: a name, to.", "Part 2 still needs: a name, to."),
        ("complaints", 0, "load"): ("It names none.", "Complaint 1: It names none."),
    }
    notes = [Note(path=path, sentence=sentence) for path, (sentence, _) in said.items()]
    found = things_to_do(notes, ids, Draft(data=data))
    assert [one.words for one in found] == [words for _, words in said.values()]


def test_an_empty_sheet_begins_with_its_name():
    facts = page_facts(see(Draft(data={})))
    assert facts["of_sheet"] and not facts["of_rows"]
    assert facts["first"] == "head.name"


@pytest.mark.parametrize("key", sorted(general_circuits()))
def test_a_whole_sheet_has_nothing_to_do(key):
    facts = page_facts(see(read_draft(general_circuits()[key].text, key)))
    assert facts["is_whole"]
    assert (facts["of_sheet"], facts["of_rows"], facts["first"]) == ([], [], "")


def test_a_part_without_a_name_is_called_by_its_number_once(teacher):
    page = send(teacher, **form([*PARTS[:3], ("", "wire", "after S1", "lamp +", "", "3 m")]))
    said = [words for _, field, words in ways(page.content.decode()) if field.startswith("r3")]
    assert "Part 4 still needs: a name, size." in said
    assert not [words for words in said if words.count("art 4") > 1]


def test_a_list_as_a_whole_comes_after_its_rows_and_what_has_no_place_comes_last():
    paths = [(), ("complaints",), ("parts",), ("parts", 1), ("parts", 0), ("circuit", "name")]
    notes = [Note(path=path, sentence=f"At {path}.") for path in paths]
    data = {"parts": [{"name": "F1"}, {"name": "F2"}]}
    found = things_to_do(notes, {"parts": ["r0", "r1"]}, Draft(data=data))
    places = ["at-head", "row-r0", "row-r1", "at-parts", "at-complaints", ""]
    assert [one.row for one in found] == places
