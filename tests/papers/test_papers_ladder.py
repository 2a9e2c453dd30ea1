"""The ladder drawing: nothing stands on anything else, and the table says the same."""

import itertools
from pathlib import Path
from xml.etree import ElementTree

import pytest

import witnessmark.web
from witnessmark.diagnosis.sentences import percent_words
from witnessmark.papers.glyph_widths import fitted, text_width, wrapped
from witnessmark.papers.ladder import ladder_svg, ladder_table
from witnessmark.papers.ladder_layout import Column, Ladder, Piece, Spot, place
from witnessmark.papers.ladder_phone import ladder_phone_svg

STATIC = Path(witnessmark.web.__file__).parent / "static" / "witnessmark"
DRAWINGS = {"wide": ladder_svg, "phone": ladder_phone_svg}


def piece(key, symbol, note="", belief=0.004, name=None):
    return Piece(key=key, name=name or key.split(".")[0], note=note, symbol=symbol, belief=belief)


def spot(letter, words="", healthy_v=6.0, **more):
    return Spot(node=f"n{letter}", letter=letter, words=words, healthy_v=healthy_v, **more)


def fan_ladder():
    """The fan circuit with a coil that leaves after the fuse, and words too long for their room."""
    main = (
        spot("A", "battery +", 12.44, read="12.5 V", read_v=12.5),
        piece("F12", "fuse", "20 A"),
        spot("B", "after fuse F12", 12.40),
        piece("K3.contact", "contact", "contact"),
        spot("C", "relay 87", 12.32),
        piece("W3", "wire", "wire 2.5 mm²"),
        Spot(node="inner", healthy_v=12.1),
        piece("C4", "connector", "connector"),
        spot("D", "motor +, at the plug behind the left headlamp", 12.05, read="lit"),
        piece("Fan", "motor", "1.5 Ω", 0.27),
        spot("E", "motor −", 0.18, span_v=(1.4, 5.2), probe=True),
        piece("S9", "splice", "splice", 0.18),
        spot("F", "stud G7", 0.02, span_v=(0.0, 5.2)),
        piece("G7", "ground", "ground joint", 0.54),
    )
    coil = (
        piece("F3", "fuse", "7.5 A"),
        spot("H", "after F3"),
        piece("S2", "switch", "fan switch"),
        spot("G", "relay 86", read="12.4 V", read_v=12.4),
        piece("K3.coil", "coil", "coil"),
        piece("G2", "ground", "ground joint"),
    )
    return Ladder(
        title="Ladder of the fan circuit",
        supply_v=12.6,
        supply=piece("BAT", "battery", "battery"),
        why=("1.4 to 5.2 V if G7 or S9", "0.1 V if the fan"),
        ties=(("K3.coil", "K3.contact"),),
        columns=(Column(items=main), Column(items=coil, start="nB")),
    )


def two_coils_ladder():
    """A load fed by a relay whose coil is fed by another relay, as a starter is."""
    main = (
        spot("A", "battery +"),
        piece("K9.contact", "contact", "solenoid contact"),
        spot("B", "starter +"),
        piece("M1", "motor", "starter motor", name="A starter with a long name"),
        spot("C", "engine block"),
        piece("G1", "ground", "ground strap"),
    )
    solenoid = (
        piece("F1", "fuse", "30 A"),
        spot("D", "after F1"),
        piece("K2.contact", "contact", "contact"),
        spot("E", "solenoid 50", read="10.25 V", read_v=10.25),
        piece("K9.coil", "coil", "coil"),
    )
    relay = (
        piece("S1", "switch", "ignition switch"),
        spot("G", "relay 86", probe=True),
        piece("K2.coil", "coil", "coil"),
        spot("H", "relay 85"),
        piece("S4", "switch", "neutral switch"),
    )
    return Ladder(
        title="Ladder of the starter",
        supply_v=12.6,
        ties=(("K9.coil", "K9.contact"), ("K2.coil", "K2.contact")),
        columns=(
            Column(items=main),
            Column(items=solenoid, end="nC"),
            Column(items=relay, start="nD"),
        ),
    )


LADDERS = {"fan": fan_ladder, "two coils": two_coils_ladder}


def extents(ladder):
    return {
        (number, at): (20.0, 20.0)
        for number, column in enumerate(ladder.columns)
        for at in range(len(column.items))
    }


@pytest.mark.parametrize("made", LADDERS.values(), ids=LADDERS)
def test_every_item_stands_below_the_one_before_it(made):
    ladder = made()
    placed = place(ladder, extents(ladder), 52, 14)

    for number, column in enumerate(ladder.columns):
        heights = [placed.y[number, at] for at in range(len(column.items))]
        assert all(above + 40 <= below for above, below in itertools.pairwise(heights))
        if column.start:
            assert placed.y[placed.node[column.start]] < heights[0]
        if column.end:
            assert heights[-1] < placed.y[placed.node[column.end]]
        assert heights[-1] < placed.bottom


@pytest.mark.parametrize("made", LADDERS.values(), ids=LADDERS)
def test_a_coil_stands_level_with_its_contact(made):
    ladder = made()
    placed = place(ladder, extents(ladder), 52, 14)
    at = {
        item.key: placed.y[number, index]
        for number, column in enumerate(ladder.columns)
        for index, item in enumerate(column.items)
        if isinstance(item, Piece)
    }

    assert all(at[coil] == at[contact] for coil, contact in ladder.ties)


def test_a_coil_fed_through_its_own_contact_is_still_placed():
    ladder = Ladder(
        title="A relay that holds itself",
        supply_v=12.0,
        ties=(("K1.coil", "K1.contact"),),
        columns=(
            Column(items=(piece("K1.contact", "contact"), spot("B"), piece("L1", "lamp"))),
            Column(items=(piece("R1", "resistor"), piece("K1.coil", "coil")), start="nB"),
        ),
    )

    placed = place(ladder, extents(ladder), 52, 14)

    assert placed.y[1, 1] > placed.y[0, 0]
    assert 'class="tie"' in ladder_svg(ladder)


