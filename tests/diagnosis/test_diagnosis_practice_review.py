"""The review of a practice case: two paths in minutes, which test told most, which told little."""

import re
from dataclasses import replace

import numpy as np
import pytest

from diagnosis.sheets_shipped import circuit
from diagnosis.small_cases import least_minutes, small_case
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.observations import parse_test_key, reading_of
from witnessmark.diagnosis.practice import draw, hidden_from
from witnessmark.diagnosis.practice_answers import answer
from witnessmark.diagnosis.practice_offers import minutes_taken
from witnessmark.diagnosis.practice_review import (
    GIVEN_UP,
    LUCKY,
    RIGHT,
    WRONG,
    _told_most_at,
    best_path,
    review,
)
from witnessmark.diagnosis.practice_steps import Taken
from witnessmark.diagnosis.stop import CERTAIN
from witnessmark.diagnosis.words import percent_words

FAN = circuit("fan.toml")
GROUND = hidden_from(FAN, "G7:high=0.8")
SHORT = hidden_from(FAN, "W1:short-to-ground=0.02")
SEED = 5
STRAIGHT = ["volts D state=run", "volts E state=run", "volts F state=run"]
WASTEFUL = ["volts A state=run", "volts A state=run", "volts E state=run", "look F12"]


def took(hidden, keys):
    """The tests of a learner, with what the circuit answers."""
    taken = []
    for number, key in enumerate(keys):
        test = parse_test_key(key)
        shown = answer(FAN, hidden, SEED, keys[:number], test, watched=True)
        minutes = minutes_taken(FAN, keys[:number], test)
        taken.append(Taken(key=key, answer=shown, minutes=minutes))
    return taken


def reviewed(hidden, keys, suspect, repair):
    return review(FAN, hidden, SEED, took(hidden, keys), suspect, repair)


def test_a_cause_that_the_readings_prove_is_right_and_proved():
    found = reviewed(GROUND, STRAIGHT, "G7:high", "clean ground joint G7")

    assert (found.verdict, found.proved, found.repair_right) == (RIGHT, True, True)
    assert found.cause.startswith("Right: it was G7 ground joint: high resistance.")
    assert found.wasted == ()
    assert found.minutes == sum(one.minutes for one in took(GROUND, STRAIGHT))
    assert found.path[-1].percent == "over 99%"


def test_every_kind_of_answer_is_read_by_the_review():
    """Ohms without end are a word, where other ohms are a size."""
    blown = hidden_from(FAN, "F12:blown")
    keys = ["ohms F12", "look F12", "lamp C state=run", "led B state=run", "clamp W1 state=run",
            "wiggle C4 state=run", "heat C4 state=run", "swap F12 state=run",
            "jumper K3 state=run", "volts C state=run"]  # fmt: skip
    found = reviewed(blown, keys, "F12:blown", "replace F12")

    assert found.path[0].text == "open"
    assert [step.key for step in found.path] == keys
    assert found.verdict == RIGHT


def test_another_suspect_of_the_same_repair_counts_as_right():
    assert reviewed(GROUND, STRAIGHT, "G7:open", "clean ground joint G7").cause_right


def test_a_lucky_guess_is_right_and_not_proved():
    early = reviewed(GROUND, STRAIGHT[:1], "G7:high", "clean ground joint G7")
    nothing = reviewed(GROUND, [], "G7:high", "clean ground joint G7")

    assert (early.verdict, nothing.verdict) == (LUCKY, LUCKY)
    assert "too little to name it" in early.cause
    assert "measured nothing" in nothing.cause


def test_a_wrong_cause_and_giving_up_are_told_kindly():
    wrong = reviewed(GROUND, STRAIGHT[:2], "Fan:high", "replace Fan")
    up = reviewed(GROUND, STRAIGHT[:2], "", "")

    assert (wrong.verdict, up.verdict) == (WRONG, GIVEN_UP)
    assert wrong.cause.startswith("Not this time: it was G7")
    assert wrong.repair.startswith("After “replace Fan” the fault is still there.")
    assert "Look at the best path" in up.cause
    assert up.repair == "What puts it right: clean ground joint G7."


