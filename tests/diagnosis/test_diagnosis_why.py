"""What Find says an outcome would mean: the healthy value first, then groups that say something."""

import re

import pytest

from diagnosis.fan_book import SIDES, fan_book, read
from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.groups import EITHER, WIDE, Group, groups
from witnessmark.diagnosis.kinds import LAMP
from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.diagnosis.pair_grid import with_pairs
from witnessmark.diagnosis.run import run
from witnessmark.diagnosis.why import why_sentence
from witnessmark.diagnosis.words import suspect_words
from witnessmark.networks.faults import parse_fault
from witnessmark.networks.solver import solve

SAID = re.compile(r"would read (?:anything from )?−?([\d.]+) (?:to|or) ([\d.]+) V(, depending)?")


def first_advices(sheet):
    """The first test of every complaint of a sheet, and the one that would be next best."""
    for complaint in sheet.complaints:
        found = find_run(sheet, [Observation(complaint=complaint.key, source="here")])
        yield from (one for one in (found.next_test, found.elsewhere) if one)


@pytest.mark.parametrize("name", SHEETS)
def test_no_outcome_lumps_together_what_reads_anything_and_what_reads_one_value(name):
    sheet = circuit(name)
    for advice in first_advices(sheet):
        for low, high, by_degree in SAID.findall(advice.why):
            is_wide = float(high) - float(low) > WIDE * sheet.supply_v
            assert bool(by_degree) or not is_wide, advice.why


@pytest.mark.parametrize("name", SHEETS)
def test_the_healthy_value_comes_first_and_few_suspects_are_named(name):
    sheet = circuit(name)
    for advice in first_advices(sheet):
        if advice.unit:
            assert advice.why.startswith("Why: healthy is "), advice.why
        for phrase in advice.why.split(". "):
            words = re.findall(r"\w+", phrase)
            assert len([part for part in sheet.parts if part.name in words]) <= 4, phrase


def test_a_reason_knows_whether_it_says_a_range():
    advices = [one for name in SHEETS for one in first_advices(circuit(name))]
    said = [bool(re.search(r"\d to −?\d", advice.why)) for advice in advices]
    assert [advice.says_range for advice in advices] == said
    assert any(said) and not all(said)


@pytest.mark.second_way("the healthy circuit and the same circuit with one fault, solved")
def test_what_is_said_to_read_the_same_as_healthy_does():
    sheet = circuit("brake-lamps.toml")
    book, told = dictionary_of(sheet), [Observation(complaint="left", source="here")]
    test = parse_test_key(find_run(sheet, told).next_test.key)
    found = groups(book, weigh(book, told, []), test, told)

    (alike,) = [group for group in found if group.is_healthy]
    healthy = solve(sheet).voltage(test.point, test.state)
    for number in alike.suspects:
        fault = parse_fault(book.suspects[number].key, sheet)
        assert solve(sheet, [(fault,)]).voltage(test.point, test.state) == pytest.approx(
            healthy, abs=0.3
        )
    other = max((group for group in found if not group.is_healthy), key=lambda one: one.share)
    fault = parse_fault(book.suspects[other.suspects[0]].key, sheet)
    assert abs(solve(sheet, [(fault,)]).voltage(test.point, test.state) - healthy) > 1.0


@pytest.mark.second_way("the ground joint of the relay's coil, solved at every severity")
def test_a_joint_that_lets_the_relay_pull_or_not_reads_one_or_the_other():
    sheet = circuit("body-front.toml")
    book, told = dictionary_of(sheet), [Observation(complaint="fan-dead", source="here")]
    advice = find_run(sheet, told).next_test
    test = parse_test_key(advice.key)
    (joint,) = [one for one in groups(book, weigh(book, told, []), test, told) if one.spread]

    assert joint.spread == EITHER
    assert [suspect_words(book.suspects[one]) for one in joint.suspects] == ["G5, high resistance"]
    assert "G5 (high resistance) would read 0.0 or 12.2 V, depending on how bad it is" in advice.why
    assert "G5 (open), F6, F4 or 4 others would read 0.0 V." in advice.why
    read_v = [
        solve(sheet, [(parse_fault(f"G5:high={ohm}", sheet),)]).voltage(test.point, test.state)
        for ohm in (1.0, 10.0, 100.0, 1000.0)
    ]
    assert all(volts < 0.1 or volts > 12.0 for volts in read_v)
    assert min(read_v) < 0.1 < 12.0 < max(read_v)


def test_a_part_is_told_by_its_fault_only_where_its_faults_would_read_differently():
    advice = find_run(
        circuit("trailer-socket.toml"), [Observation(complaint="glow", source="here")]
    ).next_test

    assert "C5 (open), W12 or W7, would read 5.5 V" in advice.why
    assert "C5 (high resistance) would read 0.7 to 3.6 V" in advice.why


def test_two_faults_that_would_read_differently_are_told_by_what_is_wrong_with_each():
    sheet = circuit("body-front.toml")
    told = [Observation(complaint="left-dim"), Observation(complaint="silent")]
    book = with_pairs(sheet, (), dictionary_of(sheet), told, ())
    numbers = {suspect.key: number for number, suspect in enumerate(book.suspects)}
    test = parse_test_key("volts X state=horn")  # horn +
    apart = [
        Group(suspects=(numbers["G1:high + G3:open"],), share=0.5, low=0.0, high=0.0),
        Group(suspects=(numbers["G1:high + G3:high"],), share=0.4, low=7.1, high=11.0),
    ]

    why = why_sentence(book, test, apart, {})

    assert "G1 high resistance and G3 open at once would read 0.0 V" in why
    assert "G1 high resistance and G3 high resistance at once would read 7.1 to 11.0 V" in why


def test_a_lamp_is_said_as_it_is_in_a_healthy_circuit():
    slow = [Observation(complaint="slow")]
    found = run(fan_book(lamp=True), slow, [read("A", "12.5 V"), read("D", "12.2 V")], SIDES)

    assert found.lamp_instead is not None
    assert found.lamp_instead.kind == LAMP
    assert found.lamp_instead.why.startswith("Why: in a healthy circuit the lamp is ")


@pytest.mark.parametrize(
    ("name", "key"), [("brake-lamps.toml", "high-out"), ("headlamps.toml", "dark")]
)
def test_a_reason_says_once_that_one_side_is_bad(name, key):
    """An open part of it and a bad one read two values, and each was called a bad feed."""
    said = find_run(circuit(name), [Observation(complaint=key)]).next_test.why.lower()

    assert [said.count(side) for side in ("a bad feed", "a bad ground path")] in ([1, 0], [0, 1])
    assert said.count("(open)") == said.count("(high resistance)") == 1
