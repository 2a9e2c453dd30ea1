"""A circuit of 20 parts is entered by keyboard alone, and the healthy check is right."""

import re

import pytest
from playwright.sync_api import expect

from journeys.test_screens import SMALL, SMALLEST
from tests.web.keys import Keys
from witnessmark.sheets.circuit import read_circuit
from witnessmark.shop.models import CircuitDraft, LibraryItem
from witnessmark.web.circuit_words import kind_typed

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# As they stand on a paper diagram: name, kind, from, to, size, length, and a relay's coil.
DIAGRAM = """
F1   fuse    battery +      after F1       20 A
W1   wire    after F1       K3 30          2.5 mm2   1.2 m
K3   relay   K3 30          K3 87          -         -      K3 86   K3 85
W2   wire    K3 87          plug C4        2.5 mm2   2 m
C4   plug    plug C4        motor +
Fan  motor   motor +        motor −        1.5 ohm
W3   wire    motor −        stud G7        2.5 mm2   0.8 m
G7   earth   stud G7        battery −
F2   fuse    battery +      after F2       10 A
W4   wire    after F2       key 15         1 mm2     1 m
S1   switch  key 15         ignition
W5   wire    ignition       S2 in          0.75 mm2  1.5 m
S2   switch  S2 in          K3 86
W6   wire    K3 85          stud G8        0.75 mm2  1 m
G8   earth   stud G8        battery −
W7   wire    ignition       S3 in          1 mm2     2 m
S3   switch  S3 in          lamp +
L1   bulb    lamp +         lamp −         21 W
W8   wire    lamp −         stud G8        1 mm2     1 m
"""
STATES = [
    ("lamp", "the lamp on", "S1, S3"),
    ("run", "the fan running", "S1, S2"),
]


def enter_parts(keys: Keys) -> None:
    """Type the rows of the diagram, each ended by Enter."""
    for at, line in enumerate(DIAGRAM.strip().splitlines(), 1):
        name, kind, first, second, *more = re.split(r" {2,}", line.strip())
        for text in (name, kind, first, second):
            keys.type(text)
            keys.press("Tab")
        for number, text in enumerate(more):
            if text == "-":
                keys.press("Tab")
                continue
            if number == 2:
                keys.to(f"r{at}.k.coil_from")
            keys.type(text)
            if number < len(more) - 1:
                keys.press("Tab")
        keys.press("Enter")


@pytest.mark.reference("keystroke-level model, Card, Moran and Newell 1980; from memory")
def test_twenty_parts_are_typed_by_keyboard_alone_and_the_check_is_right(circuit_page):
    browser, page = circuit_page
    keys = Keys(page)
    keys.to("head.name")
    keys.type("Brae 12, fan and lamp")
    keys.press("Tab")
    keys.type("wiring book, page 7")
    keys.to("r0.name")
    keys.press("Enter")
    enter_parts(keys)
    keys.to("s0.name")
    keys.press("Enter")
    for name, words, switched in STATES:
        for text in (name, words, switched):
            keys.type(text)
            keys.press("Tab")
        keys.press("Shift+Tab")
        keys.press("Enter")
    expect(page.get_by_role("heading", name="The sheet is whole")).to_be_visible()
    side = page.locator("#side")
    expect(side).to_contain_text("Relay K3 pulls in.")
    expect(side).to_contain_text("L1 gets 12.")
    expect(side).to_contain_text("Nothing looks wrong.")
    browser.shoot(page, "circuit-whole")
    keys.to("Put it in the Library")
    keys.press("Enter")
    expect(page.get_by_text("Brae 12, fan and lamp, version 1 is in the Library.")).to_be_visible()
    circuit = read_circuit(LibraryItem.objects.get().text, "typed")
    assert len(circuit.parts) == 20
    assert CircuitDraft.objects.get().became == LibraryItem.objects.get()
    assert keys.takes_s < 15 * 60


def test_a_kind_typed_over_unfolds_its_own_fields_and_keeps_what_was_typed(circuit_page):
    browser, page = circuit_page
    keys = Keys(page)
    keys.to("r1.name")
    for text in ("F1", "fuse", "battery +", "after F1", "20 A", "0.004 ohm"):
        keys.type(text)
        keys.press("Tab")
    page.locator("[name='r1.kind']").fill("Starter Solenoid")
    keys.press("Tab")
    expect(page.locator("[name='r1.kind']")).to_have_value("solenoid")
    expect(page.locator("[name='r1.e1']")).to_have_value("battery +")
    expect(page.locator("[name='r1.s1']")).to_have_value("20 A")
    page.locator("[name='r1.k.control']").fill("key 50")
    page.locator("[name='r1.kind']").fill("wire")
    keys.press("Tab")
    expect(page.locator("[name='r1.k.control']")).to_have_value("key 50")
    expect(page.locator("[data-row=r1] .lab", has_text="control, left over")).to_be_visible()
    expect(page.locator("#n-r1")).to_contain_text("A wire has no control.")
    page.locator("[name='r2.kind']").fill("selector")
    keys.press("Tab")
    expect(page.locator("[name='r2.k.terminals']")).to_be_focused()
    page.emulate_media(color_scheme="dark")
    browser.shoot(page, "circuit-dark")


