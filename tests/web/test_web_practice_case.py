"""What the page of a practice case shows before any test: words, caution, drawing."""

import re
import tomllib
from dataclasses import replace
from html import unescape
from uuid import uuid4

import pytest

from tests.web.test_web_practice import CIRCUITS, HERE, case, fan, measure, read, send
from witnessmark.record.acts import practice
from witnessmark.record.acts.by import By
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.practice import hidden_in
from witnessmark.sheets.circuit_draft import read_draft, write_draft

__all__ = ["case", "fan"]


def test_a_circuit_is_one_picture_in_the_library_and_in_a_case(cast, case):
    """Every name and letter stands at the same place; only what is strong and read differs."""
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    shelf = read(isla.get(f"/library/{case.item_id}"))
    whole = read(isla.get(f"{HERE}/1")).partition('<div class="cwh">')[2]
    stand = re.compile(r'<text x="([\d.]+)" y="([\d.]+)" class="f1[57] b[^>]*>([^<]+)</text>')

    def names(page):
        found = stand.findall(page.partition("<svg")[2].partition("</svg>")[0])
        return {one for one in found if not one[2].startswith("Supply")}  # a case says its volts

    on_shelf, in_case = names(shelf.partition('class="cbox"')[2]), names(whole)
    assert len(on_shelf) > 10
    assert on_shelf == in_case


def test_every_lamp_that_is_dim_is_told_and_the_belief_takes_it_in(cast):
    """One splice feeds all brake lamps; the sheet has a complaint for the right one only."""
    text = CIRCUITS.joinpath("brake-lamps.toml").read_text("utf-8")
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name="brake-lamps.toml")
    one = practice.set_case(
        by, uuid4(), item=item, section=cast.section, chosen="X1:high", seed=20261129
    )
    isla = cast.browser(cast.on_it)
    page = read(isla.get(f"{HERE}/1"))

    assert "“The right brake lamp is dim.” “Also dim: left brake lamp.”" in page
    told = [complaint.complaint for complaint in hidden_in(one).complaints]
    assert told == list(one.told_keys) and len(told) > 1
    assert one.text.startswith(text.rstrip())
    send(isla, "begin")
    send(isla, "give-up")
    assert "Best path" in read(isla.get(f"{HERE}/1"))


CAUTION = "An electric fan can start by itself. Hands, sleeves and leads clear."


def first_page(cast, name, text):
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name=f"{name}.toml")
    practice.set_case(by, uuid4(), item=item, section=cast.section, seed=20261129)
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    return unescape(read(isla.get(f"{HERE}/1")))


@pytest.mark.parametrize("name", ["headlamps-changeover", "body-front"])
def test_the_note_of_a_sheet_is_no_caution_and_stays_out_of_a_case(cast, name):
    """It may name the fault: "the control side is good: look at K2 and its fuses"."""
    text = CIRCUITS.joinpath(f"{name}.toml").read_text("utf-8")
    note = tomllib.loads(text)["circuit"]["note"]
    page = first_page(cast, name, text)

    assert note not in page and note.partition(":")[0] not in page
    assert ("Caution." in page) == (CAUTION in page) == (name == "body-front")


def test_a_copied_sheet_cautions_as_the_circuit_that_it_was_copied_from(cast):
    """A copy has every comment at its head: what the entries are is no caution."""
    text = CIRCUITS.joinpath("body-front.toml").read_text("utf-8")
    draft = read_draft(text, "body-front")
    copy = write_draft(replace(draft, comments=draft.comments[1:]))
    assert "# minutes to reach a point" in copy.partition("[")[0]
    page = first_page(cast, "copy", copy)

    assert f"{CAUTION} On a vehicle, its maker’s service information comes first." in page
    assert "minutes to reach a point" not in page


LONG = (
    "the lamp at the left of the vehicle behind the bumper bracket near the second axle, the other"
)


