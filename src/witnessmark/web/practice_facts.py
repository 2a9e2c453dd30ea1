"""What the pages of practice print: the test that is chosen, readings so far, the two paths."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import SOMETHING_ELSE, Dictionary, Suspect
from witnessmark.diagnosis.find import caution_of_all
from witnessmark.diagnosis.kinds import KINDS, VOLTS, KindOfTest
from witnessmark.diagnosis.minutes import made_words, minutes_made_of, said_minutes
from witnessmark.diagnosis.observations import TestReading, parse_test_key, reading_of
from witnessmark.diagnosis.offers import standing_after
from witnessmark.diagnosis.path_compared import compared_words
from witnessmark.diagnosis.path_words import beside_words
from witnessmark.diagnosis.practice import brings_complaint, named, stays_put
from witnessmark.diagnosis.practice_answers import meter_words
from witnessmark.diagnosis.practice_review import Review
from witnessmark.diagnosis.practice_steps import Step
from witnessmark.diagnosis.stop import proved_words
from witnessmark.diagnosis.views import healthy_words
from witnessmark.diagnosis.watching import asks_presence
from witnessmark.diagnosis.words import part_words, what_words
from witnessmark.networks import Circuit
from witnessmark.papers.practice_paths import Bar, Lane, paths_svg
from witnessmark.record.models import PracticeAttempt, PracticeCase, PracticeTest
from witnessmark.record.practice import PRESENT, circuit_in, comes_and_goes, hidden_in
from witnessmark.web.drawn import drawn
from witnessmark.web.general import caution_in
from witnessmark.web.practice_drawing import drawing_of
from witnessmark.web.where_done import form_facts, state_for

RANKED = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One line of "Readings so far"."""

    row: PracticeTest
    where: str
    setting: str
    healthy: str
    shown: str
    present: str


def said_of(case: PracticeCase) -> dict[str, Any]:
    """Return what the owner says of a case, without what is hidden."""
    circuit = circuit_in(case)
    told = case.told_keys
    return {
        "circuit": circuit,
        "caution": caution_in(case.text) or caution_of_all(circuit),
        "says": [one.words.rstrip(".") for one in circuit.complaints if one.key in told],
        "comes_and_goes": comes_and_goes(case),
    }


def attempt_facts(attempt: PracticeAttempt, asked: Mapping[str, str]) -> dict[str, Any]:
    """Return what the page of an attempt prints; `asked` says which test is being chosen."""
    case = attempt.case
    circuit, hidden = circuit_in(case), hidden_in(case)
    book = dictionary_of(circuit)
    rows = list(attempt.tests.select_related("expected_aside"))
    readings = readings_of(rows)
    last = readings[-1] if readings else None
    kind = KINDS.get(asked.get("kind", ""), KINDS[last.kind if last else VOLTS])
    told = [one for one in book.troubles if one.key in case.told_keys]
    state = state_for(book, readings, asked.get("state", ""), told[0].state)
    ranking = attempt.rankings.last()
    ranked = list(ranking.named) if ranking else []
    reads = [_read(book, row) for row in rows]
    form = form_facts(book, kind, state, readings, hidden.complaints)
    return (
        said_of(case)
        | form
        | {
            "case": case,
            "attempt": attempt,
            "kinds": KINDS.values(),
            "asks": "Where will you put the probe?" if kind.at_point else "Which part?",
            "act": "Measure" if kind.unit else "Do it",
            "last": reads[-1] if reads else None,
            "last_took": said_minutes(rows[-1].minutes) if rows else "",
            "made_of": _made_of(book, readings) if readings else "",
            "reads": list(reversed(reads)),
            "meter": meter_words(),
            "done": len(rows),
            "minutes": said_minutes(sum(row.minutes for row in rows)),
            "suspects": by_part(book),
            "repairs": repairs_of(book),
            "parts": [(part.name, part_words(part)) for part in book.parts],
            "ranks": rank_fields(ranked),
            "ranked": ranked,
            "drawing": drawing_of(circuit, hidden.complaints, readings, state, ranked),
        }
    )


def rank_fields(parts: Sequence[str]) -> list[tuple[str, str]]:
    """Return the fields of a ranking, each with the part that stands in it."""
    filled = [*parts, *[""] * RANKED][:RANKED]
    return [(f"rank{at}", part) for at, part in enumerate(filled, start=1)]


def readings_of(rows: Iterable[PracticeTest]) -> list[TestReading]:
    """Return the tests of an attempt as readings of its circuit."""
    return [
        reading_of(
            parse_test_key(row.key),
            str(row.number),
            "" if row.outcome else row.text,
            row.outcome,
            PRESENT[row.present],
        )
        for row in rows
    ]


