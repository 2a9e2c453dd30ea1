"""Watching a load: what else works, whether the complaint is there, and what that is worth."""

from dataclasses import replace

import numpy as np
import pytest

from diagnosis.bench_play import Vehicle
from diagnosis.sheets_shipped import SHEETS, circuit
from diagnosis.test_diagnosis_kinds import sign
from witnessmark.diagnosis import observations as o
from witnessmark.diagnosis import sentences
from witnessmark.diagnosis.answers import ASK_WHEN, NOT_THERE
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.find import caution, find_run
from witnessmark.diagnosis.kinds import EVERYTHING, EYES, WATCH, means
from witnessmark.diagnosis.offers import menu_of, minutes_of, standing_after
from witnessmark.diagnosis.outcomes import sign_chances
from witnessmark.diagnosis.practice import draw
from witnessmark.diagnosis.practice_answers import answer
from witnessmark.diagnosis.practice_offers import refuse
from witnessmark.diagnosis.watching import asks_presence
from witnessmark.errors import BenchError
from witnessmark.networks import parse_fault
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.solver import solve

RIGHT, NOT_RIGHT = "as it should", "not as it should"


def watched(part, state):
    return o.Test(kind=WATCH, part=part, state=state)


def seen(key, source="here", **more):
    return o.Observation(complaint=key, source=source, **more)


def power(sheet, solved, test):
    """Power of a load in the state of a test, by scenario. [W]"""
    part, at = sheet.part(test.part), solved.state_place[test.state]
    first, second = (solved.point_place[end] for end in (part.first, part.second))
    across = solved.volts[:, at, first] - solved.volts[:, at, second]
    return np.abs(across * solved.currents[:, at, solved.piece_place[test.part]])


def suspects(book, *readings, said):
    weighed = weigh(book, [said], readings)
    return dict(zip((one.key for one in book.suspects), weighed.suspects.tolist(), strict=True))


@pytest.mark.second_way("each fault solved alone: does the load get less than half, or all")
@pytest.mark.parametrize("name", ["headlamps.toml", "fan.toml"])
def test_a_load_that_gets_little_is_seen_not_to_be_right(name):
    sheet, book = circuit(name), dictionary_of(circuit(name))
    faults = [mode.faults[0] for mode in fault_modes(sheet) if mode.faults[0].value is None]
    solved = solve(sheet, [(), *((fault,) for fault in faults)])
    seen_bad = seen_well = 0
    for test in (one for one in menu_of(book, EVERYTHING).tests if one.kind == WATCH):
        watts = power(sheet, solved, test)
        if watts[0] < 1.0:
            continue
        chances = sign_chances(book, test)
        for number, fault in enumerate(faults, start=1):
            key = f"{fault.piece or fault.part}:{fault.mode}"
            own = [n for n, at in enumerate(book.suspect) if book.suspects[at].key == key]
            if watts[number] < 0.5 * watts[0]:
                seen_bad += len(own)
                assert (chances[own] > 0.9).all(), (test.key, key)
            elif watts[number] > 0.99 * watts[0]:
                seen_well += len(own)
                assert (chances[own] < 0.1).all(), (test.key, key)

    assert seen_bad > 5
    assert seen_well > 0


@pytest.mark.reference("common practice, no published source: what fails together shares a part")
def test_what_else_works_parts_the_shared_path_from_the_lamps_own():
    book, said = dictionary_of(circuit("headlamps.toml")), seen("dark")
    told = next(one for one in book.troubles if one.key == "dark")
    before = suspects(book, said=said)
    other = next(
        part.name for part in book.parts if part.may_watch and part.name not in (told.load, "L3")
    )
    works = suspects(book, sign(f"watch {other} state={told.state}", RIGHT), said=said)
    dead = suspects(book, sign(f"watch {other} state={told.state}", NOT_RIGHT), said=said)
    own, shared = f"{told.load}:open", "F2:blown"

    assert works[own] > before[own] > dead[own]
    assert works[shared] < before[shared] < dead[shared]
    assert works[shared] < 0.05 * works[own]


