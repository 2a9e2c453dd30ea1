"""The chain by itself: appended inside a transaction, each entry bound to the one before."""

import hashlib
import json
from datetime import UTC, datetime
from uuid import UUID, uuid4

import pytest
from django.db import transaction

from witnessmark.log import chain
from witnessmark.log.act import act
from witnessmark.log.added_only import ChangedInPlace
from witnessmark.log.kept import as_json
from witnessmark.log.models import Aside, Entry, Head
from witnessmark.log.sentences import VERBS, sentence

AT = datetime(2026, 11, 24, 11, 12, tzinfo=UTC)
WHO = UUID("11111111-2222-4333-8444-555555555555")


def write(verb="note added", **more):
    with transaction.atomic():
        return chain.append(verb, entry_id=uuid4(), at=AT, actor=WHO, **more)


def test_each_entry_follows_from_the_one_before(db):
    first, second = write(), write()
    assert (first.number, first.previous) == (1, chain.START)
    assert (second.number, second.previous) == (2, first.digest)
    assert chain.head() == 2
    assert chain.verify() == ()


@pytest.mark.second_way("the digest is computed again from the fields with the json library")
def test_the_digest_can_be_computed_with_another_library(db):
    entry = write(values={"b": 1, "a": "Ω"})
    content = {
        "actor": str(WHO),
        "at": "2026-11-24T11:12:00.000000Z",
        "device": None,
        "form": 1,
        "id": str(entry.id),
        "job": None,
        "number": 1,
        "previous": "0" * 64,
        "subject": ["", None],
        "values": '{"a":"Ω","asides":{},"b":1}',
        "verb": "note added",
    }
    text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert entry.digest == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.django_db(transaction=True)
def test_an_entry_outside_a_transaction_is_refused():
    with pytest.raises(transaction.TransactionManagementError):
        chain.append("note added", entry_id=uuid4(), at=AT)
    assert Entry.objects.count() == 0


def test_an_act_that_fails_writes_nothing(db):
    with (
        pytest.raises(ZeroDivisionError),
        act("note added", uuid4(), now=lambda: AT, actor=WHO, asked={}) as doing,
    ):
        doing.words("note", "half")
        raise ZeroDivisionError
    assert (Entry.objects.count(), Aside.objects.count(), chain.head()) == (0, 0, 0)


def test_free_text_stands_beside_and_is_erased_with_its_salt(db):
    id = uuid4()
    with act("note added", id, now=lambda: AT, actor=WHO, asked={"words": "dry"}) as doing:
        doing.words("note", "The flange was dry.")
    entry = Entry.objects.get(id=id)
    assert "dry" not in entry.values
    aside = Aside.objects.get(key="note")
    assert aside.digest in entry.values
    with transaction.atomic():
        erased = chain.erase(Aside.objects.filter(entry_id=id), at=AT)
        chain.append("person erased", entry_id=uuid4(), at=AT, values={"erased": erased})
    aside = Aside.objects.get(key="note")
    assert (aside.text, aside.salt, aside.words) == (None, "", "(erased)")
    assert not Aside.objects.exclude(salt="").exists()
    assert chain.verify() == ()


def test_two_equal_texts_have_two_digests(db):
    for _ in range(2):
        with act("note added", uuid4(), now=lambda: AT, actor=WHO, asked={}) as doing:
            doing.words("note", "dry")
    digests = Aside.objects.filter(key="note").values_list("digest", flat=True)
    assert len(set(digests)) == 2


def test_an_entry_cannot_be_changed_or_deleted(db):
    entry = write()
    entry.verb = "photo added"
    for change in (entry.save, entry.delete, Entry.objects.all().delete):
        with pytest.raises(ChangedInPlace):
            change()
    with pytest.raises(ChangedInPlace):
        Entry.objects.update(verb="photo added")
    assert Entry.objects.get().verb == "note added"


def test_a_head_that_was_set_back_is_found(db):
    write()
    write()
    Head.objects.update(number=1)
    assert "its head says 1" in chain.verify()[0].what


def test_a_float_has_no_place_in_the_log():
    with pytest.raises(TypeError, match="float has no place in the log"):
        as_json({"value": 1.5})


def test_every_verb_that_is_written_has_a_sentence():
    import re
    from pathlib import Path

    import witnessmark.record.acts as acts
    from witnessmark.people import sign_in

    files = [*Path(acts.__file__).parent.glob("*.py"), Path(sign_in.__file__)]
    text = "\n".join(path.read_text() for path in files)
    written = set(re.findall(r'\.act\(\s*"([^"]+)"', text))
    written |= set(re.findall(r'^\s+verb = "([^"]+)" if .* else "([^"]+)"$', text, re.M)[0])
    for one, other in re.findall(r'verb = "([^"]+)" if [^"]+ else "([^"]+)"', text):
        written |= {one, other}
    assert len(written) > 35
    assert written - VERBS == set()


def test_a_sentence_is_made_with_the_names_known_now(db):
    entry = write("note added")
    assert sentence(entry, {str(WHO): "Isla"}) == "Isla wrote a note."
    assert sentence(entry, {}) == "Someone wrote a note."


def test_a_verb_of_a_later_version_is_shown_as_it_is(db):
    assert sentence(write("wheel balanced"), {str(WHO): "Isla"}) == "Isla: wheel balanced."
