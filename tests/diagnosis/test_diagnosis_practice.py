"""Practice cases: what is hidden, what the circuit answers, what is refused."""

import re
from dataclasses import replace

import numpy as np
import pytest

from diagnosis.bench_play import Vehicle, every_complaint
from diagnosis.sheets_shipped import SHEETS, circuit
from networks.ngspice import _by_ngspice as by_ngspice
from witnessmark.diagnosis.belief import METERS, meter_uncertainty
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import Mixture
from witnessmark.diagnosis.graded import single_faults
from witnessmark.diagnosis.kinds import EVERYTHING, HEAT, KINDS, LOOK, WIGGLE
from witnessmark.diagnosis.observations import Test, parse_test_key, reading_of
from witnessmark.diagnosis.offers import menu_of
from witnessmark.diagnosis.outcomes import sign_chances
from witnessmark.diagnosis.practice import (
    brings_complaint,
    draw,
    fuses_it_blows,
    hidden_from,
    stays_put,
)
from witnessmark.diagnosis.practice_answers import DIGITS, _chance, answer, meter_words, shown
from witnessmark.diagnosis.practice_offers import minutes_taken, refuse
from witnessmark.errors import BenchError
from witnessmark.networks import fault_modes, netlist

FAN = circuit("fan.toml")
GROUND = hidden_from(FAN, "G7:high=0.8")
SHORT = hidden_from(FAN, "W1:short-to-ground=0.02")
LOOSE = hidden_from(FAN, "G7:high=0.8", comes_and_goes=True)


def ask(hidden, key, seed=1, earlier=(), watched=False, sheet=FAN):
    return answer(sheet, hidden, seed, list(earlier), parse_test_key(key), watched)


@pytest.mark.second_way("the complaints that a simulated vehicle with the fault brings")
@pytest.mark.parametrize("name", SHEETS)
def test_somebody_would_complain_of_every_fault_that_is_hidden(name):
    sheet = circuit(name)
    for seed in range(12):
        hidden = draw(sheet, seed)
        brought = {one.complaint for one in every_complaint(sheet, (hidden.fault,))}

        assert hidden.complaints
        assert {one.complaint for one in hidden.complaints} <= brought
        assert hidden_from(sheet, str(hidden.fault)) == hidden


@pytest.mark.second_way("the rates of the sheet, among the faults that bring its complaint")
def test_faults_are_hidden_as_often_as_their_rates_say():
    drawn = [draw(FAN, seed).fault.key for seed in range(400)]
    expected = {
        mode.key: mode.weight
        for mode in fault_modes(FAN)
        if all(every_complaint(FAN, (fault,)) for fault in mode.faults)
    }
    # Modes all of whose severities are complained of stand to each other as their rates do.
    ours = np.array([drawn.count(key) for key in expected], dtype=float)
    theirs = np.array(list(expected.values()))
    theirs *= ours.sum() / theirs.sum()
    chi2 = ((ours - theirs) ** 2 / theirs).sum()

    assert ours.sum() > 150
    assert chi2 < len(expected) + 4 * np.sqrt(2 * len(expected))


def test_a_teacher_chooses_the_fault_and_the_seed_how_bad_it_is():
    hidden = [draw(FAN, seed, chosen="G7:high") for seed in (1, 2, 1)]

    assert {one.suspect for one in hidden} == {"G7:high"}
    assert hidden[0] == hidden[2]
    assert hidden[0].fault.value != hidden[1].fault.value


@pytest.mark.second_way("hiding each fault, one after another")
@pytest.mark.parametrize("name", ["fan.toml", "horn.toml"])
def test_the_faults_to_choose_from_are_those_that_can_be_hidden(name):
    sheet = circuit(name)
    able = brings_complaint(sheet)
    for suspect in dictionary_of(sheet).suspects[:-1]:
        try:
            draw(sheet, 1, chosen=suspect.key)
        except BenchError as error:
            assert "brings none of the complaints" in str(error)
            assert suspect.key not in able
        else:
            assert suspect.key in able