@pytest.mark.second_way("Bayes by hand, with the faults that come and go counted twice")
def test_the_posterior_moves_by_the_ratio_of_the_chances():
    book, said = dictionary_of(circuit("fan.toml")), seen("stays-on")
    test = watched("Fan", "off")
    reading = sign(test.key, NOT_RIGHT, present=None)
    one, two = (
        next(n for n, x in enumerate(book.suspect) if book.suspects[x].key == key)
        for key in ("K3:stuck-closed", "G7:open")
    )
    chance = sign_chances(book, test)
    goes = book.comes_and_goes
    before, after = weigh(book, [said], []), weigh(book, [said], [reading])
    moved = (after.belief[one] / after.belief[two]) / (before.belief[one] / before.belief[two])
    idle = 1.0 / (1.0 + np.exp(0.25 / 0.06))  # that a load at rest looks as if it ran
    here, away = 0.5, 1.0 - (1.0 - idle) * 0.974 - idle * 0.020  # there half of the time
    expected = [
        (1 - goes[n]) * chance[n] + goes[n] * (here * chance[n] + (1 - here) * away)
        for n in (one, two)
    ]

    assert moved == pytest.approx(expected[0] / expected[1], rel=1e-6)


def test_a_fan_that_stays_on_is_watched_before_anything_is_measured():
    found = find_run(circuit("fan.toml"), [seen("stays-on")], [], means=means(["meter", EYES]))

    assert found.next_test.key == "watch Fan state=off"
    assert found.next_test.sentence.endswith("does it stay off as it should?")
    assert [choice.outcome for choice in found.next_test.choices] == [NOT_RIGHT, RIGHT]
    assert "ith K3 or S2 (contacts do not open) it would be on" in found.next_test.why


@pytest.mark.reference("common practice, no published source: a cause is measured, not guessed")
@pytest.mark.parametrize(
    ("name", "key", "fault", "wiggled"),
    [
        ("interior-lamp.toml", "dark-left", "LF:open", ()),
        ("headlamps.toml", "dim", "C1:high=2", ("wiggle C1 state=head",)),
    ],
)
def test_nothing_is_named_on_what_was_only_watched_or_wiggled(name, key, fault, wiggled):
    sheet, said = circuit(name), [seen(key)]
    vehicle = Vehicle(sheet, parse_fault(fault, sheet), 3)
    menu = menu_of(dictionary_of(sheet), EVERYTHING, said)
    readings = [vehicle.answer(test) for test in menu.tests if test.kind == WATCH]
    readings += [sign(one, "changes") for one in wiggled]
    found = find_run(sheet, said, readings, means=EVERYTHING)
    lead = found.belief[0].part

    assert fault.startswith(lead)
    assert sum(one.share for one in found.belief if one.part == lead) > 0.92
    assert found.stop.kind != "cause"
    readings.append(vehicle.answer(o.parse_test_key(found.next_test.key)))
    if readings[-1].kind != WATCH:  # one reading more, and it is named
        assert find_run(sheet, said, readings, means=EVERYTHING).stop.kind == "cause"


def test_a_complaint_that_is_not_there_when_watched_clears_nobody_that_comes_and_goes():
    sheet, said = circuit("fan.toml"), seen("dead", "customer")
    watch = sign("watch Fan state=run", RIGHT, present=True)
    alike = [
        suspects(dictionary_of(sheet), replace(watch, present=there), said=said)
        for there in (True, False, None)
    ]
    found = find_run(sheet, [said], [watch])
    joint = suspects(dictionary_of(sheet), watch, said=said)["G7:open"]
    fuse = suspects(dictionary_of(sheet), watch, said=said)["F12:blown"]
    before = suspects(dictionary_of(sheet), said=said)

    assert found.readings[0].note == NOT_THERE + ASK_WHEN
    assert alike[0] == alike[1] == alike[2]
    assert find_run(sheet, [said], [replace(watch, outcome=NOT_RIGHT)]).readings[0].note == ""
    # A joint may come and go; a blown fuse stays blown.
    assert joint / before["G7:open"] > 5 * fuse / before["F12:blown"]


