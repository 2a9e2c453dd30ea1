"""TOML written by us: Python's own reader gives the same data back, and a person can read it."""

import tomllib
from datetime import UTC, date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.sheets.toml_lines import comments_of, lines_of
from witnessmark.sheets.toml_write import write_toml

TEXTS = st.text(st.characters(exclude_categories=["Cs"]))
SCALARS = (
    TEXTS
    | st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False)
    | st.dates()
    | st.times().map(lambda one: one.replace(microsecond=0))
    | st.datetimes(timezones=st.just(UTC)).map(lambda one: one.replace(microsecond=0))
)
VALUES = st.recursive(
    SCALARS, lambda one: st.lists(one, max_size=4) | st.dictionaries(TEXTS, one, max_size=4)
)


@given(st.dictionaries(TEXTS, VALUES, max_size=6), st.lists(TEXTS, max_size=3))
def test_whatever_toml_can_hold_is_read_back_the_same(data, comments):
    assert tomllib.loads(write_toml(data, comments)) == data


@given(st.dictionaries(TEXTS, VALUES, max_size=4))
def test_every_key_of_a_sheet_has_a_line(data):
    sheet = {"parts": [data]}
    lines = lines_of(write_toml(sheet))
    assert lines["parts", 0] <= min(lines.values()) + 1


def test_a_number_that_is_none_is_written_as_toml_does():
    assert write_toml({"a": float("nan"), "b": float("-inf")}) == "a = nan\nb = -inf\n"


def test_days_hours_and_moments_stand_without_quotes():
    data = {"day": date(2026, 11, 24), "hour": time(10, 40), "at": datetime(2026, 11, 24, 10, 40)}
    assert tomllib.loads(write_toml(data)) == data


def test_half_of_a_surrogate_pair_never_makes_a_text_that_cannot_be_saved():
    assert tomllib.loads(write_toml({"a": "x\ud800"})) == {"a": "x\ufffd"}


@given(st.lists(st.text(st.characters(exclude_categories=["Cc", "Cs", "Z"]), min_size=1)))
def test_comments_are_kept_in_their_order(comments):
    assert list(comments_of(write_toml({"a": 1}, comments))) == comments


def test_what_no_sheet_holds_is_a_mistake_of_ours():
    with pytest.raises(TypeError, match="no place in a sheet"):
        write_toml({"a": None})