def test_a_case_on_a_sheet_with_long_names_and_commas_is_set_named_and_ended(cast):
    """Names of parts and states are the author's own: they may be long, and hold any sign."""
    text = CIRCUITS.joinpath("brake-lamps.toml").read_text("utf-8")
    text = text.replace('state = "brake"', 'state = "brake, held"')
    text = text.replace('name = "brake"', 'name = "brake, held"')
    text = text.replace('"BL"', f'"{LONG} one"').replace('"BH"', f'"{LONG} two"')
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name="brake-lamps.toml")
    one = practice.set_case(
        by, uuid4(), item=item, section=cast.section, chosen="X1:high", seed=20261129
    )
    assert len(one.told_keys) > 1 and len(one.told) < 60
    isla = cast.browser(cast.on_it)
    assert send(isla, "begin").status_code == 302
    assert "“Also dim: left brake lamp.”" in read(isla.get(f"{HERE}/1"))
    assert send(isla, "rank", part=[f"{LONG} two", "X1"]).status_code == 302
    assert one.attempts.get().rankings.get().named == (f"{LONG} two", "X1")
    page = read(isla.get(f"{HERE}/1"))
    assert f'<option value="{LONG} two" selected>' in page
    assert send(isla, "name", suspect="X1:high", repair="mend splice X1").status_code == 302
    assert "Best path" in read(isla.get(f"{HERE}/1"))


def test_what_a_shop_writes_at_the_head_of_its_sheet_is_no_caution(cast):
    """It may name the fault, or a person."""
    text = CIRCUITS.joinpath("body-front.toml").read_text("utf-8")
    page = first_page(
        cast, "own", f"# Drawn by hand, the fault is mostly in W1. Ask the chief.\n{text}"
    )

    assert f"{CAUTION} On a vehicle, its maker’s service information comes first." in page
    assert "Drawn by hand" not in page


def test_the_list_of_parts_says_why_one_is_not_in_it(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    assert "A joint shows nothing then" in read(isla.get(f"{HERE}/1?kind=ohms"))
    assert "with both ends within reach" in read(isla.get(f"{HERE}/1?kind=jumper"))
    assert "is listed." not in read(isla.get(f"{HERE}/1?kind=volts"))


def test_the_review_says_whole_sentences_beside_each_test(cast, fan):
    """What was expected, whether the complaint was there, and why: each ends with a full stop."""
    practice.set_case(
        By(person=cast.teacher),
        uuid4(),
        item=fan,
        section=cast.section,
        chosen="S9:high",
        comes_and_goes=True,
        seed=5,
    )
    isla, teacher = cast.browser(cast.on_it), cast.browser(cast.teacher)
    send(isla, "begin")
    for watched in ("1", "1", "1", "1", ""):
        measure(isla, "E", expected="about 7 V", watched=watched)
    send(isla, "give-up")
    (address,) = set(re.findall(rf"{HERE}/1/of/[0-9a-f-]+", read(teacher.get(f"{HERE}/1"))))
    for page, expected in (
        (read(isla.get(f"{HERE}/1")), "You expected about 7 V."),
        (read(teacher.get(address)), "Expected: about 7 V."),
    ):
        steps = re.findall(r'<span class="w">(.*?)<span class="m">', unescape(page), re.DOTALL)
        said = [one for step in steps for one in re.findall(r'<span class="dim">([^<]+)', step)]
        settings = {"the fan running", "everything switched off"}
        sentences = [one for one in said if one not in settings]
        assert len(steps) > 5 and all(one.endswith(".") and ".." not in one for one in sentences)
        assert sum(expected in one for one in sentences) == 5
        assert any(one.startswith("The complaint was away, so it clears nobody.") for one in said)
        assert any(one.startswith("Not watched, so the complaint may") for one in said)
        assert page.count('"nk trn">told most') <= 1  # of the path taken alone


def test_the_review_shows_the_circuit_whose_parts_its_reasons_name(cast, case):
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    measure(isla, "E", expected="about 7 V")
    send(isla, "give-up")
    page = unescape(read(isla.get(f"{HERE}/1")))
    circuit = page.partition("See the circuit and what was read")[2].partition("</details>")[0]
    assert "Volts with the fan running." in circuit
    volts = re.search(r'<span class="r">([\d.]+) V</span>', page)[1]
    assert volts in circuit and "ground joint" in circuit
