"""What the Find screen prints: the job's circuit, its complaints and readings as one run."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from uuid import UUID

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.find import caution, find_run
from witnessmark.diagnosis.kinds import (
    EYES,
    JUMPER_LEAD,
    KINDS,
    LAMP,
    LIVE_WORK,
    Means,
)
from witnessmark.diagnosis.minutes import made_words, minutes_made_of, said_minutes
from witnessmark.diagnosis.observations import (
    Observation,
    Test,
    TestReading,
    parse_test_key,
    reading_of,
)
from witnessmark.diagnosis.offers import standing_after
from witnessmark.diagnosis.plausible import question_about
from witnessmark.diagnosis.refused import check_reading
from witnessmark.diagnosis.run import FindRun
from witnessmark.diagnosis.watching import asks_presence, is_there
from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit
from witnessmark.people.models import Person
from witnessmark.people.permits import standing
from witnessmark.record.circuits import circuit_of, rates_of
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Complaint, PinnedSheet, Reading, Step
from witnessmark.record.ties import NONE_OF_IT, key_on
from witnessmark.record.values import as_first_made
from witnessmark.shop.models import Shop
from witnessmark.web.find_drawing import drawings

PRESENT = {"yes": True, "no": False, "unknown": None}
GOES = {"yes": True, "no": False}  # said of a complaint: it comes and goes; else nobody said
SOURCES = {"the customer says": "customer", "seen here": "here"}
SHOWN_SUSPECTS = 6
LIVE_PERMIT = "live"


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One line of "Readings so far"."""

    row: Reading
    where: str
    healthy: str
    note: str
    before: Reading | None  # the reading that it replaced
    setting: str = ""  # the state that it was read in, in words


@dataclass(frozen=True, kw_only=True)
class Finding:
    """A job's Find as its screen needs it; the run is worked out when something asks for it."""

    circuit: Circuit
    sheet: PinnedSheet
    complaints: tuple[Observation, ...]
    readings: tuple[TestReading, ...]
    out_of_reach: tuple[str, ...]
    means: Means
    rates: dict[str, float]
    qualified: str

    @cached_property
    def run(self) -> FindRun:
        """Belief, next test, whether to stop."""
        return find_run(
            self.circuit,
            self.complaints,
            self.readings,
            self.out_of_reach,
            self.means,
            self.rates,
            self.qualified,
        )


def find_step(record: JobRecord) -> Step | None:
    """Return the job's step 'Find the cause', if Find was opened."""
    return next((step for step in record.steps if step.kind == "find"), None)


def means_of(shop: Shop, crew: Iterable[Person], lacked: Collection[str] = ()) -> Means:
    """Return what a crew has in hand and may do; a jumper lead needs the permit of one of them."""
    held = standing(person.pk for person in crew)
    permitted = any(levels.get(LIVE_PERMIT, "none") != "none" for levels in held.values())
    tools = {EYES, *shop.find_tools} - (set() if permitted else {JUMPER_LEAD})
    return Means(
        tools=frozenset(tools - set(lacked)),
        permits=frozenset({LIVE_WORK} if permitted else set()),
    )


def finding(
    record: JobRecord,
    shop: Shop,
    out_of_reach: tuple[str, ...] = (),
    means: Means | None = None,
) -> Finding | None:
    """Return a job's circuit and its run, or None if it has no circuit sheet or no step yet."""
    sheet, step = record.sheet("circuit"), find_step(record)
    if sheet is None or step is None:
        return None
    circuit, rates = circuit_of(sheet.text, sheet.title), rates_of(shop)
    complaints = observations(record, sheet, circuit)
    readings = tuple(
        reading
        for row in as_first_made(record.of_step(record.readings, step))
        if row.is_standing and (reading := test_reading(circuit, row, rates)) is not None
    )
    return Finding(
        circuit=circuit,
        sheet=sheet,
        complaints=complaints,
        readings=readings,
        out_of_reach=out_of_reach,
        means=means or means_of(shop, ()),
        rates=rates,
        qualified=shop.qualified,
    )


