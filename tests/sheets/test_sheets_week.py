"""Week sheets: read whole, and every mistake with its line and words to mend it."""

from datetime import date, time
from pathlib import Path

import pytest

import witnessmark
from witnessmark.errors import SheetError
from witnessmark.planning import PlaceKind, Presence
from witnessmark.sheets.week import read_week

EXAMPLE = Path(witnessmark.__file__).parent / "examples/weeks/skerry-point-two-weeks.toml"

GOOD = """\
[week]
name = "Two days"
teacher = "R. Aldane"

[[periods]]
day = 2026-11-24
number = 3
time = "10:40 to 12:00"
section = "Year 2 group"

[[periods]]
day = 2026-11-25
number = 5
time = "14.15 - 15.35"
section = "Year 2 group"
presence = "substitute"
tools_down_min = 15

[[learners]]
name = "Devan"
section = "Year 2 group"
away = ["2026-11-25 period 5"]

[[bays]]
key = "1"
name = "Bay 1"

[[jobs]]
key = "J-114"
name = "Library bus"
promised = 2026-11-25
promised_by = "15:00"

[[jobs.steps]]
key = "pump"
title = "Fit pump"
minutes = 40
people = [1, 2]
"""


def mistakes(text):
    with pytest.raises(SheetError) as caught:
        read_week(text, "two-days.toml")
    return [(one.line, f"{one.found} {one.needed} {one.do}") for one in caught.value.mistakes]


def test_a_week_is_read_whole():
    week = read_week(GOOD, "two-days.toml")
    first, second = week.periods
    assert (first.day, first.start, first.usable_min) == (date(2026, 11, 24), time(10, 40), 70)
    assert (second.presence, second.usable_min) == (Presence.SUBSTITUTE, 65)
    assert week.learners[0].absences == {(date(2026, 11, 25), 5)}
    job = week.jobs[0]
    assert (job.place, job.promised_by) == (PlaceKind.BAY, time(15))
    assert (job.steps[0].people_min, job.steps[0].people_max) == (1, 2)


def test_the_example_is_read():
    week = read_week(EXAMPLE.read_text(encoding="utf-8"), EXAMPLE.name)
    names = ["Devan", "Esme", "Isla", "Joss", "Mika", "Nils", "Oona", "Priya", "Tam", "Wren"]
    assert [one.name for one in week.learners] == names
    assert week.periods[0].name == "Tue 24 Nov, period 3"
    assert {job.key for job in week.jobs} == {"J-114", "J-112", "J-117", "J-109"}
    isla = week.learners[2]
    assert isla.absences == {(date(2026, 11, 26), 3)}


@pytest.mark.parametrize(
    ("old", "new", "line", "said"),
    [
        ('teacher = "R. Aldane"\n', "", 1, "has no 'teacher'"),
        ("number = 3", 'number = "3"', 7, "is '3'. It must be a whole number."),
        ("number = 3", "number = true", 7, "is True. It must be a whole number."),
        ("day = 2026-11-24", 'day = "24 Nov"', 6, "a day without quotes, like 2026-11-24"),
        ("day = 2026-11-24", "day = 2026-11-24T10:00:00", 6, "a day without quotes"),
        ('"10:40 to 12:00"', '"morning"', 8, 'like "10:40 to 12:00"'),
        ('"10:40 to 12:00"', '"12:00 to 10:40"', 5, "A period must end after it starts"),
        ('"substitute"', '"sub"', 16, "must be one of: in, substitute, out"),
        ("tools_down_min = 15", "tools_down_min = 90", 11, "Tools down must lie inside"),
        ("period 5", "period 4", 22, "is away on '2026-11-25 period 4'"),
        ('away = ["2026-11-25 period 5"]', 'away = "Wednesday"', 22, "It must be a list of words"),
        ('away = ["2026-11-25 period 5"]', "away = [3]", 22, "Put each of them in quotes"),
        ('key = "1"', 'key = "1"\nkind = "shelf"', 26, "must be one of: bay, bench"),
        ('"15:00"', '"tea"', 32, "The time of the promise is 'tea'"),
        ("minutes = 40", "minutes = 0", 34, "takes 0 min"),
        ("minutes = 40", "minuts = 40", 37, "Did you mean 'minutes'?"),
        ("people = [1, 2]", "people = [1, 2, 3]", 38, "Write two numbers, like [2, 3]"),
        ("people = [1, 2]", "people = [3, 2]", 34, "is for 3 to 2 people"),
        ("people = [1, 2]", 'needs = ["paint"]', 38, "names step 'paint'"),
        ("people = [1, 2]", 'tools = ["crane"]', 38, "names tool 'crane'"),
        ("[[bays]]", "[[bay]]", 24, "Did you mean 'bays'?"),
        ('name = "Devan"', 'name = "Devan"\npace_percent = 5', 19, "pace of 5 %"),
    ],
)
def test_a_mistake_is_named_with_its_line(old, new, line, said):
    assert GOOD.count(old) >= 1
    found = mistakes(GOOD.replace(old, new, 1))
    assert any(at == line and said in words for at, words in found), found


def test_all_mistakes_are_said_at_once():
    text = GOOD.replace("number = 3", "number = []").replace("minutes = 40", "")
    assert [line for line, _ in mistakes(text)] == [7, 34]


def test_a_sheet_without_periods_says_so():
    start, _, rest = GOOD.partition("[[periods]]")
    text = start + rest[rest.index("[[learners]]") :].replace('away = ["2026-11-25 period 5"]', "")
    assert "The sheet has no period." in mistakes(text)[0][1]