@pytest.mark.parametrize("draw", DRAWINGS.values(), ids=DRAWINGS)
@pytest.mark.parametrize("made", LADDERS.values(), ids=LADDERS)
def test_the_drawing_is_sound_and_carries_no_style(made, draw):
    tree = ElementTree.fromstring(draw(made()))

    assert tree.get("role") == "img"
    assert tree.get("aria-label")
    for element in tree.iter():
        assert "style" not in element.attrib
        assert not any(name.startswith("on") for name in element.attrib)


def test_words_of_the_author_are_escaped():
    ladder = Ladder(
        title="<b>",
        supply_v=12.0,
        columns=(Column(items=(spot("A", "<script>"), piece("L1", "lamp", "a & b"))),),
    )

    for draw in DRAWINGS.values():
        ElementTree.fromstring(draw(ladder))
        assert "<script>" not in draw(ladder)


def test_the_table_says_what_the_drawing_says():
    rows = {row.name: row for row in ladder_table(fan_ladder())}

    assert rows["A"].healthy == "12.44 V"
    assert rows["A"].read == "12.5 V"
    assert rows["E"].suspects == "1.4 to 5.2 V"
    assert rows["G7"].belief == "54%"
    assert rows["F12"].belief == "under 1%"
    assert rows["D"].words == "motor +, at the plug behind the left headlamp"
    assert [row.name for row in ladder_table(fan_ladder())][:4] == ["BAT", "A", "F12", "B"]


def test_belief_is_never_shown_as_certain():
    assert percent_words(1) == "over 99%"
    assert percent_words(0) == "under 1%"


def test_a_text_is_cut_to_its_room():
    cut = fitted("a very long name of a part", 17, "bold", 80)

    assert cut.endswith("…")
    assert text_width(cut, 17, "bold") <= 80
    lines = wrapped("one two three four five six", 15, "narrow", 60, 2)
    assert len(lines) == 2
    assert all(text_width(line, 15, "narrow") <= 60 for line in lines)


@pytest.fixture(scope="module")
def chromium():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path="/usr/bin/chromium")
        yield browser
        browser.close()


BOXES = """async () => {
  await document.fonts.ready;
  const svg = [...document.querySelectorAll('svg.lad')].find(s => s.clientWidth > 0);
  const box = e => { const b = e.getBoundingClientRect();
    return [b.left, b.top, b.right, b.bottom, e.textContent || e.tagName]; };
  const inCircle = t => t.classList.contains('f26');
  return {
    font: document.fonts.check('17px "Archivo Var"'),
    texts: [...svg.querySelectorAll('text')].filter(t => !inCircle(t)).map(box),
    shapes: [...svg.querySelectorAll(
        'rect:not(.span), circle.hol, circle[r="8"], path.hol, g.probe circle')].map(box),
    handle: [...svg.querySelectorAll('g.probe path')].flatMap(path => {
      const m = path.getScreenCTM(), long = path.getTotalLength(), half = 4 * m.a;
      return [0, .25, .5, .75, 1].map(share => {
        const at = path.getPointAtLength(long * share).matrixTransform(m);
        return [at.x - half, at.y - half, at.x + half, at.y + half, 'handle']; }); }),
    frame: box(svg),
  };
}"""


def overlap(one, other, slack):
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > slack
        and min(one[3], other[3]) - max(one[1], other[1]) > slack
    )


def page_with(browser, drawing, width):
    page = browser.new_page(viewport={"width": width, "height": 900})
    sheets = [STATIC / name for name in ("tokens.css", "look.css", "find.css")]
    links = "".join(f'<link rel="stylesheet" href="{sheet.as_uri()}">' for sheet in sheets)
    return page, f"<!doctype html>{links}<main class='page'><section>{drawing}</section></main>"


def boxes(browser, tmp_path, drawing, width):
    page, html = page_with(browser, drawing, width)
    (tmp_path / "ladder.html").write_text(html)
    page.goto((tmp_path / "ladder.html").as_uri())
    found = page.evaluate(BOXES)
    page.close()
    return found


@pytest.mark.browser
@pytest.mark.parametrize("width", ["wide", "phone"])
@pytest.mark.parametrize("made", LADDERS.values(), ids=LADDERS)
def test_no_label_stands_on_a_label_or_a_symbol(made, width, chromium, tmp_path):
    screen = {"wide": 1440, "phone": 390}[width]
    found = boxes(chromium, tmp_path, DRAWINGS[width](made()), screen)

    assert found["font"], "the drawing was not measured in its own typeface"
    assert len(found["texts"]) > 10
    for one, other in itertools.combinations(found["texts"], 2):
        # Line boxes of a typeface reach above and below its letters.
        assert not overlap(one, other, 5), (one, other)
    for text, shape in itertools.product(found["texts"], found["shapes"]):
        assert not overlap(text, shape, 5), (text, shape)
    for text, handle in itertools.product(found["texts"], found["handle"]):
        assert not overlap(text, handle, 4), (text, handle)
    for text in found["texts"]:
        assert found["frame"][0] - 1 <= text[0]
        assert text[2] <= found["frame"][2] + 1


@pytest.mark.browser
def test_the_look_at_boxes_sees_a_label_on_a_label(chromium, tmp_path):
    squeezed = ladder_phone_svg(fan_ladder()).replace('text-anchor="end"', "")

    texts = boxes(chromium, tmp_path, squeezed, 390)["texts"]

    assert any(overlap(one, other, 5) for one, other in itertools.combinations(texts, 2))