@pytest.mark.parametrize(
    ("chosen", "goes", "words"),
    [
        ("Q1:open", False, "The sheet has no such fault"),
        ("BAT:weak", False, "brings none of the complaints"),
        ("F12:blown", True, "does not come and go"),
        ("W1:short-to-ground", True, "a fuse that a short has blown"),
    ],
)
def test_a_fault_that_cannot_be_hidden_is_refused(chosen, goes, words):
    with pytest.raises(BenchError, match=words):
        draw(FAN, 1, chosen=chosen, comes_and_goes=goes)


@pytest.mark.parametrize("name", ["fan.toml", "horn.toml", "starting.toml"])
def test_what_is_offered_as_always_there_is_what_is_refused_as_coming_and_going(name):
    sheet = circuit(name)
    refused = set()
    for key in brings_complaint(sheet):
        try:
            assert draw(sheet, 1, key, comes_and_goes=True).suspect == key
        except BenchError as error:
            assert "does not come and go" in error.found
            refused.add(key)
    assert stays_put(sheet) == refused
    assert any("blown" in key for key in refused) and any("short" in key for key in refused)


@pytest.mark.second_way("ngspice, the same netlist with the hidden fault in it")
def test_every_volts_answer_lies_within_the_meters_noise_of_ngspice(tmp_path):
    far, in_u = [], []
    digit = np.hypot(0.01, 0.01 / np.sqrt(12.0))  # the last one moves, and is rounded
    for name in SHEETS:
        sheet = circuit(name)
        for seed in (3, 4):
            hidden = draw(sheet, seed)
            states = [state.name for state in sheet.states]
            texts = [netlist(sheet, state, (hidden.fault,)) for state in states]
            for state, volts in zip(states, by_ngspice(texts, tmp_path), strict=True):
                keys = [point.key for point in sheet.points]
                for point in sheet.lettered:
                    true = volts[keys.index(point.key)]
                    test = Test(kind="volts", point=point.letter, state=state)
                    another_meter = 1000 * seed + len(far)
                    shown = answer(sheet, hidden, another_meter, [], test)
                    read = float(shown.text.removesuffix(" V"))
                    far.append((read - true) / np.hypot(METERS["volts"].gain * true, digit))
                    in_u.append((read - true) / float(meter_uncertainty(true, 0.01)))

    assert len(far) > 150
    assert np.abs(far).max() < 4.5  # of so many, none is farther off by chance
    assert np.abs(in_u).max() < 4.5  # nor does it surprise Find
    assert np.std(far) == pytest.approx(1.0, abs=0.15)
    assert np.mean(far) == pytest.approx(0.0, abs=0.2)


@pytest.mark.second_way("a simulated vehicle that draws lamp and jumper into the circuit")
@pytest.mark.parametrize("name", ["fan.toml", "horn.toml"])
def test_the_other_kinds_answer_as_a_vehicle_does_that_is_solved_apart(name):
    sheet, apart, lamps = circuit(name), [], []
    for seed in (2, 11):
        hidden = draw(sheet, seed)
        vehicle = Vehicle(sheet, hidden.fault, seed, list(hidden.complaints))
        book = dictionary_of(sheet)
        told = next(t for t in book.troubles if t.key == hidden.complaints[0].complaint)
        state = told.state
        tests = [t for t in menu_of(book, EVERYTHING, hidden.complaints).tests if t.state == state]
        tests += [
            Test(kind="jumper", part=part.name, state=state)
            for part in book.parts
            if not part.no_jumper and told.look != "on"  # that vehicle calls it healthy then
        ]
        for test in tests:
            shown = answer(sheet, hidden, seed, [], test)
            if test.kind in ("swap", "jumper"):
                assert shown.outcome == vehicle.answer(test).outcome, test.key
            elif test.kind == "clamp":
                true = vehicle.size(test)
                read = float(shown.text.removesuffix(" A"))
                apart.append((read - true) / float(meter_uncertainty(true, 0.1, METERS["clamp"])))
            elif test.kind == "lamp":
                lamps.append(shown.outcome == vehicle.lamp(test))

    assert len(apart) > 1 and np.abs(apart).max() < 4.5
    assert len(lamps) > 20 and np.mean(lamps) > 0.85  # one in thirty is called by another name


