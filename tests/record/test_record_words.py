"""No word that a person typed stands in the chain: each stands beside it, and can be erased."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.apps import apps

from tests.record.whole_shop import everything
from witnessmark.diagnosis.kinds import EVERYTHING, KINDS
from witnessmark.errors import BenchError
from witnessmark.log.models import Aside, Entry
from witnessmark.networks.fault_rates import usual_rates
from witnessmark.people import permits
from witnessmark.quantities import parse, unit_named
from witnessmark.record.replay import kept_models
from witnessmark.record.verify import verify_record
from witnessmark.wiring.joints import JOINT_RULES
from witnessmark.work.cautions import CAUTIONS


@pytest.fixture
def entries(db, given_time) -> list[Entry]:
    everything()
    assert verify_record() == ()
    return list(Entry.objects.all())


def strings(value: Any) -> Iterator[str]:
    """Yield every text of a JSON value, keys too."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for one in value:
            yield from strings(one)
    elif isinstance(value, dict):
        for key, one in value.items():
            yield key
            yield from strings(one)


def test_no_typed_text_is_in_any_entry(entries):
    typed = set(
        Aside.objects.filter(is_file=False).exclude(text=None).values_list("text", flat=True)
    )
    assert len(typed) > 45
    for entry in entries:
        assert not typed & set(strings(entry.facts())), entry
        for text in typed:
            if len(text) > 6:
                assert text not in entry.values, f"{text!r} in {entry}"


# What may stand in an entry: ids, times, digests, values with their unit, and words of ours.
SHAPES = (
    re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}"),
    re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z|\d{4}-\d\d-\d\d|\d\d:\d\d:\d\d"),
    re.compile(r"(sha256:)?[0-9a-f]{64}"),
    re.compile(r"(person|device):[0-9a-f:-]+|handle:[0-9a-f]{40}"),  # whose wrong tries
    re.compile(r"± .+|((over|under) )?\d+(\.\d+)? ?%"),  # of a verdict, as shown
    re.compile(r"look-[0-9a-f]{8}"),
)
FACTS = {
    "aside",
    "asides",
    "rows",
    "changed",
    "erased",
    "made",
    "dropped",
    "people",
    "cautions",
    "tries",
    "test",
}
BESIDE = {"asked", "note", "reason", "caption", "photo", "complaint", "cause", "correction"}
BESIDE |= {"what", "place", "seen", "answered", "expected", "reasons"}
SHEET_KEYS = {"drain", "bolts", "fill", "bolt", "bolt-torque", "coolant", "level", "slow"}
SHEET_KEYS |= {"volts D state=run", "volts E state=run", "look G7", '["G7","S9"]', '["slow"]'}
PROGRAM = {"within", "queued", "found", "work", "mark a step", "Europe/Oslo", ""}


def words_of_ours() -> set[str]:
    """Return what the program has words for: rows, columns, choices, and keys of the sheet."""
    words = FACTS | BESIDE | SHEET_KEYS | PROGRAM | CAUTIONS.keys() | permits.KINDS.keys()
    words |= {rule.key for rule in JOINT_RULES}
    words |= EVERYTHING.tools | {rate.key for rate in usual_rates()}
    words |= {word for kind in KINDS.values() for word in kind.outcomes}
    for model in apps.get_models():
        words.add(model._meta.label_lower)
        for field in model._meta.get_fields():
            words |= {field.name, getattr(field, "attname", "")}
            words |= {value for value, _ in getattr(field, "choices", None) or ()}
            words |= {f"{model._meta.verbose_name} {field.name}", f"hidden {field.name}"}
    return words


def is_value(text: str) -> bool:
    """Return whether this is a unit, or a number with or without one."""
    try:
        unit_named(text)
    except BenchError:
        try:
            parse(re.sub(r"(?<=\d)\s(?=\d{3})", "", text))
        except BenchError:
            return False
    return True


def test_every_text_of_an_entry_is_an_id_a_time_a_value_or_a_word_of_ours(entries):
    ours = words_of_ours()
    strange = {
        (text, entry.verb)
        for entry in entries
        for text in strings(entry.facts())
        if not (text in ours or is_value(text) or any(one.fullmatch(text) for one in SHAPES))
    }
    assert not strange, "\n".join(map(str, sorted(strange)))


def test_every_typed_column_stands_beside_an_entry_and_not_in_it(entries):
    said = {}
    for entry in entries:
        for label, pk, columns in entry.said_of_rows():
            said.setdefault((label, pk), {}).update(columns)
    seen = set()
    for model in kept_models():
        for row in model._base_manager.all():
            for column in model.typed:
                text = getattr(row, column)
                if text:
                    aside = said[model._meta.label_lower, str(row.pk)][column]["aside"]
                    assert Aside.objects.get(pk=aside).text == text
                    seen.add((model.__name__, column))
    assert len(seen) > 25, seen
