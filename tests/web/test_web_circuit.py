"""Entering a circuit sheet as a plain form: kept half done, looked through, put in, copied."""

import re
from uuid import uuid4

import pytest
from django.http import QueryDict
from hypothesis import given, settings
from hypothesis import strategies as st

from networks.made_circuits import SHEETS
from witnessmark.sheets.circuit_draft import Draft, read_draft, write_draft
from witnessmark.shop.models import CircuitDraft, LibraryItem
from witnessmark.web.circuit_form import read_form
from witnessmark.web.circuit_page import page_facts, see
from witnessmark.web.circuit_rows import part_rows
from witnessmark.web.circuit_words import LEAST_BEGUN, kind_typed

FAN = next(path for path in SHEETS if path.stem == "fan").read_text("utf-8")
PARTS = [
    ("BAT", "battery", "battery +", "battery −", "", ""),
    ("F1", "fuse", "battery +", "after F1", "10 A", ""),
    ("S1", "switch", "after F1", "after S1", "", ""),
    ("W1", "wire", "after S1", "lamp +", "1.5 mm2", "3 m"),
    ("L1", "bulb", "lamp +", "lamp −", "21 W", ""),
    ("G1", "earth", "lamp −", "battery −", "", ""),
]
COLUMNS = ("name", "kind", "e1", "e2", "s1", "s2")


def form(parts=PARTS, **more):
    """Return what the page sends for some parts."""
    sent = {
        "id": str(uuid4()),
        "put_id": str(uuid4()),
        "draft": str(uuid4()),
        "head.name": "Work lamp",
        "head.source": "page 7",
        "part": [f"r{at}" for at in range(len(parts))],
        "state": ["s0", "s1"],
        "s0.name": "off",
        "s1.name": "on",
        "s1.words": "the lamp on",
        "s1.set": "S1",
    }
    for at, part in enumerate(parts):
        sent |= {f"r{at}.{key}": text for key, text in zip(COLUMNS, part, strict=True)}
    return sent | more


@pytest.fixture
def teacher(cast):
    return cast.browser(cast.teacher)


def send(teacher, do="keep", **sent):
    return teacher.post("/library/circuit", {**sent, "do": do}, follow=True)


def test_a_sheet_is_entered_kept_and_put_in(teacher):
    sent = form()
    page = send(teacher, **sent).content.decode()
    assert "Kept half done." in page
    assert "L1 gets 12." in page
    draft = CircuitDraft.objects.get()
    assert draft.title == "Work lamp"
    assert 'kind = "lamp"' in draft.text and 'kind = "ground"' in draft.text
    answer = send(teacher, do="put", **sent | {"id": str(uuid4()), "base": draft.digest})
    item = LibraryItem.objects.get()
    assert "Work lamp, version 1 is in the Library." in answer.content.decode()
    assert "Usual sizes, not from the diagram" in item.text
    draft.refresh_from_db()
    assert draft.became == item
    assert "half done" not in teacher.get("/library").content.decode()


def test_a_whole_sheet_that_was_kept_and_is_put_in_twice_goes_in_once(teacher):
    sent = form()
    send(teacher, **sent)
    draft = CircuitDraft.objects.get()
    page = teacher.get(f"/library/circuit/{draft.pk}").content.decode()
    again = fields_of(page)
    answers = [send(teacher, do="put", **again) for _ in range(2)]
    for answer in answers:
        assert answer.status_code == 200
        assert "Work lamp, version 1 is in the Library." in answer.content.decode()
    assert LibraryItem.objects.count() == CircuitDraft.objects.count() == 1


def test_letters_are_given_once_and_stay_when_the_page_comes_back(teacher):
    send(teacher, **form())
    draft = CircuitDraft.objects.get()
    kept = dict(re.findall(r'^(\w+) = "(.*)"$', draft.text.partition("[[parts]]")[0], re.M))
    assert kept["0"] == "battery −" and kept["A"] == "battery +" and kept["B"] == "after F1"
    page = teacher.get(f"/library/circuit/{draft.pk}").content.decode()
    assert page.count('name="point"') == 6


