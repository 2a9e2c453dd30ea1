"""Entering a circuit: a ground leads to the battery or the body by itself; a refusal stays true."""

import re

import pytest

from tests.web.test_web_circuit import PARTS, form, send, teacher  # noqa: F401 - the fixture
from witnessmark.shop.models import CircuitDraft, LibraryItem

SHORT = [*PARTS[:-1], ("G1", "earth", "lamp −", "", "", "")]


def look(browser, sent):
    return browser.post("/library/circuit/look", sent).content.decode()


def test_a_ground_with_one_end_leads_to_the_battery(teacher):  # noqa: F811
    answer = send(teacher, do="put", **form(SHORT))

    assert "Work lamp, version 1 is in the Library." in answer.content.decode()
    assert 'to = "battery −"' in LibraryItem.objects.get().text


def test_where_the_sheet_names_the_body_a_ground_leads_there_and_the_body_to_the_battery(
    teacher,  # noqa: F811
):
    body = ("G2", "ground", "body", "", "", "")
    sent = form([*SHORT, body]) | {"head.body": "body"}
    send(teacher, **sent)
    parts = CircuitDraft.objects.get().text.split("[[parts]]")

    (lamp_ground,) = [one for one in parts if 'name = "G1"' in one]
    (body_ground,) = [one for one in parts if 'name = "G2"' in one]
    assert 'to = "body"' in lamp_ground
    assert 'to = "battery −"' in body_ground


@pytest.mark.parametrize(
    ("row", "lacks"),
    [
        (("G1", "earth", "", "", "", ""), True),  # neither end: nothing is guessed
        (("G1", "earth", "lamp −", "stud", "", ""), False),  # what is typed stands
        (("W9", "wire", "lamp −", "", "", ""), True),  # a wire leads nowhere by itself
    ],
)
def test_nothing_else_is_filled_in(teacher, row, lacks):  # noqa: F811
    send(teacher, **form([*PARTS[:-1], row]))
    (part,) = [
        one
        for one in CircuitDraft.objects.get().text.split("[[parts]]")
        if f'name = "{row[0]}"' in one
    ]
    assert ("to = " not in part) == lacks
    assert lacks or 'to = "stud"' in part


def test_the_empty_end_of_a_ground_shows_where_it_leads(teacher):  # noqa: F811
    page = teacher.get("/library/circuit").content.decode()

    template = page.partition('<template data-kind="ground">')[2].partition("</template>")[0]
    assert re.search(r'name="ROW.e2" value="" placeholder="battery −"', template)
    assert "placeholder" not in template.partition('name="ROW.e1"')[2].partition(">")[0]
    wire = page.partition('<template data-kind="wire">')[2].partition("</template>")[0]
    assert "battery −" not in wire
    named = form([("BAT", "battery", "plus stud", "minus stud", "", ""), *SHORT[1:]])
    assert 'data-ground="minus stud"' in look(teacher, named)


def test_what_is_said_of_a_refused_sheet_follows_what_is_typed_on(teacher):  # noqa: F811
    lacking = form(PARTS[:-2])
    page = send(teacher, do="put", **lacking).content.decode()
    assert "It is kept half done: " in page
    assert '<input type="hidden" name="refused" value="yes">' in page

    still = look(teacher, form(PARTS[:-1]) | {"refused": "yes"})
    left = still.partition('<div id="unfinished" hx-swap-oob="true">')[2]
    assert re.search(r"<b>\d+ things? left.</b>", left)
    assert "kept half done" not in left
    whole = look(teacher, form() | {"refused": "yes"})
    assert "Nothing is left: it can go into the Library." in whole
    assert 'id="unfinished"' not in look(teacher, form())  # where nothing was refused