def test_who_names_or_gives_up_before_any_test_is_told_that_nothing_was_measured():
    up = reviewed(GROUND, [], "", "")
    guess = reviewed(GROUND, [], "Fan:high", "replace Fan")

    assert (up.verdict, guess.verdict) == (GIVEN_UP, WRONG)
    assert up.cause == (
        "It was G7 ground joint: high resistance. You stopped before the first test, so nothing "
        "was measured. The best path shows where to begin."
    )
    assert guess.cause.endswith("Nothing was measured, so it was a guess.")
    for one in (up, guess):
        assert "readings" not in one.cause and "%" not in one.cause


def test_who_gives_up_with_the_proof_in_hand_is_told_so():
    up = reviewed(GROUND, STRAIGHT, "", "")

    assert up.verdict == GIVEN_UP
    assert up.cause.endswith("your readings were enough (over 99%): it was ready to be named.")


def test_a_new_fuse_alone_burns_again_where_a_short_blew_it():
    found = reviewed(SHORT, ["volts B state=run"], "F12:blown", "replace F12")
    half = reviewed(SHORT, ["volts B state=run"], "W1:short-to-ground", "replace F12")
    whole = reviewed(SHORT, ["volts B state=run"], "W1:short-to-ground", "mend wire W1")

    assert found.cause == (
        "Not this time. F12 did blow, but something blew it: W1 feed wire: shorted to ground."
    )
    assert found.repair.startswith("A new fuse alone burns again")
    assert (half.cause_right, half.repair_right) == (True, False)
    assert half.repair == found.repair
    assert whole.repair_right
    assert whole.repair.endswith("mend wire W1, then a new F12 of the same rating.")


def test_a_fuse_that_a_short_blew_is_bad_to_the_eye_in_the_belief_too():
    """Else a look at the fuse would speak against the short that blew it."""
    book = dictionary_of(FAN)
    bad = reading_of(parse_test_key("look F12"), "1", "bad")
    before, after = (weigh(book, SHORT.complaints, given).suspects for given in ([], [bad]))
    keys = [suspect.key for suspect in book.suspects]
    short, fuse = keys.index("W1:short-to-ground"), keys.index("F12:blown")

    assert after[short] / after[fuse] == pytest.approx(before[short] / before[fuse], rel=0.1)
    assert after[short] > 2 * before[short]


def test_tests_that_could_be_predicted_are_named_with_the_reason():
    found = reviewed(GROUND, [*WASTEFUL, "volts F state=run", "volts B state=run"], "", "")

    assert [bool(step.wasted) for step in found.path] == [False, True, False, True, False, True]
    assert "was done before" in found.path[1].wasted
    assert found.path[3].wasted == (
        "Test 4 (F12 20 A, to the eye) could be predicted: nearly every suspect left would give "
        "“sound to the eye”."
    )
    assert "had proved the cause already" in found.path[5].wasted


def test_what_was_predicted_of_a_complaint_that_was_away_says_that_it_was_away():
    """Else about 4.3 V stands beside the healthy volts that the learner read."""
    goes = hidden_from(FAN, "G7:high=0.8", comes_and_goes=True)
    found = reviewed(goes, ["volts E state=run"] * 5, "", "")
    said = [step.wasted for step in found.path if step.wasted and step.present is False]

    assert said
    for words in said:
        assert "came while the complaint was away. While it is there, nearly every" in words


@pytest.mark.second_way("the belief of the Find page after each reading")
def test_the_test_after_which_belief_rose_most_is_the_one_that_told_most():
    found = reviewed(GROUND, STRAIGHT, "", "")
    book = dictionary_of(FAN)
    true = book.repairs.index("clean ground joint G7")
    readings = [
        reading_of(parse_test_key(one.key), str(n), one.answer.text, "", True)
        for n, one in enumerate(took(GROUND, STRAIGHT))
    ]
    shares = [weigh(book, GROUND.complaints, readings[:n]).repairs[true] for n in range(4)]

    assert [step.belief for step in found.path] == shares[1:]
    assert found.told_most_at == int(np.diff(shares).argmax()) + 1
    assert found.told_most.startswith(f"Test {found.told_most_at} told most (")
    assert reviewed(GROUND, [], "", "").told_most_at == 0


def test_a_test_that_could_be_predicted_is_not_praised_for_its_luck():
    steps = reviewed(GROUND, STRAIGHT, "", "").path
    most = _told_most_at(0.0, steps)
    lucky = [
        replace(step, wasted="Could be predicted." if step.number == most else "") for step in steps
    ]
    assert most > 0
    assert _told_most_at(0.0, lucky) != most
    assert _told_most_at(0.0, lucky, wasted=True) == most