def test_half_typed_rows_are_kept_and_what_they_need_stands_beside_them(teacher):
    parts = [*PARTS[:2], ("K1", "relay", "after F1", "", "", ""), ("", "", "x", "", "?", "")]
    page = send(teacher, **form(parts)).content.decode()
    assert "K1 still needs: contact to, coil first end, coil second end." in page
    assert "A part has no name." in page
    draft = CircuitDraft.objects.get()
    assert 'from = "x"\nsize = "?"' in draft.text
    page = teacher.get(f"/library/circuit/{draft.pk}").content.decode()
    assert 'value="?"' in page


def test_nothing_half_done_goes_into_the_library_and_nothing_is_lost(teacher):
    sent = form(PARTS[:3])
    answer = send(teacher, do="put", **sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "It is kept half done: " in page
    assert 'value="after S1"' in page
    assert not LibraryItem.objects.exists()
    assert CircuitDraft.objects.count() == 1
    base = re.search(r'name="base" value="(\w+)"', page)[1]
    assert send(teacher, **sent | {"id": str(uuid4()), "base": base, "head.note": "more"})
    assert CircuitDraft.objects.count() == 1


def test_two_who_type_at_once_keep_both(teacher):
    sent = form()
    send(teacher, **sent)
    answer = send(teacher, **sent | {"id": str(uuid4()), "base": "of another", "head.note": "mine"})
    assert answer.status_code == 409
    assert "Keep mine as a second sheet" in answer.content.decode()
    assert 'value="mine"' in answer.content.decode()
    send(teacher, do="second", **sent | {"id": str(uuid4()), "head.note": "mine"})
    assert CircuitDraft.objects.count() == 2


def test_looking_through_says_what_is_to_mend_and_keeps_nothing(teacher):
    parts = [*PARTS, ("F1", "fuze", "a", "b", "", "")]
    answer = teacher.post("/library/circuit/look", form(parts))
    page = answer.content.decode()
    assert 'id="n-r6" hx-swap-oob="true"' in page
    assert "Another row above has this name." in page
    assert "is of the kind &#x27;fuze&#x27;" in page
    assert not CircuitDraft.objects.exists()


def test_looking_through_keeps_when_it_is_asked_to(teacher):
    sent = form()
    page = teacher.post("/library/circuit/look", sent | {"keep": "1"}).content.decode()
    draft = CircuitDraft.objects.get()
    assert f'name="base" value="{draft.digest}"' in page


def fields_of(page):
    """Return every field of the first form of a page, as a browser would send it."""
    from html.parser import HTMLParser

    class Fields(HTMLParser):
        def __init__(self):
            super().__init__()
            self.found, self.select, self.inert, self.area = [], None, 0, None

        def handle_starttag(self, tag, attributes):
            said = dict(attributes)
            self.inert += tag == "template"
            if self.inert:
                return
            if tag == "input" and said.get("name"):
                if said.get("type") != "checkbox" or "checked" in said:
                    self.found.append((said["name"], said.get("value") or ""))
            elif tag == "select":
                self.select = said["name"]
            elif tag == "option" and self.select and "selected" in said:
                self.picked = self.select
            elif tag == "textarea":
                self.area = said["name"]
                self.found.append((self.area, ""))

        def handle_endtag(self, tag):
            self.inert -= tag == "template"
            if tag == "select":
                self.select = None
            if tag == "textarea":
                self.area = None

        def handle_data(self, data):
            if self.inert:
                return
            if self.area:
                self.found[-1] = (self.area, self.found[-1][1] + data)
            elif self.select and getattr(self, "picked", None) == self.select:
                self.found.append((self.select, data))
                self.picked = None

    reader = Fields()
    reader.feed(page[page.index('<form id="sheet"') : page.index("</form>")])
    fields = {}
    for name, value in reader.found:
        if name in ("part", "state", "complaint", "point"):
            fields.setdefault(name, []).append(value)
        else:
            fields[name] = value
    return fields


def test_the_page_tells_its_script_from_how_many_letters_a_kind_is_taken(teacher):
    page = teacher.get("/library/circuit").content.decode()
    assert f'<datalist id="kinds" data-least="{LEAST_BEGUN}">' in page
    assert kind_typed("horn"[:LEAST_BEGUN]) == "resistor"
    assert kind_typed("horn"[: LEAST_BEGUN - 1]) == "ho"


def test_a_point_given_other_words_keeps_its_letter_and_its_ends(teacher):
    send(teacher, **form())
    draft = CircuitDraft.objects.get()
    sent = fields_of(teacher.get(f"/library/circuit/{draft.pk}").content.decode())
    at = next(key for key, value in sent.items() if key.endswith(".was") and value == "after F1")
    teacher.post(
        "/library/circuit", {**sent, at.replace("was", "words"): "out of F1", "do": "keep"}
    )
    draft.refresh_from_db()
    assert 'B = "out of F1"' in draft.text
    assert 'to = "out of F1"' in draft.text and 'from = "out of F1"' in draft.text
    assert "after F1" not in draft.text


def test_a_row_is_taken_out_and_what_still_names_it_is_told(teacher):
    page = send(teacher, **form() | {"r2.out": "yes"}).content.decode()
    assert 'name = "S1"' not in CircuitDraft.objects.get().text
    assert "closes &#x27;S1&#x27;, which is no switch" in page
    assert "Nothing but F1 ends at &#x27;after F1&#x27;" in page


def test_a_changed_kind_keeps_what_was_typed_for_the_one_before(teacher):
    page = send(teacher, **form() | {"r3.kind": "fuse", "r2.s2": "2 m"}).content.decode()
    text = CircuitDraft.objects.get().text
    assert 'rating = "1.5 mm2"' in text and 'ohms = "3 m"' in text
    assert "A switch has no length. Empty that cell" in page


FIELDS = st.sampled_from(
    [
        *("part", "r0.name", "r0.kind", "r0.e1", "r0.s1", "r0.k.terminals", "r0.k.positions"),
        *("r0.k.x", "r0.out", "r0.", ".", "point", "p0.was", "p0.words", "p0.letter", "head.body"),
        *("p0.minutes", "p0.hidden", "state", "s0.name", "s0.set", "s0.minutes", "complaint"),
        *("c0.words", "c0.key"),
    ]
)
ODD = st.text(max_size=6) | st.sampled_from(["r0", "s0", "p0", "c0", "selector", "S = x / y", "A"])


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(FIELDS, ODD), max_size=14))
def test_whatever_a_form_sends_is_kept_and_looked_through(fields):
    sent = QueryDict(mutable=True)
    for name, value in [("part", "r0"), ("state", "s0"), ("point", "p0"), *fields]:
        sent.appendlist(name, value)
    seen = see(read_form(sent).draft)
    kept = read_draft(write_draft(seen.draft), "kept")
    assert kept.data == seen.draft.data
    page_facts(see(kept))


