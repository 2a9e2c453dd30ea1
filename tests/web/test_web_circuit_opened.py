"""A circuit sheet opened in the table: an example, a copy, a general one, a text; and back."""

import unicodedata
from uuid import uuid4

import pytest
from django.http import QueryDict
from hypothesis import given, settings

from sheets.typed_sheets import typed_sheets
from tests.web.test_web_circuit import FAN, PARTS, fields_of, form, send, teacher
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_draft import Draft, write_draft
from witnessmark.shop.models import CircuitDraft, LibraryItem
from witnessmark.web.circuit_fits import fits_table
from witnessmark.web.circuit_form import read_form
from witnessmark.web.circuit_rows import head_cells, part_rows
from witnessmark.web.circuit_state_rows import complaint_rows, state_rows
from witnessmark.web.general import general_circuits

__all__ = ["teacher"]


def test_an_example_goes_through_the_table_and_stays_the_same_circuit(teacher):
    new = {"id": str(uuid4()), "kind": "circuit", "text": FAN}
    teacher.post("/library/new", new)
    item = LibraryItem.objects.get()
    page = teacher.get(f"/library/circuit?from={item.pk}").content.decode()
    sent = fields_of(page) | {"head.note": "changed"}
    answer = teacher.post("/library/circuit", {**sent, "do": "put"}, follow=True)
    assert "version 2 is in the Library" in answer.content.decode()
    again = read_circuit(LibraryItem.objects.get(version=2).text, "again")
    first = read_circuit(FAN, "first")
    assert again.parts == first.parts
    assert again.points == first.points
    assert again.states == first.states
    assert again.complaints == first.complaints
    assert (again.group, again.about) == (first.group, first.about)
    assert again.about
    assert "An invented circuit for the demo" in LibraryItem.objects.get(version=2).text


def test_usual_sizes_are_taken_anew_when_a_sheet_is_opened_again_or_copied(teacher):
    send(teacher, do="put", **form())
    item = LibraryItem.objects.get()
    for way in ("from", "copy"):
        page = teacher.get(f"/library/circuit?{way}={item.pk}").content.decode()
        assert "6 usual sizes taken, not typed" in page
        assert fields_of(page)["r1.s2"] == ""
    again = fields_of(teacher.get(f"/library/circuit?from={item.pk}").content.decode())
    send(teacher, do="put", **again | {"head.note": "more", "r1.s2": "0.02 ohm"})
    second = LibraryItem.objects.get(version=2).text
    said = second.partition("\n")[0]
    assert said == item.text.partition("\n")[0].replace("F1 resistance 0.0075 ohm, ", "")
    assert 'ohms = "0.02 ohm"' in second


def test_a_text_kept_half_done_with_usual_sizes_opens_without_them(teacher):
    send(teacher, do="put", **form())
    text = LibraryItem.objects.get().text
    kept = {"id": str(uuid4()), "kind": "circuit", "text": text, "do": "keep"}
    page = teacher.post("/library/new", kept, follow=True).content.decode()
    assert "6 usual sizes taken, not typed" in page


def test_a_copy_for_another_vehicle_has_no_name_and_keeps_its_letters(teacher):
    teacher.post("/library/new", {"id": str(uuid4()), "kind": "circuit", "text": FAN})
    item = LibraryItem.objects.get()
    page = teacher.get(f"/library/circuit?copy={item.pk}").content.decode()
    assert "A copy of Brae 12, fan and heater." in page
    sent = fields_of(page)
    assert sent["head.name"] == "" and sent["head.source"] == ""
    sent |= {"head.source": "wiring book, page 9", "do": "put"}
    again = {**sent, "head.name": "Brae 12, fan and heater"}
    refused = teacher.post("/library/circuit", again).content.decode()
    assert "There is a sheet Brae 12, fan and heater in the Library already." in refused
    sent |= {name: fields_of(refused)[name] for name in ("id", "put_id", "draft", "base")}
    teacher.post("/library/circuit", {**sent, "head.name": "Brae 14, fan"})
    copy = LibraryItem.objects.get(title="Brae 14, fan")
    assert copy.version == 1
    assert 'A = "battery +"' in copy.text


