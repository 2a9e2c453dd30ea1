import re
import subprocess
from dataclasses import fields, replace
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path

import pytest

from witnessmark.metrology import Verdict
from witnessmark.papers.handback import HandBack, PaperCheck, PaperMark, PaperPart, handback_pdf
from witnessmark.work.marks import MarkState

FOLDER = Path(str(resources.files("witnessmark.papers")))
NUTS = PaperCheck(what="Wheel nuts", read="140 N·m", limit="135 to 145 N·m", word=Verdict.WITHIN)
SHOES = PaperMark(title="Worn shoes seen before removal", state=MarkState.WHOLE, digest="3d90 77c1")
PAPER = HandBack(
    school="Skerry Point Technical School",
    vehicle="Tow tractor",
    facts="Tolmie T2, fleet 3. Harbour office.",
    job="J-112",
    date="Mon 30 Nov 2026",
    complaints=("Park brake does not hold on the slip.",),
    cause="Left brake shoes worn.",
    proof=("Lining thickness left: 1.1 mm, limit at least 1.5 mm, outside.",),
    correction="Shoes replaced on both sides.",
    checks=(
        NUTS,
        PaperCheck(
            what="Lining right", read="4.5 mm", limit="at least 4.5 mm", word=Verdict.TOO_CLOSE
        ),
    ),
    marks=(SHOES, replace(SHOES, title="Shoes fitted", same_person=True)),
    advice=("Brake gently for the first 50 km.",),
    accepted=("Lining right: new shoe, read beside a new one.",),
    parts=(PaperPart(what="Brake shoe", quantity="4", old="kept for the owner"),),
    more=(("If it comes back", "Bring this paper."),),
    teacher="R. Aldane",
    signed="R. Aldane, Mon 30 Nov, 15:02",
    digest="e07b55a1" * 8,
)


def made(paper=PAPER, size="A4") -> bytes:
    return handback_pdf(paper, size, FOLDER, datetime(2026, 11, 30, 15, 2, tzinfo=UTC))