def test_a_sheet_is_saved_as_the_file_it_is(teacher, cast):
    teacher.post("/library/new", {"id": str(uuid4()), "kind": "circuit", "text": FAN})
    item = LibraryItem.objects.get()
    answer = cast.browser(cast.on_it).get(f"/library/{item.pk}/file")
    assert answer.content.decode() == FAN
    assert 'filename="brae-12-fan-and-heater.toml"' in answer.headers["Content-Disposition"]


def test_anyone_reads_the_healthy_check_of_a_sheet(teacher, cast):
    teacher.post("/library/new", {"id": str(uuid4()), "kind": "circuit", "text": FAN})
    item = LibraryItem.objects.get()
    page = cast.browser(cast.on_it).get(f"/library/{item.pk}/check").content.decode()
    assert "Fan motor gets 12.0 V of 12.4 V and draws 8.0 A; 0.49 V is lost on the way." in page


def test_a_half_done_sheet_is_taken_off_the_shelf(teacher):
    send(teacher, **form())
    draft = CircuitDraft.objects.get()
    assert "Half done" in teacher.get("/library").content.decode()
    teacher.post(f"/library/circuit/{draft.pk}/end", {"id": str(uuid4())})
    assert "Half done" not in teacher.get("/library").content.decode()
    draft.refresh_from_db()
    assert draft.text


