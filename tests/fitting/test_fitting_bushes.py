"""Bushes in their bores, and the way the shaft goes in."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.errors import BenchError
from witnessmark.fitting.bushes import (
    Bearing,
    Press,
    Way,
    bores_in_words,
    press_of,
    shaft_way,
    where_bushes_belong,
    wrong_places,
)
from witnessmark.fitting.oil_holes import Feed, Hole
from witnessmark.metrology import Limit

PRESS = Limit(lower=30, upper=90, unit="µm", source="invented for training")
STEPS = {"1": 0, "2": 1, "3": 2, "4": 3}


def bearing(position, quarter, *names):
    size = 54 - quarter / 4
    feeds = [
        Feed(name=name, drilling=Hole(diameter_mm=4), bush=Hole(diameter_mm=5), clock_deg=90)
        for name in names
    ]
    return Bearing(
        position=position,
        housing_mm=size,
        bush_outside_mm=size + 6 / 100,
        bush_bore_mm=size - 4 + 8 / 100,
        journal_mm=size - 4,
        feeds=tuple(feeds),
    )


BLOCK = [
    bearing(position, step, "oil feed", *(["riser"] if position == "2" else []))
    for position, step in STEPS.items()
]


@pytest.mark.reference("common practice, no published source: bores step down, smallest leads")
def test_the_shaft_of_a_stepped_block_goes_in_at_the_large_end():
    assert shaft_way(BLOCK) is Way.FIRST
    assert shaft_way(BLOCK[::-1]) is Way.LAST
    assert bores_in_words(BLOCK, PRESS) == ("Housing bores step down, so each bush fits one place.")


def test_equal_bores_take_the_shaft_from_either_end_but_tell_nothing_apart():
    equal = [bearing(position, 0, "oil feed") for position in STEPS]
    assert shaft_way(equal) is Way.EITHER
    assert bores_in_words(equal, PRESS) == (
        "Bushes 1 and 2 fit each other's bores: go by the oil holes."
    )


def test_a_block_that_is_widest_in_the_middle_takes_no_shaft():
    assert shaft_way([BLOCK[3], BLOCK[0], BLOCK[3]]) is Way.NEITHER


@pytest.mark.reference(
    "a published inline-six: four cam bores stepped down 0.254 mm; steps rounded"
)
def test_of_all_orders_of_a_stepped_block_only_one_presses_in():
    good = []
    for order in itertools.permutations(BLOCK):
        sits = [
            press_of(bush.bush_outside_mm, place.housing_mm, PRESS)
            for bush, place in zip(order, BLOCK, strict=True)
        ]
        if set(sits) == {Press.FITS}:
            good.append(order)
    assert good == [tuple(BLOCK)]


def test_two_bushes_swapped_are_named_with_what_is_wrong():
    lying = {"1": "1", "2": "3", "3": "2", "4": "4"}
    assert wrong_places(BLOCK, lying, PRESS) == (
        "Bush 3 lies at bore 2: it is 0.19 mm too small for the bore and would turn; "
        "the journal does not go through it; it has no hole for the riser. Move it to bore 3.",
        "Bush 2 lies at bore 3: it is 0.31 mm too large and will not press in. Move it to bore 2.",
    )
    assert wrong_places(BLOCK, {place: place for place in STEPS}, PRESS) == ()


def test_equal_sizes_with_other_holes_are_a_wrong_order_that_fits():
    equal = [bearing("1", 0, "oil feed"), bearing("2", 0, "oil feed", "riser")]
    first, second = wrong_places(equal, {"1": "2", "2": "1"}, PRESS)
    assert "it fits there, but its oil holes are its own" in first
    assert "it has no hole for the riser" in second


def test_a_bush_entered_twice_is_said():
    *_, last = wrong_places(BLOCK, {"1": "1", "2": "1"}, PRESS)
    assert last == "Bush 1 was entered at two bores. Look again at its size."


def test_a_bearing_that_is_not_there_is_named():
    with pytest.raises(BenchError, match=r"no bearing 5.*1, 2, 3, 4"):
        wrong_places(BLOCK, {"5": "1"}, PRESS)


@given(st.permutations(list(STEPS)))
def test_bushes_find_their_bores_in_whatever_order_they_were_measured(order):
    outside = {f"bush {place}": BLOCK[STEPS[place]].bush_outside_mm for place in order}
    housing = {bearing.position: bearing.housing_mm for bearing in BLOCK}
    found = where_bushes_belong(housing, outside, PRESS)
    assert found == {f"bush {place}": place for place in order}


@given(
    bores=st.lists(st.integers(0, 400), min_size=2, max_size=5),
    bushes=st.lists(st.integers(0, 400), min_size=5, max_size=5),
)
def test_no_other_pairing_has_a_smaller_worst_press(bores, bushes):
    bushes = bushes[: len(bores)]
    housing = {str(number): 54 + size / 1000 for number, size in enumerate(bores)}
    outside = {str(number): 54 + size / 1000 for number, size in enumerate(bushes)}
    anything = Limit(lower=-900, upper=900, unit="µm", source="any press, for the comparison")
    found = where_bushes_belong(housing, outside, anything)
    middle = 0

    def worst(pairs):
        return max(abs(outside[bush] - housing[bore] - middle) for bush, bore in pairs)

    best = min(worst(zip(outside, order, strict=True)) for order in itertools.permutations(housing))
    assert worst(found.items()) == pytest.approx(best, abs=1e-9)


def test_a_bush_that_fits_nowhere_is_sent_back():
    with pytest.raises(BenchError, match=r"Bush 2 is 0.010 mm over bore 2.*30 to 90 µm over"):
        where_bushes_belong({"1": 54, "2": 53.75}, {"1": 54.06, "2": 53.76}, PRESS)
    with pytest.raises(BenchError, match="1 bushes for 2 bores"):
        where_bushes_belong({"1": 54, "2": 53.75}, {"1": 54.06}, PRESS)


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ({"journal_mm": 0}, "not above 0 mm"),
        ({"journal_mm": 51}, "larger than the one before"),
    ],
)
def test_a_bearing_whose_sizes_cannot_be_is_refused(sizes, words):
    good = {"housing_mm": 54, "bush_outside_mm": 54.06, "bush_bore_mm": 50.08, "journal_mm": 50}
    with pytest.raises(BenchError, match=words):
        Bearing(position="1", **(good | sizes))