@pytest.mark.reference("the program's own minute for a test, without access; no published source")
def test_whoever_watches_stays_where_the_hands_are():
    book = dictionary_of(circuit("fan.toml"))
    at_e = o.Test(kind="volts", point="E", state="run")
    again = o.Test(kind="volts", point="E", state="off")
    watch = watched("Fan", "off")
    after = standing_after([at_e, watch])

    assert minutes_of(book, watch, None) == 1.0
    assert after.place == "E" and after.state == "off"
    assert minutes_of(book, again, after) == minutes_of(book, again, again)
    assert minutes_of(book, again, watch) > minutes_of(book, again, after)


def test_only_loads_that_one_sees_or_hears_are_watched():
    book = dictionary_of(circuit("fan.toml"))
    with pytest.raises(BenchError, match="Nobody sees or hears whether F12 works"):
        find_run(circuit("fan.toml"), [seen("dead")], [sign("watch F12 state=run", RIGHT)])
    offered = {test.part for test in menu_of(book, EVERYTHING).tests if test.kind == WATCH}

    assert offered == {"Fan"}
    assert not any(test.kind == WATCH for test in menu_of(book, means(["meter"])).tests)


def test_it_is_said_as_one_says_it():
    book = dictionary_of(circuit("headlamps.toml"))
    lit = watched("L2", "head")

    assert sentences.test_sentence(book, lit).endswith("does it work as it should?")
    assert sentences.entry_label(book, lit) == "L2, watched"
    assert o.parse_test_key(lit.key) == lit


@pytest.mark.second_way("the hidden fault solved alone")
@pytest.mark.parametrize("name", SHEETS)
def test_a_practice_case_shows_each_load_as_its_hidden_fault_leaves_it(name):
    sheet, book = circuit(name), dictionary_of(circuit(name))
    agreed = asked = 0
    for seed in range(12):
        hidden = draw(sheet, seed)
        if hidden.comes_and_goes:
            continue
        solved = solve(sheet, [(), (hidden.fault,)])
        for test in (t for t in menu_of(book, EVERYTHING).tests if t.kind == WATCH):
            watts = power(sheet, solved, test)
            if watts[0] < 1.0 or 0.6 < watts[1] / watts[0] < 0.95:
                continue
            refuse(sheet, hidden, test)
            shown = answer(sheet, hidden, seed, [], test)
            assert shown.outcome == answer(sheet, hidden, seed, [test.key], test).outcome
            asked += 1
            agreed += (shown.outcome == RIGHT) == (watts[1] > 0.9 * watts[0])

    assert asked > 5
    assert agreed > 0.9 * asked


@pytest.mark.parametrize("goes", [True, None])
def test_whether_the_complaint_was_there_is_not_asked_where_it_is_seen(goes):
    book, said = dictionary_of(circuit("fan.toml")), seen("dead", comes_and_goes=goes)
    readings = [sign("watch Fan state=run", NOT_RIGHT, present=one) for one in (True, False, None)]
    found = [suspects(book, one, said=said) for one in readings]

    assert found[0] == found[1] == found[2]
    assert all(find_run(circuit("fan.toml"), [said], [one]).readings[0].counted for one in readings)


def test_looking_twice_at_the_same_is_one_observation():
    book, said = dictionary_of(circuit("fan.toml")), seen("slow", "customer")
    once = sign("watch Fan state=run", NOT_RIGHT)
    one = weigh(book, [said], [once])
    twice = weigh(book, [said], [once, replace(once, id="again")])

    assert np.array_equal(one.belief, twice.belief)


def test_something_that_is_not_on_the_sheet_shows_the_complaint_too():
    book, said = dictionary_of(circuit("fan.toml")), seen("slow")
    before = suspects(book, said=said)["something else"]
    after = suspects(book, sign("watch Fan state=run", NOT_RIGHT), said=said)["something else"]

    assert after >= before


def test_a_motor_that_is_said_to_run_unasked_is_warned_of():
    sheet = circuit("fan.toml")

    assert caution(sheet, "off") == ""
    assert caution(sheet, "off", complaints=[seen("dead")]) == ""
    assert caution(sheet, "off", complaints=[seen("stays-on")]).startswith("Fan runs in this state")