@pytest.mark.parametrize("key", sorted(general_circuits()))
def test_a_sheet_is_started_from_a_general_circuit_in_the_table(teacher, key):
    general = general_circuits()[key]
    page = teacher.get(f"/library/circuit?general={key}").content.decode()
    assert f"A copy of {general.title}." in page
    sent = fields_of(page)
    assert sent["head.name"] == sent["head.source"] == ""
    sent |= {"head.name": "Brae 14, ours", "head.source": "wiring book, page 9", "do": "put"}
    assert teacher.post("/library/circuit", sent).status_code == 302
    ours = read_circuit(LibraryItem.objects.get().text, "ours")
    theirs = read_circuit(general.text, "theirs")
    assert (ours.parts, ours.points, ours.states) == (theirs.parts, theirs.points, theirs.states)
    assert (ours.complaints, ours.about) == (theirs.complaints, theirs.about)
    assert "invented" not in LibraryItem.objects.get().text


def test_a_general_circuit_that_is_not_there_begins_an_empty_sheet(teacher):
    page = teacher.get("/library/circuit?general=none")
    assert page.status_code == 200
    assert "A copy of" not in page.content.decode()


def test_what_the_table_cannot_show_is_gone_on_with_as_a_text(teacher):
    text = FAN.replace('name = "F12"', 'name = ["F12"]')
    new = {"id": str(uuid4()), "kind": "circuit", "text": text, "do": "keep"}
    answer = teacher.post("/library/new", new, follow=True)
    assert answer.redirect_chain[-1][0].startswith("/library/new?draft=")
    draft = CircuitDraft.objects.get()
    page = answer.content.decode()
    assert draft.text == text
    assert f'name="draft" value="{draft.pk}"' in page
    good = {"id": str(uuid4()), "kind": "circuit", "text": FAN, "draft": str(draft.pk)}
    teacher.post("/library/new", good)
    draft.refresh_from_db()
    assert draft.became == LibraryItem.objects.get()


def test_a_sheet_that_leaves_the_table_for_the_text_can_be_put_in_as_it_stands(teacher):
    page = send(teacher, do="text", **form()).context["typed"]
    assert page["text"].startswith("# Usual sizes, not from the diagram: BAT volts at rest 12.6 V")
    sent = {"id": str(uuid4()), **{key: page[key] for key in ("kind", "text", "draft", "base")}}
    assert teacher.post("/library/new", sent).status_code == 302
    assert CircuitDraft.objects.get().became == LibraryItem.objects.get()
    assert (
        "6 usual sizes taken"
        in teacher.get(f"/library/circuit?from={LibraryItem.objects.get().pk}").content.decode()
    )


def test_a_text_that_a_person_arranged_is_shown_as_it_was_kept(teacher):
    text = FAN.replace('emf = "12.6 V"\n', "").replace("[points]", "[points]  # as we say it")
    kept = {"id": str(uuid4()), "kind": "circuit", "text": text, "do": "keep"}
    teacher.post("/library/new", kept)
    page = teacher.get(f"/library/new?draft={CircuitDraft.objects.get().pk}")
    assert page.context["typed"]["text"] == text


def test_the_table_is_left_for_the_text_with_everything_in_it(teacher):
    answer = send(teacher, do="text", **form(PARTS[:3]))
    assert answer.redirect_chain[-1][0].startswith("/library/new?draft=")
    assert "name = &quot;F1&quot;" in answer.content.decode()


@settings(max_examples=40, deadline=None)
@given(typed_sheets())
def test_whatever_sheet_is_opened_in_the_table_and_kept_is_the_same_circuit(data):
    sent = QueryDict(mutable=True)
    draft = Draft(data=data)
    for row in part_rows(draft):
        sent.appendlist("part", row.id)
        for cell in (row.name, row.kind, *row.columns, *row.seen, *row.more):
            sent[cell.name] = cell.value
    for name, rows in (("state", state_rows(draft)), ("complaint", complaint_rows(draft))):
        for row in rows:
            sent.appendlist(name, row["id"])
            sent.update({f"{row['id']}.{key}": value for key, value in row.items()})
    for key, value in head_cells(draft).items():
        if isinstance(value, str):
            sent[f"head.{key}"] = value
    assert fits_table(data)
    again = read_form(sent).draft
    first = unicodedata.normalize("NFC", write_draft(draft))  # as the page takes what is typed
    assert read_circuit(write_draft(again), "again") == read_circuit(first, "first")


def test_a_file_with_mistakes_can_be_kept_and_mended_in_the_table(teacher):
    wrong = FAN.replace('to = "B"', 'to = "Bee"', 1)
    refused = teacher.post("/library/new", {"id": str(uuid4()), "kind": "circuit", "text": wrong})
    assert "Keep it half done" in refused.content.decode()
    kept = {"id": str(uuid4()), "kind": "circuit", "text": wrong, "do": "keep"}
    page = teacher.post("/library/new", kept, follow=True).content.decode()
    assert "Nothing but F12 ends at &#x27;Bee&#x27;" in page
