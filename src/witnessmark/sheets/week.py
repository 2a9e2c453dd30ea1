"""Weeks: periods, learners, bays and jobs as a person writes them, read into a problem."""

import re
from collections.abc import Sequence
from datetime import time

from witnessmark.planning import (
    Bay,
    Job,
    Learner,
    Part,
    Period,
    PlaceKind,
    Presence,
    Step,
    Tool,
    WeekProblem,
    loose_ends,
)
from witnessmark.sheets.entry import Entry
from witnessmark.sheets.toml_text import read_toml

CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)")
SPAN = re.compile(rf"{CLOCK.pattern}\s*(?:to|-|–)\s*{CLOCK.pattern}")
AWAY = re.compile(r"(\d{4})-(\d\d)-(\d\d)(?:\s+period\s+(\d+))?")
TABLES = ("week", "periods", "learners", "bays", "tools", "parts", "jobs")
DEFAULT_TOOLS_DOWN_MIN = 10


def read_week(text: str, name: str) -> WeekProblem:
    """Read a week sheet into the problem that it writes down.

    Parameters
    ----------
    text
        The sheet, as TOML.
    name
        What to call it in sentences: its file name.

    Returns
    -------
    WeekProblem
        Periods, learners, bays, tools, parts and jobs.

    Raises
    ------
    SheetError
        With every mistake and its line.
    """
    sheet = read_toml(text, name)
    top = Entry(sheet, (), sheet.data)
    head = Entry(sheet, ("week",), top.take("week", dict, "a table [week]") or {})
    tables = {table: top.tables(table) for table in TABLES[1:]}
    week_name, teacher = head.words("name"), head.words("teacher")
    head.words("source", "")
    tools_down_min = head.number("tools_down_min", DEFAULT_TOOLS_DOWN_MIN)
    head.no_others()
    top.no_others()

    periods = tuple(_period(one, tools_down_min) for one in tables["periods"])
    learners = tuple(_learner(one, periods) for one in tables["learners"])
    bays = tuple(_bay(one) for one in tables["bays"])
    tools = tuple(_tool(one) for one in tables["tools"])
    parts = tuple(_part(one) for one in tables["parts"])
    jobs = tuple(_job(one) for one in tables["jobs"])
    everything = (periods, learners, bays, tools, parts, jobs)
    if not any(None in table for table in everything):
        for end in loose_ends(*everything):  # type: ignore[arg-type]  # no None is left
            error = end.error
            sheet.mistake(end.path, error.found, error.needed, error.do)
        if not periods:
            sheet.mistake(
                (),
                "The sheet has no period.",
                "A plan needs at least one period of class.",
                "Add a table [[periods]] for each.",
            )
    sheet.finish()
    return WeekProblem(
        name=week_name,
        teacher=teacher,
        periods=tuple(one for one in periods if one),
        learners=tuple(one for one in learners if one),
        bays=tuple(one for one in bays if one),
        tools=tuple(one for one in tools if one),
        parts=tuple(one for one in parts if one),
        jobs=tuple(one for one in jobs if one),
    )


def _period(entry: Entry, tools_down_min: int) -> Period | None:
    day, number = entry.day("day"), entry.number("number")
    written = entry.words("time")
    down_min = entry.number("tools_down_min", tools_down_min)
    section = entry.words("section")
    presence = Presence(entry.one_of("presence", [str(one) for one in Presence], "in"))
    match = SPAN.fullmatch(written.strip())
    if match is None:
        if written:
            entry.note(
                "time",
                f"The time is '{written}'.",
                "A period needs its start and end.",
                'Write them like "10:40 to 12:00".',
            )
        entry.no_others()
        return None
    first_hour, first_minute, last_hour, last_minute = (int(part) for part in match.groups())
    length_min = (last_hour - first_hour) * 60 + last_minute - first_minute
    return entry.make(
        Period,
        day=day,
        number=number,
        start=time(first_hour, first_minute),
        end=time(last_hour, last_minute),
        usable_min=length_min - down_min,
        section=section,
        presence=presence,
    )