def test_a_look_that_shows_the_fault_by_luck_is_called_luck():
    hidden, test = hidden_from(FAN, "W1:open"), parse_test_key("look W1")
    seen = ((n, answer(FAN, hidden, n, [], test, watched=True)) for n in range(400))
    seed, shown = next((n, shown) for n, shown in seen if shown.outcome == "bad")
    taken = [Taken(key=test.key, answer=shown, minutes=2.0)]

    found = review(FAN, hidden, seed, taken, "", "")

    assert found.told_most_at == 0
    assert found.told_most.startswith("Test 1 (") and "that was luck" in found.told_most


@pytest.mark.second_way("the belief before any test, by the shop's rates and by the program's")
def test_a_review_believes_by_the_rates_by_which_the_fault_was_drawn():
    bare = replace(FAN, parts=tuple(replace(part, rate=None) for part in FAN.parts))
    often = {"ground/high": 40.0, "ground/open": 40.0}
    befores = []
    for rates in ({}, often):
        hidden = hidden_from(bare, "G7:high=0.8", rates=rates)
        book = dictionary_of(bare, rates)
        share = weigh(book, hidden.complaints, []).repairs[book.repairs.index(hidden.repair)]
        found = review(bare, hidden, SEED, [], "", "")
        assert found.before == percent_words(float(share))
        befores.append(float(share))
    assert befores[1] > befores[0] + 0.2


def test_a_cause_that_never_happens_in_this_shop_may_be_named_and_is_wrong():
    bare = replace(FAN, parts=tuple(replace(part, rate=None) for part in FAN.parts))
    rates = {"motor/high": 0.0, "motor/open": 0.0, "motor/jammed": 0.0}
    hidden = hidden_from(bare, "G7:high=0.8", rates=rates)
    found = review(bare, hidden, SEED, [], "Fan:high", "replace Fan")

    assert found.verdict == WRONG


def test_the_best_path_meets_the_same_readings_as_the_learner():
    best = best_path(FAN, GROUND, SEED)
    again = took(GROUND, [step.key for step in best])

    assert [step.text for step in best] == [one.answer.text for one in again]
    assert best[-1].at_minutes == sum(one.minutes for one in again)
    assert best[-1].belief >= CERTAIN


def test_readings_while_the_complaint_is_away_clear_nobody():
    loose = hidden_from(FAN, "G7:high=0.8", comes_and_goes=True)
    found = reviewed(loose, ["volts E state=run"] * 6, "", "")
    shares = [step.belief for step in found.path]
    away = [n for n, step in enumerate(found.path) if step.present is False]

    assert away and len(away) < 6
    for number in away:
        if number:
            assert shares[number] > shares[number - 1] * 0.99
    assert not any(step.wasted.endswith("nothing had changed since.") for step in found.path)


@pytest.mark.second_way("dynamic programming over sets of hypotheses: the least expected minutes")
@pytest.mark.parametrize(
    ("name", "key"), [("fan.toml", "slow"), ("horn.toml", "hoarse"), ("starting.toml", "slow")]
)
def test_the_best_path_is_near_the_least_minutes_there_can_be(name, key):
    """The exact optimum knows no noise, ten suspects, and goes on until one repair is left."""
    sheet = circuit(name)
    complaint = next(one for one in sheet.complaints if one.key == key)
    least = least_minutes(small_case(sheet, complaint))
    drawn = [draw(sheet, seed) for seed in range(60)]
    told = [one for one in drawn if one.complaints[0].complaint == key][:12]
    minutes = [best_path(sheet, hidden, seed)[-1].at_minutes for seed, hidden in enumerate(told)]

    assert len(told) > 8
    assert 0.7 * least < np.mean(minutes) < 1.3 * least


def test_the_right_part_with_another_fault_is_told_apart():
    found = reviewed(GROUND, STRAIGHT, "G7:open", "clean ground joint G7")

    assert found.verdict == RIGHT and found.repair_right
    assert found.cause.startswith("Right: it was G7")
    assert ", not open; part and repair are the same. Your readings proved it" in found.cause


def test_every_advised_test_of_the_best_path_says_why():
    found = reviewed(GROUND, STRAIGHT, "G7:high", "clean ground joint G7")

    assert all(step.why.endswith(".") for step in found.best)
    for step in found.best:
        assert step.says_range == bool(re.search(r"\d to −?\d", step.why))
    assert not any(step.why for step in found.path)