def test_tab_comes_to_each_field_of_a_relay_and_to_its_button_last(circuit_page):
    _, page = circuit_page
    keys = Keys(page)
    keys.to("r1.name")
    came = []
    for text in ("K3", "relay", "a", "b", "0.01 ohm", "85 ohm", "c", "d"):
        came.append(page.evaluate("document.activeElement.name"))
        keys.type(text)
        keys.press("Tab")
    cells = ("name", "kind", "e1", "e2", "s1", "s2", "k.coil_from", "k.coil_to")
    assert came == [f"r1.{cell}" for cell in cells]
    assert page.evaluate("document.activeElement.innerText") == "More"
    expect(page.locator("[name='r1.k.pulls_in']")).to_be_hidden()
    page.locator("[name='r1.kind']").fill("fuse")
    keys.press("Tab")
    expect(page.locator("[name='r1.k.coil_from']")).to_have_value("c")
    expect(page.locator("[name='r1.k.coil_from']")).to_be_visible()
    page.locator("[name='r1.kind']").fill("relay")
    keys.press("Tab")
    expect(page.locator("[name='r1.k.coil_from']")).to_have_count(1)
    expect(page.locator("[name='r1.k.coil_from']")).to_have_value("c")
    expect(page.locator("[name='r1.k.coil_to']")).to_have_value("d")


def test_a_heater_is_typed_by_its_watts_or_told_what_they_are_in_ohms(circuit_page):
    browser, page = circuit_page
    keys = Keys(page)
    keys.to("r1.name")
    for text in ("H1", "heater", "battery +", "battery −", "120"):
        keys.type(text)
        keys.press("Tab")
    expect(page.locator("#taken")).to_contain_text("H1 at 12 V")
    expect(page.locator("#n-r1 li")).to_have_count(0)
    page.locator("[name='r1.s1']").fill("")
    page.locator("[data-row=r1] summary").click()
    page.locator("[name='r1.k.ohms']").fill("120 W")
    keys.press("Tab")
    expect(page.locator("#n-r1")).to_contain_text("Watts go into power: 120 W at 12 V are 1.2 Ω.")
    for name, text in (("s0.set", ""), ("head.name", "seat"), ("head.source", "page 2")):
        page.locator(f"[name='{name}']").fill(text)
    page.locator("[name='r1.k.ohms']").fill("120")
    keys.press("Tab")
    expect(page.locator("#n-r1")).to_contain_text("Ohms or watts?")
    browser.shoot(page, "circuit-heater")


def test_a_copy_begins_at_the_name_that_it_must_be_given(circuit_page):
    _, page = circuit_page
    keys = Keys(page)
    page.goto(f"{page.url}?general=horn")
    name = page.locator("[name='head.name']")
    expect(name).to_be_focused()
    keys.type("Corran 40, horn")
    expect(name).to_have_value("Corran 40, horn")


def test_what_is_to_mend_stands_at_its_row_while_it_is_typed(circuit_page):
    browser, page = circuit_page
    keys = Keys(page)
    keys.to("r1.name")
    for text in ("W1", "wire", "battery +", "lamp +", "2.5 ohm", "3 m"):
        keys.type(text)
        keys.press("Tab")
    expect(page.locator("#n-r1 .mend")).to_contain_text("2.5 ohm")
    expect(page.locator("#n-r1 .open")).to_contain_text("Nothing but W1 ends at 'lamp +' yet.")
    expect(page.locator("#points option[value='lamp +']")).to_have_count(1)
    browser.shoot(page, "circuit-mend")
    for summary in page.locator("main summary:visible").all():
        summary.click()
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(SMALL, SMALLEST) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_beginning_of_a_kind_is_taken_where_it_means_one_kind_only(circuit_page):
    _, page = circuit_page
    keys = Keys(page)
    for row, (typed, taken) in enumerate(
        [("conn", "connector"), ("Gro", "ground"), ("fus", "fus"), ("re", "re")], 1
    ):
        page.locator(f"[name='r{row}.kind']" if row < 4 else "[name='r3.kind']").fill(typed)
        keys.press("Tab")
        field = page.locator(f"[name='r{min(row, 3)}.kind']")
        expect(field).to_have_value(taken)
        assert kind_typed(typed) == taken
    page.locator("[name='r1.kind']").fill("conn")
    keys.press("Tab")
    expect(page.locator("[name='r1.kind']")).to_have_value("connector")


def test_what_is_left_leads_to_its_field_and_unfolds_it(circuit_page):
    _, page = circuit_page
    keys = Keys(page)
    keys.to("r1.name")
    for text in ("Fan", "motor", "battery +", "battery −"):
        keys.type(text)
        keys.press("Tab")
    page.locator("[data-row=r1] summary").click()
    page.locator("[name='r1.k.volts']").fill("12 V")
    keys.press("Tab")
    way = page.locator("#side a", has_text="Fan still needs, under More: resistance held still")
    expect(way).to_be_visible()
    page.locator("[data-row=r1] summary").click()
    expect(page.locator("[name='r1.k.armature']")).to_be_hidden()
    way.focus()
    keys.press("Enter")
    field = page.locator("[name='r1.k.armature']")
    expect(field).to_be_focused()
    expect(field).to_have_attribute("aria-describedby", "n-r1")
    keys.press("Tab")
    expect(field).not_to_have_attribute("aria-describedby", "n-r1")
    page.locator("#side a", has_text="There are no states").or_(
        page.locator("#side a", has_text="The circuit has no name")
    ).first.click()
    expect(page.locator("[name='head.name']")).to_be_focused()


