"""Several entries on one line: whatever they hold, they come back as they were."""

from hypothesis import given
from hypothesis import strategies as st

from witnessmark.sheets.one_line import read_items, read_lists, write_items, write_lists

WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=6)


@given(st.lists(st.tuples(WORDS, st.none() | WORDS)))
def test_items_come_back_as_they_were_written(items):
    assert read_items(write_items(items)) == items


@given(st.dictionaries(WORDS, st.lists(WORDS, max_size=3)))
def test_lists_come_back_as_they_were_written(lists):
    assert read_lists(write_lists(lists.items())) == lists


@given(st.text(st.sampled_from(list('S25 ,;=/"\\\n'))))
def test_whatever_is_typed_is_read_somehow_and_then_stays(text):
    items = read_items(text)
    assert read_items(write_items(items)) == items
    lists = read_lists(text)
    assert read_lists(write_lists(lists.items())) == lists


def test_commas_with_and_without_blanks_and_decimal_commas():
    assert read_items("S2,S3 , S4") == [("S2", None), ("S3", None), ("S4", None)]
    assert read_items("TEMP = 1,5 kohm,S2") == [("TEMP", "1,5 kohm"), ("S2", None)]
    assert read_items("") == []
