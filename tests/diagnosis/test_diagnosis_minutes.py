"""What the minutes of a test are made of."""

import pytest

from diagnosis.sheets_shipped import SHEETS, circuit
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.kinds import EVERYTHING
from witnessmark.diagnosis.minutes import made_words, minutes_made_of
from witnessmark.diagnosis.observations import parse_test_key
from witnessmark.diagnosis.offers import all_minutes, between, menu_of, standing_after

BOOK = dictionary_of(circuit("fan.toml"))


def made(key, *earlier):
    last = standing_after([parse_test_key(one) for one in earlier])
    return minutes_made_of(BOOK, parse_test_key(key), last)


def test_the_first_test_takes_its_state_its_access_and_itself():
    """Of the sheet: a minute to set the fan running, three to reach the plug."""
    found = made("volts E state=run")

    assert (found.setting, found.reaching, found.doing) == (1, 3, 1)
    assert made_words(found) == "getting at it 3, setting up 1, the test itself 1"


def test_what_the_test_before_has_done_is_not_counted_again():
    after = made("volts F state=run", "volts E state=run")
    again = made("volts E state=run", "volts E state=run")
    by_itself = made("look C4", "volts E state=run")

    assert (after.setting, after.setting_saved) == (0, 1)
    assert made_words(after) == (
        "getting at it 4, the test itself 1; setting up is shared with the test before"
    )
    assert made_words(again) == (
        "the test itself 1; getting at it and setting up are shared with the test before"
    )
    assert by_itself.setting == by_itself.setting_saved == 0


@pytest.mark.second_way("the minutes by which the next test is chosen, pair by pair")
@pytest.mark.parametrize("name", SHEETS)
def test_the_parts_add_up_to_the_minutes_that_find_counts(name):
    book = dictionary_of(circuit(name))
    menu = menu_of(book, EVERYTHING)
    minutes = between(menu, book)
    for one in range(0, len(menu.tests), 37):
        last = standing_after([menu.tests[one]])
        assert all_minutes(book, menu.tests[:60], last) == pytest.approx(minutes[one, :60])
        for other in range(0, len(menu.tests), 29):
            found = minutes_made_of(book, menu.tests[other], last)
            assert found.total == pytest.approx(minutes[one, other])
            assert min(found.reaching, found.setting) >= 0
            assert min(found.reaching_saved, found.setting_saved) >= 0