def test_a_refused_sheet_begins_at_the_first_field_that_is_left(circuit_page):
    browser, page = circuit_page
    page.locator("[name='head.name']").fill("Brae 12, fan")
    page.locator("[name='head.source']").fill("page 7")
    page.get_by_role("button", name="Put it in the Library").last.click()
    expect(page.get_by_text("It is kept half done:")).to_be_attached()
    expect(page.locator("[name='r0.e1']")).to_be_focused()
    expect(page.locator("[name='r0.e1']")).to_be_in_viewport()
    with page.expect_response("**/library/circuit/look"):
        page.locator("[name='r0.e1']").fill("plus stud")
        Keys(page).press("Tab")
    expect(page.get_by_text("It is kept half done:")).not_to_be_attached()
    expect(page.locator("#unfinished")).to_contain_text("left. Only a whole sheet goes")
    browser.complaints.clear()  # the console tells of the refusal


def test_a_ground_shows_where_it_leads_as_soon_as_its_kind_is_typed(circuit_page):
    _, page = circuit_page
    page.locator("[name='r1.kind']").fill("earth")
    Keys(page).press("Tab")
    expect(page.locator("[name='r1.e2']")).to_have_attribute("placeholder", "battery −")
    with page.expect_response("**/library/circuit/look"):
        page.locator("[name='r0.e2']").fill("minus stud")
        Keys(page).press("Tab")
    expect(page.locator("[name='r1.e2']")).to_have_attribute("placeholder", "minus stud")
    with page.expect_response("**/library/circuit/look"):
        page.locator("[name='r1.e1']").fill("minus stud")  # a joint from there leads elsewhere
        Keys(page).press("Tab")
    expect(page.locator("[name='r1.e2']")).to_have_attribute("placeholder", "")


def test_the_focus_in_the_side_outlives_what_comes_back(circuit_page):
    _, page = circuit_page
    with page.expect_response("**/library/circuit/look"):
        page.locator("[name='r0.name']").fill("B1")
        page.locator("#side a", has_text="There is no source").focus()
    expect(page.locator("#side")).not_to_have_class(re.compile("behind"))
    expect(page.locator("#side a", has_text="There is no source")).to_be_focused()


def test_the_side_is_dim_while_it_is_behind(circuit_page):
    _, page = circuit_page
    held = []
    page.route("**/library/circuit/look", lambda route: held.append(route))
    page.locator("[name='head.name']").fill("Brae 12, fan")
    side = page.locator("#side")
    with page.expect_request("**/library/circuit/look"):
        Keys(page).press("Tab")
        expect(side).to_have_class(re.compile("behind"))
        expect(side).to_have_attribute("aria-busy", "true")
    page.wait_for_timeout(200)  # long enough for an answer, if it came
    assert len(held) == 1
    expect(side).to_have_class(re.compile("behind"))
    held.pop().continue_()
    expect(side).not_to_have_class(re.compile("behind"))
    expect(side).to_have_attribute("aria-busy", "false")
    page.unroute("**/library/circuit/look")


def test_a_bare_number_shows_its_unit_once_its_field_is_left_and_a_bare_wire_size_is_asked_back(
    circuit_page,
):
    _, page = circuit_page
    keys = Keys(page)
    keys.to("r1.name")
    for text in ("W1", "wire", "battery +", "B", "14", "3"):
        keys.type(text)
        keys.press("Tab")
    expect(page.locator("[name='r1.s2']")).to_have_value("3 m")
    expect(page.locator("[name='r1.s1']")).to_have_value("14")
    expect(page.locator("#n-r1")).to_contain_text("“14” does not say whose size it is.")
    page.locator("[name='r1.s1']").fill("14 AWG")
    keys.press("Tab")
    expect(page.locator("#n-r1")).not_to_contain_text("whose size")
    page.locator("[name='r2.s1']").fill("55")
    page.locator("[name='r2.kind']").fill("lamp")
    keys.press("Tab")
    expect(page.locator("[name='r2.s1']")).to_have_value("55 W")


def test_a_complaint_has_the_whole_width_of_a_phone(circuit_page):
    _, page = circuit_page
    page.set_viewport_size({"width": 390, "height": 844})
    words = page.locator("[name='c0.words']")
    words.fill("The work lamp is dim")
    assert words.evaluate("one => one.scrollWidth <= one.clientWidth")
    row = page.locator("#row-c0").bounding_box()["width"]
    assert words.bounding_box()["width"] >= row - 2
    across = page.locator("[name='c0.looks']").bounding_box()
    assert across["y"] > words.bounding_box()["y"]