def observations(
    record: JobRecord, sheet: PinnedSheet, circuit: Circuit
) -> tuple[Observation, ...]:
    """Return the job's standing complaints that are tied to one of the sheet's."""
    known = {complaint.key for complaint in circuit.complaints}
    return tuple(
        Observation(complaint=row.key, source=SOURCES[row.trust], comes_and_goes=row.comes_and_goes)
        for row in record.complaints
        if row.is_standing and key_on(row, sheet) in known
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tied:
    """A complaint as the sheet has it, or in its own words where the sheet has none like it."""

    id: UUID
    key: str
    words: str
    who: str
    comes_and_goes: bool | None
    was_asked: bool  # on this sheet or another: whether it comes and goes was asked too
    is_said: bool  # of the same complaint, by anybody: whether it comes and goes

    @property
    def said(self) -> str:
        """Return whether it comes and goes, as its form says it."""
        return {True: "yes", False: "no", None: ""}[self.comes_and_goes]


def _tied(row: Complaint, words: str) -> Tied:
    return Tied(
        id=row.pk,
        key=row.key or "",
        words=words,
        who=row.who,
        comes_and_goes=row.comes_and_goes,
        was_asked=row.sheet_id is not None or row.key is not None,
        is_said=row.comes_and_goes is not None,
    )


def tied(record: JobRecord, found: Finding) -> list[Tied]:
    """Return the standing complaints that are tied to the sheet, in the sheet's words."""
    known = {complaint.key: complaint.words for complaint in found.circuit.complaints}
    rows = [
        _tied(row, known[row.key])
        for row in record.complaints
        if row.is_standing and key_on(row, found.sheet) in known
    ]
    said = {row.key for row in rows if row.is_said}
    return [replace(row, is_said=row.key in said) for row in rows]


def goes_by_intake(happens: str) -> str:
    """Return whether the complaint comes and goes, by the intake: "yes", "no", or "" for unsaid."""
    words = {word.strip() for word in happens.split(",")} - {"", "Not sure"}
    if not words:
        return ""
    return "no" if "Always" in words else "yes"


def untied(record: JobRecord, found: Finding) -> list[Tied]:
    """Return the standing complaints that nobody has tied to the sheet yet."""
    known = {complaint.key for complaint in found.circuit.complaints} | {NONE_OF_IT}
    return [
        _tied(row, row.words)
        for row in record.complaints
        if row.is_standing and key_on(row, found.sheet) not in known
    ]


def set_aside(record: JobRecord, found: Finding) -> list[Tied]:
    """Return the standing complaints of which somebody said that the sheet has none like it."""
    return [
        _tied(row, row.words)
        for row in record.complaints
        if row.is_standing and key_on(row, found.sheet) == NONE_OF_IT
    ]


def test_reading(circuit: Circuit, row: Reading, rates: dict[str, float]) -> TestReading | None:
    """Return a kept row as a reading of this circuit; None if it is of something else."""
    try:
        reading = reading_of(
            parse_test_key(row.key),
            id=str(row.pk),
            text=row.text,
            outcome=row.outcome,
            present=PRESENT[row.present],
        )
        check_reading(dictionary_of(circuit, rates), reading)
    except BenchError:
        return None
    return reading


def typed_reading(
    circuit: Circuit, rates: dict[str, float], key: str, text: str, outcome: str, answered: str
) -> TestReading:
    """Return what was typed as a reading of this circuit; refuse what cannot be.

    What no fault on the sheet gives is asked about, unless that was `answered` already.
    """
    book = dictionary_of(circuit, rates)
    reading = reading_of(parse_test_key(key), id="new", text=text, outcome=outcome)
    check_reading(book, reading)
    question = question_about(book, reading)
    if question is not None and question.found != answered:
        raise question
    return reading


def must_be_believable(
    sheet: PinnedSheet, shop: Shop, row: Reading, text: str, answered: str
) -> None:
    """Refuse a correction of a test as its entry would be; what is no test has no circuit."""
    try:
        parse_test_key(row.key)
    except BenchError:
        return
    circuit = circuit_of(sheet.text, sheet.title)
    volts, outcome = ("", text) if row.outcome else (text, "")
    typed_reading(circuit, rates_of(shop), row.key, volts, outcome, answered)


def _minutes(found: Finding) -> dict[str, str]:
    """Return the minutes of the next test, and what they are made of."""
    advice = found.run.next_test
    if advice is None:
        return {"minutes": "", "made_of": ""}
    last = standing_after([reading.test for reading in found.readings])
    book = dictionary_of(found.circuit, found.rates)
    made = minutes_made_of(book, parse_test_key(advice.key), last)
    return {"minutes": said_minutes(made.total), "made_of": made_words(made)}


def gone(rows: list[Tied], run: FindRun) -> list[Tied]:
    """Return each complaint that is not there now, unless one of them is said to come and go."""
    away = [row for row in rows if row.key in run.not_there]
    if any(row.comes_and_goes for row in away):
        return []
    first: dict[str, Tied] = {}
    for row in away:
        first.setdefault(row.key, row)
    return list(first.values())


def _presence(found: Finding, test: Test) -> dict[str, Any]:
    """Return whether it is asked if the complaint is there, whether "Yes" stands, and of which."""
    book, away = dictionary_of(found.circuit, found.rates), found.run.not_there
    told = {one.complaint for one in found.complaints}
    here = [one for one in found.circuit.complaints if one.key in told and one.state == test.state]
    return {
        "asks_presence": asks_presence(book, test, found.complaints),
        "shows_complaint": is_there(book, test, found.complaints, away),
        "which_there": [one.words for one in here] if len(told) > 1 else [],
    }


def run_facts(found: Finding, rows: list[Reading], asks: bool = True) -> dict[str, Any]:
    """Return what the template prints of a run; the drawing shows the probe only if it `asks`."""
    run = found.run
    advice = run.next_test
    asks_lamp = advice is not None and advice.kind == LAMP
    views = {view.id: view for view in run.readings}
    replaced = {row.replaces_id: row for row in rows if row.replaces_id}
    before = {newer.pk: row for row in rows if (newer := replaced.get(row.pk))}
    return {
        "circuit": found.circuit,
        "sheet": found.sheet,
        "run": run,
        "advice": advice,
        "asks_lamp": asks_lamp,
        "asked_kind": KINDS[advice.kind] if advice else None,
        **(_presence(found, parse_test_key(advice.key)) if advice else {}),
        "place": "" if advice is None else advice.point or advice.part,
        "elsewhere": run.elsewhere.point or run.elsewhere.part if run.elsewhere else "",
        "tool": "" if advice is None else KINDS[advice.kind].tool,
        "lamp": advice if asks_lamp else run.lamp_instead,
        "caution": ""
        if advice is None
        else caution(found.circuit, advice.state, found.rates, found.complaints),
        **_minutes(found),
        "suspects": run.belief[:SHOWN_SUSPECTS],
        "others": len(run.belief) - SHOWN_SUSPECTS,
        "state_words": next(s.words for s in found.circuit.states if s.name == run.state),
        "reads": [
            Read(
                row=row,
                where=view.where if (view := views.get(str(row.pk))) else row.what,
                healthy=view.healthy if view else "",
                note=view.note if view else "",
                before=before.get(row.pk),
                setting=view.state if view else "",
            )
            for row in reversed(rows)
            if row.is_standing
        ],
        **drawings(found.circuit, run if asks else replace(run, next_test=None), found.complaints),
    }
