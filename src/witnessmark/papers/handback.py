"""The hand-back paper: what the owner takes home, one page and the rest on a second."""

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from pathlib import Path

from witnessmark.metrology import Verdict
from witnessmark.work.digest import short
from witnessmark.work.marks import MarkState

SIZES = {"A4": "a4", "Letter": "us-letter"}
_FEWEST_ROWS = 3  # of checks, and of marks, that page one keeps however long its words are


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperCheck:
    """One as-left check, as it was shown."""

    what: str
    read: str
    limit: str
    word: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperMark:
    """One mark: what the teacher saw, and the short digest that it is bound to."""

    title: str
    state: MarkState
    digest: str  # eight signs in two fours; empty where nothing is marked yet
    same_person: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPart:
    """One part that was fitted, and what became of the old one."""

    what: str
    quantity: str
    old: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandBack:
    """Everything on the paper, in words as they are printed. It has no place for a learner."""

    school: str
    vehicle: str
    facts: str  # the line under the vehicle: make, plate, whose it is
    job: str
    date: str
    complaints: tuple[str, ...]
    cause: str
    proof: tuple[str, ...] = ()  # the tests that proved the cause
    correction: str
    checks: tuple[PaperCheck, ...] = ()
    marks: tuple[PaperMark, ...] = ()
    advice: tuple[str, ...] = ()
    accepted: tuple[str, ...] = ()  # what was too close to call, and why it was accepted
    parts: tuple[PaperPart, ...] = ()
    more: tuple[tuple[str, str], ...] = ()  # heading and words, for page two
    teacher: str
    receiver: str = "owner"
    signed: str = ""  # "R. Aldane, Mon 30 Nov, 15:02"; empty for a preview
    same_person: bool = False  # the teacher who signs also did some of the work
    digest: str  # all 64 signs
    demo: bool = False


def handback_pdf(paper: HandBack, size: str, folder: Path, made_at: datetime) -> bytes:
    """Return the hand-back paper as a PDF.

    Parameters
    ----------
    paper
        What it says.
    size
        "A4" or "Letter".
    folder
        Where `handback.typ` and its `fonts` lie.
    made_at
        The time that stands in the file as when it was made.

    Returns
    -------
    bytes
        One page, or two where there is more to say. The rows that page one has no room for
        stand on page two; only words too long for one page make it longer.
    """
    import typst

    assert size in SIZES, f"no paper of size {size!r}"
    inputs = {"size": SIZES[size]}
    for checks, marks in _fewer_and_fewer(len(paper.checks), len(paper.marks)):
        inputs["paper"] = _as_json(paper, checks, marks)
        compiler = typst.Compiler(
            folder / "handback.typ",
            root=folder,
            font_paths=[folder / "fonts"],
            ignore_system_fonts=True,
            sys_inputs=inputs,
        )
        page = json.loads(compiler.query("<front-end>", field="value", one=True))
        if page == 1:
            break
    made = compiler.compile(format="pdf", timestamp=int(made_at.timestamp()))
    assert isinstance(made, bytes)
    return made


def _fewer_and_fewer(checks: int, marks: int) -> Iterator[tuple[int, int]]:
    """How many rows page one may show: all, then fewer of the longer table at each try."""
    yield checks, marks
    while max(checks, marks) > _FEWEST_ROWS:
        if checks >= marks:
            checks -= 1
        else:
            marks -= 1
        yield checks, marks


def _as_json(paper: HandBack, checks_shown: int, marks_shown: int) -> str:
    data = asdict(replace(paper, checks=(), marks=()))
    data["short"] = short(paper.digest)
    data["title"] = f"{paper.job} {paper.vehicle}"
    data["checks"] = [
        asdict(one) | {"said": f"{one.word[:1].upper()}{one.word[1:]}"} for one in paper.checks
    ]
    data["marks"] = [
        asdict(one) | {"state": str(one.state), "said": _mark_words(one)} for one in paper.marks
    ]
    data["checks_shown"], data["marks_shown"] = checks_shown, marks_shown
    data["facts_more"] = [{"title": title, "text": text} for title, text in paper.more]
    data["more"] = bool(
        paper.parts
        or paper.more
        or paper.accepted
        or checks_shown < len(paper.checks)
        or marks_shown < len(paper.marks)
    )
    data["foot"] = f"{paper.school}. {paper.job}, {paper.vehicle}." + (
        " Demo, invented." if paper.demo else ""
    )
    return json.dumps(data, ensure_ascii=False)


def _mark_words(mark: PaperMark) -> str:
    words = {
        MarkState.WHOLE: "Marked",
        MarkState.AGAIN: "Marked again",
        MarkState.BROKEN: "Broken, to be seen again",
        MarkState.CALLED: "Called",
    }.get(mark.state, "Not marked yet")
    return f"{words}, same person" if mark.same_person else words