def by_part(book: Dictionary) -> list[tuple[str, list[Suspect]]]:
    """Return the suspects by part, as a list of causes offers them."""
    parts = {part.name: part_words(part) for part in book.parts}
    groups: dict[str, list[Suspect]] = {}
    for suspect in book.suspects:
        if suspect.key != SOMETHING_ELSE:
            groups.setdefault(parts[suspect.part], []).append(suspect)
    return list(groups.items())


def to_hide(circuit: Circuit) -> dict[str, Any]:
    """Return the faults that a teacher may hide, by part; which stay; how many are left out."""
    groups, able = by_part(dictionary_of(circuit)), brings_complaint(circuit)
    offered = [(words, [one for one in found if one.key in able]) for words, found in groups]
    return {
        "suspects": [(words, found) for words, found in offered if found],
        "stays": stays_put(circuit),
        "left_out": sum(len(found) for _, found in groups) - len(able),
    }


def repairs_of(book: Dictionary) -> list[tuple[str, list[str]]]:
    """Return the repairs by part, as the causes are; one that mends two parts under the first."""
    listed: set[str] = set()
    groups = []
    for words, suspects in by_part(book):
        own = list(dict.fromkeys(one.repair for one in suspects if one.repair not in listed))
        listed.update(own)
        if own:
            groups.append((words, own))
    return groups


def review_facts(attempt: PracticeAttempt, found: Review, is_own: bool) -> dict[str, Any]:
    """Return what the review prints; `is_own` where the one who reads it made the attempt."""
    case = attempt.case
    taken = "Your path" if is_own else "Path taken"
    lanes = (
        Lane(title=taken, bars=_bars(found.path, found.told_most_at)),
        Lane(title="Best path", bars=_bars(found.best, 0)),
    )
    rows = list(attempt.tests.select_related("expected_aside"))
    circuit = circuit_in(case)
    book = dictionary_of(circuit)
    suspect = next((one for one in book.suspects if one.key == attempt.end.suspect), None)
    goes, told = comes_and_goes(case), hidden_in(case).complaints
    state = next(one.state for one in book.troubles if one.key in case.told_keys)

    def beside(step: Step, expected: str) -> str:
        test = parse_test_key(step.key)
        may_be_away = goes and asks_presence(book, test, told)
        return beside_words(step.present, may_be_away, expected, is_own)

    return said_of(case) | {
        "case": case,
        "attempt": attempt,
        "end": attempt.end,
        "review": found,
        "head": attempt.end.in_words.capitalize(),
        "named": "" if suspect is None else named(suspect),
        "yours": [
            (step, _shown(row.key, row.text, row.outcome), beside(step, row.expected))
            for step, row in zip(found.path, rows, strict=True)
        ],
        "best": [
            (step, _shown(step.key, step.text, step.outcome), beside(step, ""))
            for step in found.best
        ],
        "says_range": any(step.says_range for step in found.best),
        "wide": drawn(paths_svg(lanes, "pw")),
        "narrow": drawn(paths_svg(lanes, "pn", is_narrow=True)),
        "compared": compared_words(found, is_own),
        "counts_as_proved": proved_words(),
        "drawing": drawing_of(circuit, told, readings_of(rows), state),
        "state_words": book.settings[book.state(state)].words,
        "took": said_minutes(found.minutes),
        "best_took": said_minutes(found.best_minutes),
    }


def _bars(path: Sequence[Step], told_most_at: int) -> tuple[Bar, ...]:
    return tuple(
        Bar(
            number=step.number,
            start_min=step.at_minutes - step.minutes,
            end_min=step.at_minutes,
            belief=step.belief,
            is_wasted=bool(step.wasted),
            told_most=step.number == told_most_at,
        )
        for step in path
    )


def _read(book: Dictionary, row: PracticeTest) -> Read:
    test = parse_test_key(row.key)
    return Read(
        row=row,
        where=what_words(book.places, book.parts, test),
        setting=book.settings[book.state(test.state)].words if test.state else "",
        healthy=healthy_words(book, test),
        shown=_shown(row.key, row.text, row.outcome),
        present=_present(row.present, KINDS[test.kind]),
    )


def _present(present: str, kind: KindOfTest) -> str:
    """Return whether the complaint was there, as it was watched; empty where it was not."""
    before = " before" if kind.changes_complaint else ""
    words = {"yes": f"The complaint was there{before}.", "no": f"The complaint was away{before}."}
    return words.get(present, "")


def _shown(key: str, text: str, outcome: str) -> str:
    """Return an answer as one says it."""
    kind = KINDS[parse_test_key(key).kind]
    said = dict(zip(kind.outcomes, kind.saying, strict=True))
    return said.get(outcome, text.replace("-", "−"))


def _made_of(book: Dictionary, done: Sequence[TestReading]) -> str:
    """Return what the minutes of the last test were made of."""
    last = standing_after([one.test for one in done[:-1]])
    return made_words(minutes_made_of(book, done[-1].test, last))