def test_a_complaint_is_not_there_until_it_is_seen_again():
    sheet, said = circuit("headlamps.toml"), [seen("dark", "customer"), seen("dim", "customer")]
    told = {one.key: one for one in sheet.complaints}
    well, amiss = (
        [sign(watched(told[key].load, told[key].state).key, outcome) for key in ("dark", "dim")]
        for outcome in (RIGHT, NOT_RIGHT)
    )
    states = {told[key].state for key in ("dark", "dim")}
    others = [
        sign(test.key, RIGHT, present=True)
        for test in menu_of(dictionary_of(sheet), EVERYTHING).tests
        if test.kind == WATCH and test.part not in (told["dark"].load, told["dim"].load)
    ]
    other = next(one for one in others if one.test.state in states)
    elsewhere = next(one for one in others if one.test.state not in states)

    def not_there(*readings):
        return find_run(sheet, said, readings).not_there

    assert not_there() == not_there(amiss[0]) == not_there(other) == ()
    assert not_there(well[0])[:1] == ("dark",)
    assert not_there(amiss[0], well[0])[:1] == ("dark",)
    assert not_there(well[0], amiss[0]) == ()
    assert not_there(well[0], other) == ()  # the complaint was there meanwhile
    assert not_there(well[0], replace(other, present=None))[:1] == ("dark",)
    assert not_there(well[0], elsewhere)[:1] == ("dark",)  # where nobody can see it
    # Of one that comes and goes it is enough that the crew says so; any test may have shown it.
    away = replace(other, present=False)
    assert not_there(away) == not_there(away, amiss[0]) == ()
    said[0] = replace(said[0], comes_and_goes=True)
    assert not_there(away) == not_there(amiss[0], away) == ("dark",)
    assert not_there(replace(elsewhere, present=False)) == ()
    assert not_there(away, replace(other, present=True)) == ()
    said.append(seen("dark"))  # seen here too, and nobody asked again whether it comes and goes
    assert not_there(replace(other, present=True), away) == ("dark",)


def test_whether_the_complaint_was_there_is_asked_where_the_test_does_not_show_it():
    sheet = circuit("headlamps.toml")
    book, said = dictionary_of(sheet), [seen("dark")]
    own = next((one.load, one.state) for one in sheet.complaints if one.key == "dark")
    tests = menu_of(book, EVERYTHING).tests
    asked = {one for one in tests if asks_presence(book, one, said)}

    assert {(one.part, one.state) for one in asked if one.kind == WATCH} | {own} == {
        (one.part, one.state) for one in tests if one.kind == WATCH and one.state == own[1]
    }
    assert watched(*own) not in asked
    assert {one.state for one in asked} == {own[1]} < {one.state for one in tests}
    assert not {one.kind for one in asked} & {"look", "ohms", "wiggle"}
    assert {"volts", "lamp", "heat"} <= {one.kind for one in asked}


def test_that_a_complaint_was_away_where_nobody_can_see_it_says_nothing():
    """Else "No, it was away", said with all switched off, made a steady fault fifty times rarer."""
    sheet, said = circuit("fan.toml"), [seen("dead")]
    off = o.reading_of(o.parse_test_key("volts A state=off"), "1", "12.5 V")
    unsure, away, there = (
        find_run(sheet, said, [replace(off, present=one)]) for one in (None, False, True)
    )
    assert away.belief == unsure.belief == there.belief
    assert away.readings[0].counted and not away.readings[0].note


def test_a_note_says_when_the_complaint_was_away():
    sheet, said = circuit("fan.toml"), [seen("dead", comes_and_goes=True)]
    swapped, measured = (
        sign("swap G7 state=run", "works", present=False),
        o.reading_of(o.parse_test_key("volts E state=run"), "2", "0.18 V", present=False),
    )
    found = find_run(sheet, said, [swapped, measured], means=EVERYTHING)

    assert [one.note for one in found.readings] == [
        "The complaint was away before this test, so it clears nobody.",
        "The complaint was away during this test, so it clears nobody.",
    ]


def test_a_look_counts_though_the_complaint_was_away():
    sheet, said = circuit("fan.toml"), [seen("dead", comes_and_goes=True)]
    found = find_run(sheet, said, [sign("look C4", "sound", present=False)], means=EVERYTHING)

    assert found.readings[0].counted and "clears nobody" not in found.readings[0].note