def _learner(entry: Entry, periods: Sequence[Period | None]) -> Learner | None:
    name = entry.words("name")
    absences = set()
    for written in entry.many("away"):
        match = AWAY.fullmatch(written.strip())
        gone = [
            period.key
            for period in periods
            if period is not None
            and match is not None
            and period.day.isoformat() == written.strip()[:10]
            and (match[4] is None or period.number == int(match[4]))
        ]
        if match is None or (not gone and None not in periods):
            entry.note(
                "away",
                f"{name} is away on '{written}'.",
                "It must be a day of class, or one period of it.",
                'Write it like "2026-11-24" or "2026-11-24 period 3".',
            )
        absences.update(gone)
    return entry.make(
        Learner,
        key=entry.words("key", name),
        name=name,
        section=entry.words("section"),
        permits=frozenset(entry.many("permits")),
        skills=frozenset(entry.many("skills")),
        practice=frozenset(entry.many("practice")),
        absences=frozenset(absences),
        pace_percent=entry.number("pace_percent", 100),
    )


def _bay(entry: Entry) -> Bay | None:
    return entry.make(
        Bay,
        key=entry.words("key"),
        name=entry.words("name"),
        kind=PlaceKind(entry.one_of("kind", [str(one) for one in PlaceKind], "bay")),
    )


def _tool(entry: Entry) -> Tool | None:
    key = entry.words("key")
    return entry.make(Tool, key=key, name=entry.words("name", key))


def _part(entry: Entry) -> Part | None:
    key = entry.words("key")
    return entry.make(Part, key=key, name=entry.words("name", key), arrives=entry.day("arrives"))


def _job(entry: Entry) -> Job | None:
    steps = [_step(one) for one in entry.tables("steps")]
    by = entry.words("promised_by", "")
    match = CLOCK.fullmatch(by.strip())
    if by and match is None:
        entry.note(
            "promised_by",
            f"The time of the promise is '{by}'.",
            "It must be a time of day.",
            'Write it like "15:00".',
        )
    made = entry.make(
        Job,
        key=entry.words("key"),
        name=entry.words("name"),
        place=PlaceKind(entry.one_of("place", [str(one) for one in PlaceKind], "bay")),
        promised=entry.day("promised", None),
        promised_by=time(int(match[1]), int(match[2])) if match else None,
        bay_now=entry.words("bay_now", "") or None,
        immobile_now=entry.yes("immobile_now"),
        bays=frozenset(entry.many("bays")),
        section=entry.words("section", ""),
        crew_now=frozenset(entry.many("crew_now")),
        may_run_on=entry.yes("may_run_on"),
        weight=entry.number("weight", 1),
        steps=tuple(one for one in steps if one),
    )
    return made if None not in steps else None


def _people(entry: Entry) -> tuple[int, int]:
    found = entry.take("people", (int, list), "a number, or the least and the most: [2, 3]", 1)
    if isinstance(found, list):
        if len(found) == 2 and all(type(one) is int for one in found):
            return found[0], found[1]
        entry.note(
            "people",
            f"'people' of {entry.name} is {found}.",
            "It must be the least and the most people.",
            "Write two numbers, like [2, 3].",
        )
        return 1, 1
    return int(found), int(found)


def _step(entry: Entry) -> Step | None:
    key = entry.words("key")
    least, most = _people(entry)
    return entry.make(
        Step,
        key=key,
        title=entry.words("title", key),
        minutes=entry.number("minutes"),
        people_min=least,
        people_max=most,
        needs=entry.many("needs"),
        hold_min=entry.number("hold_min", 0),
        permits=frozenset(entry.many("permits")),
        skills=frozenset(entry.many("skills")),
        tools=frozenset(entry.many("tools")),
        parts=frozenset(entry.many("parts")),
        practice=frozenset(entry.many("practice")),
        wait_after_min=entry.number("wait_after_min", 0),
        at_place=bool(entry.take("at_place", bool, "true or false", True)),
        immobilises=entry.yes("immobilises"),
        frees=entry.yes("frees"),
        with_substitute=entry.yes("with_substitute"),
    )
