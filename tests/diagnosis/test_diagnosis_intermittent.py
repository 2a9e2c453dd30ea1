"""Faults that come and go: what a reading says while the complaint is there, away, or unknown."""

import numpy as np
import pytest

from diagnosis.fan_book import SIDES, fan_book, read
from diagnosis.sheets_shipped import circuit
from witnessmark.diagnosis.find import find_run
from witnessmark.diagnosis.intermittent import HERE, SEEN_AWAY, joint_log_weight
from witnessmark.diagnosis.kinds import CLAMP_METER, METER, Means
from witnessmark.diagnosis.observations import Observation, parse_test_key, reading_of
from witnessmark.diagnosis.run import run

SLOW = Observation(complaint="slow")


@pytest.mark.second_way("both cases written out and added up, sample by sample")
def test_the_weight_is_the_sum_over_steady_and_coming_and_going():
    random = np.random.default_rng(5)
    there, away = np.log(random.random((3, 4, 1))), np.log(random.random((3, 4, 1)))
    goes = np.array([0.1, 0.02, 0.5, 0.005])
    seen = [True, False, None]
    got = joint_log_weight(
        np.zeros((4, 1)), goes, list(zip(seen, there, away, strict=True)), [SLOW]
    )
    for sample in range(4):
        f, h = np.exp(there[:, sample, 0]), np.exp(away[:, sample, 0])
        steady = (1 - SEEN_AWAY) * f[0] * SEEN_AWAY * f[1] * f[2]
        going = HERE * f[0] * (1 - HERE) * h[1] * (HERE * f[2] + (1 - HERE) * h[2])
        expected = (1 - goes[sample]) * steady + goes[sample] * going
        assert np.exp(got[sample, 0]) == pytest.approx(expected)


def test_healthy_readings_while_it_was_away_do_not_clear_the_culprit():
    culprit = read("E", "2.9", present=True)
    healthy = [read("E", "0.18", present=False), read("F", "0.03", present=False)]
    with_both = run(fan_book(), [SLOW], [culprit, *healthy], SIDES).parts
    there = run(fan_book(), [SLOW], [culprit, read("E", "0.18", present=True)], SIDES).parts

    assert with_both["G7"] + with_both["S9"] > 10 * with_both["Fan"]
    assert there["G7"] + there["S9"] < 10 * there["Fan"]


def test_a_complaint_that_was_away_speaks_for_what_comes_and_goes():
    sheet = circuit("fan.toml")
    dead = Observation(complaint="dead", source="here")
    before = find_run(sheet, [dead]).parts
    after = find_run(sheet, [dead], [read("D", "12.2", present=False)]).parts

    assert 3 * after["F12"] < before["F12"]  # a blown fuse stays blown
    assert after["C4"] > before["C4"]


def test_the_customer_may_say_that_it_comes_and_goes():
    sheet = circuit("fan.toml")
    reading = [read("D", "12.2", present=None)]
    said = {
        word: find_run(
            sheet, [Observation(complaint="dead", source="here", comes_and_goes=word)], reading
        ).parts
        for word in (True, None, False)
    }

    # Volts at D are healthy. Where the complaint goes, that hardly clears the feed.
    assert said[True]["C4"] > said[None]["C4"] > said[False]["C4"]


def test_a_test_done_while_it_was_away_is_asked_for_again():
    first = run(fan_book(), [SLOW], [], SIDES).next_test
    away = read(first.point, "0.18", present=False)
    again = run(fan_book(), [SLOW], [away], SIDES)

    assert again.next_test.key == first.key
    assert again.stop.kind == "keep on"


def test_while_one_complaint_is_away_the_other_one_is_followed():
    """A horn that sounds just now: the crew goes on with the lamp that is dim all the time."""
    sheet = circuit("body-front.toml")
    told = [
        Observation(complaint="left-dim", comes_and_goes=False),
        Observation(complaint="silent", comes_and_goes=True),
    ]
    lamp = _clamped("low", "9.8", present=True)
    means = Means(tools=frozenset({METER, CLAMP_METER}))
    sounds = _clamped("horn", "5.3", present=False)

    asked = find_run(sheet, told, [lamp, sounds], means=means).next_test
    alone = find_run(sheet, told[1:], [sounds], means=means).next_test

    assert asked.state == "low"
    assert alone.key == sounds.key  # nothing else to follow: it waits for the horn


def _clamped(state, text, present):
    return reading_of(parse_test_key(f"clamp W1 state={state}"), state, text, present=present)
