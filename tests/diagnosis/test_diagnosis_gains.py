"""Which tests may be left uncompared: what a test can tell at most, and the forty best of all."""

import numpy as np
import pytest

from diagnosis.sheets_shipped import circuit
from witnessmark.diagnosis.building import with_jumpers
from witnessmark.diagnosis.choose import compare
from witnessmark.diagnosis.evidence import weigh
from witnessmark.diagnosis.focus import focused
from witnessmark.diagnosis.gains import ASKED_FOR, gains
from witnessmark.diagnosis.kinds import EVERYTHING
from witnessmark.diagnosis.next_test import most_bits, size_gains
from witnessmark.diagnosis.observations import Observation
from witnessmark.diagnosis.offers import menu_of, minutes_after


@pytest.mark.second_way("every test worked out, none left out")
@pytest.mark.parametrize("name", ["charging", "fan", "starting", "trailer-socket", "turn-hazard"])
def test_the_best_by_gain_per_minute_are_the_same_when_the_rest_is_left_out(name):
    model = circuit(f"{name}.toml")
    for complaint in model.complaints:
        reported = [Observation(complaint=complaint.key)]
        book = with_jumpers(model)
        book, weighed = focused(book, weigh(book, reported, []))
        menu = menu_of(book, EVERYTHING, reported)
        minutes = minutes_after(book, menu, None)

        whole = gains(book, weighed, menu, reported).bits
        few = gains(book, weighed, menu, reported, minutes=minutes).bits

        best = np.argsort(-whole / minutes, kind="stable")[:ASKED_FOR]
        assert few[best] == pytest.approx(whole[best], abs=1e-12)
        assert few[few > 0.0] == pytest.approx(whole[few > 0.0], abs=1e-12)
        assert np.count_nonzero(few) < np.count_nonzero(whole)


@pytest.mark.second_way("by hand: a half of two bits")
def test_what_a_test_tells_at_most_is_what_those_that_read_alike_leave_open():
    belief, place = np.full(4, 0.25), np.arange(4)
    alike = np.array([[1, 1, 0, 0], [1, 0, 0, 0], [1, 1, 1, 1], [0, 0, 0, 0]], dtype=bool).T

    assert most_bits(belief, place, 4, alike) == pytest.approx([1.5, 2.0, 0.0, 2.0], abs=1e-6)


@pytest.mark.second_way("the gain itself")
def test_no_test_tells_more_than_the_bound():
    random = np.random.default_rng(7)
    belief = random.dirichlet(np.ones(60))
    place = random.integers(0, 9, 60)
    volts = np.where(random.random((60, 200)) < random.random(200), 12.0, 12.0 * random.random())
    volts += np.where(volts == 12.0, 0.0, random.normal(0.0, 1.0, volts.shape))

    told = size_gains(belief, place, 9, volts, volts, np.zeros(volts.shape, dtype=bool)).bits
    most = most_bits(belief, place, 9, volts == 12.0)

    assert np.all(told <= most + 1e-6)
    assert np.any(told > 0.8 * most)


def test_a_complaint_that_comes_and_goes_is_tested_where_it_can_be_watched():
    model = circuit("cooling-fan.toml")
    book = with_jumpers(model)
    told = next(one for one in model.complaints if one.key == "no-high")
    said = [Observation(complaint=told.key, comes_and_goes=True)]
    found = compare(book, weigh(book, said, []), said, means=EVERYTHING, ahead=False)

    tests = found.menu.tests
    assert {test.state for test in tests} > {told.state}
    assert tests[found.best()].state == told.state
    steady = [Observation(complaint=told.key, comes_and_goes=False)]
    other = compare(book, weigh(book, steady, []), steady, means=EVERYTHING, ahead=False)
    assert other.menu.tests[other.best()].state != told.state