def test_one_case_is_read_with_one_meter():
    """It may read high as a whole; between its own readings only contact and last digits differ."""
    keys = [f"volts {point} state=run" for point in "ABCABCABC"]
    ups = []
    for seed in range(60):
        answers = [ask(GROUND, key, seed=seed, earlier=keys[:n]) for n, key in enumerate(keys)]
        read = [float(one.text.removesuffix(" V")) for one in answers]
        ups.append([later - first for first, later in zip(read[:3], read[3:6], strict=True)])
    floor_v = METERS["volts"].floor
    assert np.std(ups) < 2 * floor_v  # of a difference of two, the square root of two times it


@pytest.mark.second_way("the fault's own sizes, solved without a meter, beside 300 meters")
def test_the_meters_read_as_high_or_low_as_the_page_says():
    """Nine meters in ten are no farther off, and not all are exact."""
    said = dict(re.findall(r"(volts|ohms|clamp)(?: may read about)? (\d)%", meter_words()))
    assert set(said) == set(METERS)
    found, book = shown(FAN, GROUND.fault), dictionary_of(FAN)
    run, healthy_coil = book.state("run"), found.ohms[0, book.part("K3")]
    cases = {
        "volts A state=run": found.volts[1, run, book.point("A")],
        "clamp W1 state=run": found.amps[1, run, book.part("W1")],
        "ohms K3": healthy_coil,
    }
    for key, true in cases.items():
        read = [float(ask(GROUND, key, seed=seed).text.split()[0]) for seed in range(300)]
        kind = key.split()[0]
        digit = 10.0 ** -DIGITS[kind]
        far = np.abs(np.array(read) - true) > int(said[kind]) / 100 * true + digit
        assert far.mean() < 0.1, key
        assert np.std(read) > 0.4 * int(said[kind]) / 100 * true, key


def test_the_same_seed_and_the_same_tests_give_the_same_answers():
    keys = ["volts E state=run", "lamp C state=run", "volts E state=run", "look F12"]
    twice = [[ask(GROUND, key, earlier=keys[:n]) for n, key in enumerate(keys)] for _ in range(2)]

    assert twice[0] == twice[1]
    assert twice[0][0] != twice[0][2]  # the meter's noise is new each time
    assert ask(GROUND, keys[0], seed=2) != twice[0][0]


@pytest.mark.parametrize("name", SHEETS)
def test_every_kind_of_test_is_answered_so_that_find_can_read_it(name):
    sheet = circuit(name)
    hidden = draw(sheet, 5)
    book = dictionary_of(sheet)
    tests = list(menu_of(book, EVERYTHING, hidden.complaints).tests)
    bridged = [part for part in book.parts if not part.no_jumper]
    state = next(t.state for t in book.troubles if t.key == hidden.complaints[0].complaint)
    tests += [Test(kind="jumper", part=part.name, state=state) for part in bridged]
    for test in tests:
        shown = answer(sheet, hidden, 1, [], test)
        reading = reading_of(test, "1", shown.text, shown.outcome)
        assert reading.key == test.key

    assert {test.kind for test in tests} == set(KINDS)


def test_a_fault_that_comes_and_goes_is_there_half_of_the_time():
    answers = [ask(LOOSE, "volts E state=run", seed=seed, watched=True) for seed in range(200)]
    there = [one for one in answers if one.present]
    away = [one for one in answers if not one.present]

    assert 70 < len(there) < 130
    assert all(float(one.text.removesuffix(" V")) > 1 for one in there)
    assert all(float(one.text.removesuffix(" V")) < 1 for one in away)


def test_whether_the_complaint_was_there_is_known_to_who_watched_and_could_see_it():
    assert ask(GROUND, "volts E state=run", watched=True).present is True
    assert ask(GROUND, "volts E state=run").present is None
    assert ask(GROUND, "volts E state=off", watched=True).present is None
    assert ask(GROUND, "look G7", watched=True).present is None