@pytest.mark.parametrize("page", ["/library/circuit", "/library/circuit/look"])
def test_a_learner_enters_no_sheet(cast, page):
    assert cast.browser(cast.on_it).post(page, form()).status_code == 403
    assert cast.browser(cast.on_it).get("/library/circuit").status_code == 403
    assert not CircuitDraft.objects.exists()
    assert "Enter a circuit" not in cast.browser(cast.on_it).get("/library").content.decode()


def test_looking_at_the_empty_table_changes_nothing(teacher):
    assert teacher.get("/library/circuit").status_code == 200
    assert not CircuitDraft.objects.exists()


def test_a_sheet_of_four_hundred_parts_fits_its_form(teacher):
    parts = [(f"W{n}", "wire", f"p{n}", f"p{n + 1}", "1 mm2", "1 m") for n in range(398)]
    page = send(teacher, **form([PARTS[0], *parts])).content.decode()
    assert "Kept half done." in page
    assert CircuitDraft.objects.get().text.count("[[parts]]") == 399


def test_what_is_typed_is_shown_as_text_and_never_as_a_page(teacher):
    nasty = "<script>alert(1)</script>"
    parts = [(nasty, nasty, nasty, nasty, nasty, nasty), *PARTS]
    page = send(teacher, **form(parts)).content.decode()
    assert "<script>alert" not in page
    looked = teacher.post(
        "/library/circuit/look", form([*PARTS, (nasty, "lamp", nasty, nasty, "1", "")])
    )
    assert "<script>alert" not in looked.content.decode()


def test_the_table_says_that_a_point_may_be_a_splice_and_where_grounds_end(teacher):
    page = teacher.get("/library/circuit").content.decode()
    assert "a splice need not be a part of its own. A ground leads to <b>battery −</b>" in page
    parts = [{"name": "BAT", "kind": "battery", "plus": "stud +", "minus": "stud −"}]
    facts = page_facts(see(Draft(data={"parts": [{"name": "F1", "kind": "fuse"}, *parts]})))
    assert facts["grounded"] == "stud −"
    assert page_facts(see(Draft(data={})))["grounded"] == ""


def test_what_a_row_needs_or_holds_stands_before_its_button_and_the_rest_behind_it():
    (relay, *_) = part_rows(Draft(data={"parts": [{"kind": "relay", "pulls_in": "7 V"}]}))
    assert [cell.name for cell in relay.seen] == [
        "r0.k.coil_from",
        "r0.k.coil_to",
        "r0.k.pulls_in",
    ]
    assert {"r0.k.rest", "r0.k.drops_out", "r0.k.across"} < {cell.name for cell in relay.more}
    (selector, *_) = part_rows(Draft(data={"parts": [{"kind": "selector"}]}))
    assert [cell.name for cell in selector.seen] == ["r0.k.terminals", "r0.k.positions"]
    (fuse, *_) = part_rows(Draft(data={"parts": [{"kind": "fuse", "rating": "5 A"}]}))
    assert fuse.seen == ()


def test_a_size_typed_as_a_bare_number_has_its_unit_in_every_text_of_the_sheet(teacher):
    parts = [*PARTS[:3], ("W1", "wire", "after S1", "lamp +", "6 mm2", "3"), *PARTS[4:]]
    send(teacher, do="put", **form(parts))
    assert 'size = "6 mm2"\nlength = "3 m"' in LibraryItem.objects.get().text
    answer = send(teacher, do="text", **form(parts, **{"head.name": "Another"}))
    assert "size = &quot;6 mm2&quot;" in answer.content.decode()


def test_a_part_that_is_told_otherwise_has_no_hint_in_the_columns_that_it_does_not_take():
    def hints(**told):
        (row, *_) = part_rows(Draft(data={"parts": [{"kind": "heater"} | told]}))
        return [cell.hint for cell in row.columns[2:]]

    assert hints() == ["120 W", "12 V"]
    assert hints(ohms="1.2 ohm") == ["", ""]