def pages(pdf: bytes, tmp_path) -> list[str]:
    file = tmp_path / "paper.pdf"
    file.write_bytes(pdf)
    text = subprocess.run(
        ["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True
    ).stdout
    return text.removesuffix("\f").split("\f")


def one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_page_one_says_why_what_and_how_it_was_checked(size, tmp_path):
    [first, second] = pages(made(size=size), tmp_path)
    first, second = one_line(first), one_line(second)

    for words in (
        "Tow tractor",
        "J-112",
        "Park brake does not hold on the slip.",
        "Left brake shoes worn.",
        "Lining thickness left: 1.1 mm, limit at least 1.5 mm, outside.",
        "Shoes replaced on both sides.",
        "Wheel nuts 140 N·m 135 to 145 N·m Within",
        "Too close to call",
        "Worn shoes seen before removal Marked 3d90 77c1",
        "Shoes fitted Marked, same person",
        "Brake gently for the first 50 km.",
        "R. Aldane, Mon 30 Nov, 15:02",
        "fixed by e07b 55a1",
    ):
        assert words in first
    assert "Brake shoe 4 kept for the owner" in second
    assert "new shoe, read beside a new one" in second


def test_the_whole_digest_is_the_last_line_above_the_foot(tmp_path):
    last = pages(made(), tmp_path)[-1].strip().splitlines()

    assert [line.strip() for line in last if line.strip()][-2] == PAPER.digest
    assert last[-1].endswith("Page 2 of 2")


@pytest.mark.reference("ISO 216, A4 is 210 by 297 mm; from memory, and Letter 8.5 by 11 in")
@pytest.mark.parametrize(
    ("size", "width_mm", "height_mm"), [("A4", 210, 297), ("Letter", 215.9, 279.4)]
)
def test_the_paper_has_the_size_that_was_asked_for(size, width_mm, height_mm, tmp_path):
    file = tmp_path / "paper.pdf"
    file.write_bytes(made(size=size))
    said = subprocess.run(["pdfinfo", str(file)], capture_output=True, text=True, check=True)
    [(width, height)] = re.findall(r"Page size: +([\d.]+) x ([\d.]+) pts", said.stdout)

    assert float(width) / 72 * 25.4 == pytest.approx(width_mm, abs=0.05)
    assert float(height) / 72 * 25.4 == pytest.approx(height_mm, abs=0.05)


def test_an_unsigned_paper_says_so_and_a_signed_one_does_not(tmp_path):
    words = "Preview. Not valid until signed."

    assert words not in one_line(pages(made(), tmp_path)[0])
    assert words in one_line(pages(made(replace(PAPER, signed="")), tmp_path)[0])


def test_the_demo_stands_on_every_page(tmp_path):
    for page in pages(made(replace(PAPER, demo=True)), tmp_path):
        assert "Demo, invented" in page
    for page in pages(made(), tmp_path):
        assert "invented" not in page


def test_same_person_is_printed_at_the_signature(tmp_path):
    words = "Same person: the teacher who signs also did work on this vehicle."

    assert words in one_line(pages(made(replace(PAPER, same_person=True)), tmp_path)[0])
    assert words not in one_line(pages(made(), tmp_path)[0])


def test_with_little_to_say_it_is_one_page_that_ends_with_the_digest(tmp_path):
    short = replace(PAPER, parts=(), more=(), accepted=())
    [page] = pages(made(short), tmp_path)

    assert page.index("R. Aldane, Mon 30 Nov") < page.index(PAPER.digest)


def test_what_page_one_has_no_room_for_stands_on_page_two(tmp_path):
    many = replace(
        PAPER,
        checks=tuple(replace(NUTS, what=f"Bolt {n}") for n in range(1, 25)),
        marks=tuple(replace(SHOES, title=f"Place {n} seen") for n in range(1, 13)),
    )
    [first, second] = pages(made(many, size="Letter"), tmp_path)

    shown = int(re.search(r"Checks, as left, (\d+) of 24 shown", first)[1])
    assert 3 <= shown < 24
    assert "R. Aldane, Mon 30 Nov, 15:02" in one_line(first)
    for number in range(1, 25):
        assert re.search(rf"Bolt {number}\b", first if number <= shown else second)
    assert all(re.search(rf"Place {n} seen", first + second) for n in range(1, 13))


@pytest.mark.parametrize("state", [MarkState.BROKEN, MarkState.HOLD, MarkState.CALLED])
def test_a_mark_that_does_not_stand_is_said_in_words(state, tmp_path):
    broken = replace(PAPER, marks=(replace(SHOES, state=state, digest=""),), signed="")
    said = {"broken": "Broken, to be seen again", "called": "Called", "hold": "Not marked yet"}

    assert f"Worn shoes seen before removal {said[state]}" in one_line(
        pages(made(broken), tmp_path)[0]
    )


def test_what_people_type_is_printed_and_never_obeyed(tmp_path):
    odd = '#import "x" *bold* $x$ \\ <a> “Ω” = heading ] #{ 1/0 }'
    [first, _] = pages(made(replace(PAPER, cause=odd, complaints=(odd,))), tmp_path)

    assert one_line(first).count(odd) == 2


def test_the_fonts_of_the_look_are_in_the_file(tmp_path):
    file = tmp_path / "paper.pdf"
    file.write_bytes(made())
    listed = subprocess.run(["pdffonts", str(file)], capture_output=True, text=True, check=True)

    names = {line.split()[0].split("+")[-1] for line in listed.stdout.splitlines()[2:]}
    assert names == {
        "Archivo-Regular",
        "Archivo-Bold",
        "ArchivoWide-Bold",
        "ArchivoNarrowPaper-Regular",
        "ArchivoNarrowPaper-Bold",
        "AtkinsonHyperlegibleMono-Regular",
    }


def test_the_same_values_at_the_same_time_make_the_same_file():
    assert made() == made()


def test_the_paper_has_no_place_for_a_learner():
    names = {field.name for field in fields(HandBack)}

    assert not names & {"learners", "crew", "who", "by"}