def test_a_bad_joint_is_bad_to_the_eye_whether_it_plays_up_or_not():
    looks = [ask(LOOSE, "look G7", earlier=["look F12"] * n).text for n in range(8)]

    assert len(set(looks)) == 1


@pytest.mark.second_way("the chances that the belief takes for the same fault at the same size")
@pytest.mark.parametrize("name", ["fan.toml", "horn.toml"])
def test_eyes_fingers_and_a_wiggle_show_as_often_as_the_belief_expects(name):
    sheet = circuit(name)
    book = dictionary_of(sheet)
    scenarios = single_faults(book.graded)
    at_the_lesser = Mixture(
        corner=book.mix.corner, weight=np.tile([1.0, 0.0], (len(book.suspect), 1))
    )
    book = replace(book, mix=at_the_lesser)  # each sample is the lesser of its two severities
    kinds = set()
    for sample in np.unique(book.mix.corner[:-1, 0], return_index=True)[1]:
        hidden = hidden_from(sheet, str(scenarios[book.mix.corner[sample, 0]][0]))
        if not hidden.complaints:
            continue
        for test in menu_of(book, EVERYTHING, hidden.complaints).tests:
            if test.kind in (LOOK, WIGGLE, HEAT):
                believed = float(sign_chances(book, test)[sample])
                assert _chance(sheet, hidden, test, 1) == pytest.approx(believed), test.key
                kinds.add((test.kind, believed > 0.1))
    assert {(LOOK, True), (LOOK, False), (WIGGLE, True), (WIGGLE, False)} <= kinds


@pytest.mark.second_way("1000 cases of one fault against the chance that the belief takes")
def test_a_bad_joint_is_seen_and_felt_as_often_as_the_belief_expects():
    book = dictionary_of(FAN)
    sample = int(book.samples([one.key for one in book.suspects].index("G7:high")).start)
    for key, first in (("look G7", "bad"), ("wiggle G7 state=run", "changes")):
        believed = float(sign_chances(book, parse_test_key(key))[sample])
        seen = sum(ask(GROUND, key, seed=seed).outcome == first for seed in range(1000))
        assert abs(seen - 1000 * believed) < 4 * np.sqrt(1000 * believed * (1 - believed)), key


def test_a_short_blows_its_fuse_and_the_new_one_too():
    assert fuses_it_blows(FAN, SHORT.fault) == ("F12",)
    shown = ask(SHORT, "swap F12 state=run")
    assert (shown.outcome, shown.note) == ("no change", "The new fuse blew at once.")
    assert ask(SHORT, "ohms F12").outcome == "open"
    assert ask(hidden_from(FAN, "F12:blown"), "swap F12 state=run").outcome == "works"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("jumper F12 state=run", "takes the protection away"),
        ("jumper Fan state=run", "it is a load"),
        ("jumper BAT state=run", "is a short circuit"),
        ("ohms Fan", "tell nothing while it rests"),
        ("clamp K3 state=run", "A clamp does not go round"),
        ("volts Q state=run", "The sheet has the points"),
        ("volts E state=fly", "The sheet has the states"),
        ("swap G7 state=run", "With this part that is not done"),
        ("wiggle C4 state=off", "Nothing is complained of in that state"),
        ("volts E to=E state=run", "between two points"),
        ("heat Fan state=run", "A load gets warm by its work"),
    ],
)
def test_a_test_that_hurts_or_tells_nothing_is_refused_with_its_reason(key, words):
    with pytest.raises(BenchError, match=words):
        refuse(FAN, GROUND, parse_test_key(key))


def test_minutes_are_counted_as_find_counts_them():
    first, second = (parse_test_key(f"volts {letter} state=run") for letter in "EF")

    assert (
        minutes_taken(FAN, [], first) == 1 + 3 + 1
    )  # state, access, reading, as the sheet has them
    assert minutes_taken(FAN, [first.key], second) == 4 + 1  # the state is set up already
