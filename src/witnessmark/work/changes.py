"""What changed between what a mark was made on and what is there now, in sentences for people."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from typing import Any

from witnessmark.work.digest import Form, canonical

WHO = "{who}"  # stands in a sentence until the shell writes the person's name there
ERASED = "(erased)"  # stands on pages and in sentences for a text that is gone
_TO_FILL = re.compile(r"\{(who|[0-9a-f]{64})\}")


def words_of(digest: str) -> str:
    """Return what stands in a sentence for a text until the shell writes the text there.

    Parameters
    ----------
    digest
        The salted digest of the text, as a form holds it.

    Returns
    -------
    str
        The digest in braces.
    """
    return f"{{{digest}}}"


def filled(sentence: str, texts: Mapping[str, str], name: str = "someone") -> str:
    """Return a sentence with the texts that people typed in it, and a person's name.

    Parameters
    ----------
    sentence
        A sentence, or a word of one, of a change.
    texts
        Text by salted digest. One that is not there was erased.
    name
        Name of the person who made the change.

    Returns
    -------
    str
        What a page prints.

    Examples
    --------
    >>> filled("It was put into " + words_of(64 * "a") + " by {who}.", {64 * "a": "Bag 3"}, "Tam")
    'It was put into Bag 3 by Tam.'
    >>> filled(words_of(64 * "b"), {})
    '(erased)'
    """
    return _TO_FILL.sub(
        lambda found: name if found[1] == "who" else texts.get(found[1], ERASED), sentence
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing that is no longer as it was seen; `who` is a person's id.

    What people typed stands in it as its digest, and the person as an id, until it is filled.
    """

    what: str  # "Pump bolt 3"
    old: str  # "25 N·m"; empty where there was nothing
    new: str
    sentence: str
    who: str = ""
    at: datetime | None = None
    entry: str = ""  # id of the entry that changed it

    def filled(self, texts: Mapping[str, str], name: str = "someone") -> "Change":
        """Return the change with the texts that people typed in it, and the person's name."""
        return replace(
            self,
            what=filled(self.what, texts),
            old=filled(self.old, texts),
            new=filled(self.new, texts),
            sentence=filled(self.sentence, texts, name),
        )


def changes(seen: Form, now: Form, zone: tzinfo, seen_at: datetime) -> tuple[Change, ...]:
    """Return what changed since something was seen, oldest first.

    Parameters
    ----------
    seen
        The form that the mark kept, or that the page showed.
    now
        The form of the same subject as it is now.
    zone
        The shop's time zone, in which hours are written.
    seen_at
        When it was marked or shown: a change of another day is written with its day.

    Returns
    -------
    tuple
        Nothing if the two forms have one digest; else at least one change.
    """
    if canonical(seen) == canonical(now):
        return ()
    clock = _Clock(zone=zone, seen_at=seen_at)
    found = [
        *_text_changes(seen, now),
        *_reading_changes(seen, now, clock),
        *_photo_changes(seen, now, clock),
        *_note_changes(seen, now, clock),
        *_ledger_changes(seen, now, clock),
        *_tick_changes(seen, now, clock),
        *_verdict_changes(seen, now),
        *_mark_changes(seen, now),
        *_altered_entries(seen, now),
    ]
    dated = sorted(found, key=lambda one: (one.at is None, one.at or seen_at))
    return tuple(dated) or _unnamed(seen, now)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Clock:
    zone: tzinfo
    seen_at: datetime

    def words(self, entry: Form) -> str:
        at = moment(entry).astimezone(self.zone)
        if at.date() == self.seen_at.astimezone(self.zone).date():
            return f"at {at:%H:%M}"
        return f"on {at.day} {at:%b} at {at:%H:%M}"


def moment(entry: Form) -> datetime:
    """Return when an entry of a form was made.

    Parameters
    ----------
    entry
        One reading, photo or other entry of a form.

    Returns
    -------
    datetime
        In UTC.
    """
    return datetime.fromisoformat(entry["done_at"])


def _rows(form: Form, key: str) -> dict[str, Form]:
    return {row["id"]: row for row in form.get(key, ())}


def _added(seen: Form, now: Form, key: str) -> list[Form]:
    old = _rows(seen, key)
    return [row for row in now.get(key, ()) if row["id"] not in old]


def _dated(entry: Form, **said: str) -> Change:
    return Change(who=entry["who"], at=moment(entry), entry=entry["id"], **said)


def _names(form: Form) -> dict[str, str]:
    asked = form.get("step", {}).get("measurements", ()) or form.get("measurements", ())
    return {one["key"]: one["what"] for one in asked}


def _named(form: Form, row: Form) -> str:
    if row.get("what"):  # a look, in its own words
        return words_of(row["what"])
    what = _names(form).get(row["key"], row["key"])
    return f"{what} {row['position']}".strip()


def _value(row: Form) -> str:
    if row["seen"]:
        return words_of(row["seen"])
    return row["outcome"] or f"{row['text']} {row['unit']}".strip()


def _reading_changes(seen: Form, now: Form, clock: _Clock) -> Iterable[Change]:
    all_now, before = _rows(now, "readings"), _rows(seen, "readings")
    for row in _added(seen, now, "readings"):
        what, value, when = _named(now, row), _value(row), clock.words(row)
        old = all_now.get(row["replaces"] or "")
        if old is None:
            sentence = f"{what}, {value}, was added {when} by {WHO}, after it was seen."
            yield _dated(row, what=what, old="", new=value, sentence=sentence)
        elif old["id"] in before:
            told = f"It was changed to {value} {when} by {WHO}."
            if _value(old) == value:
                told = f"It was entered again {when} by {WHO}."
            sentence = f"{what} was marked at {_value(old)}. {told}"
            yield _dated(row, what=what, old=_value(old), new=value, sentence=sentence)
        else:
            sentence = f"{what} was changed again, to {value}, {when} by {WHO}."
            yield _dated(row, what=what, old=_value(old), new=value, sentence=sentence)


def _photo_changes(seen: Form, now: Form, clock: _Clock) -> Iterable[Change]:
    for row in _added(seen, now, "photos"):
        verb = "replaced" if row["replaces"] else "added"
        sentence = f"A photo was {verb} {clock.words(row)} by {WHO}, after it was seen."
        old = "the photo before" if row["replaces"] else ""
        yield _dated(
            row, what="Photo", old=old, new=f"{verb} {clock.words(row)}", sentence=sentence
        )


def _note_changes(seen: Form, now: Form, clock: _Clock) -> Iterable[Change]:
    for row in _added(seen, now, "notes"):
        verb = "rewritten" if row["replaces"] else "added"
        sentence = f"A note was {verb} {clock.words(row)} by {WHO}, after it was seen."
        old = "the note before" if row["replaces"] else ""
        yield _dated(row, what="Note", old=old, new=f"{verb} {clock.words(row)}", sentence=sentence)


def _ledger_changes(seen: Form, now: Form, clock: _Clock) -> Iterable[Change]:
    lines, moved = _rows(now, "off"), _rows(now, "moved")
    for row in _added(seen, now, "off"):
        what, new, old = words_of(row["what"]), _off_words(row), lines.get(row["replaces"] or "")
        told = f"{what} ({new}) was {row['how']} {clock.words(row)} by {WHO}."
        if old is not None:
            told = f"{words_of(old['what'])} ({_off_words(old)}) was corrected to {new} "
            told += f"{clock.words(row)} by {WHO}."
        before, after = "" if old is None else _off_words(old), f"{row['how']}: {new}"
        yield _dated(row, what=what, old=before, new=after, sentence=told)
    for row in _added(seen, now, "moved"):
        what, how_much = words_of(row["what"]), _how_much(row)
        old = moved.get(row["replaces"] or "")
        how = row["kind"] if old is None else f"{old['kind']}, {row['kind']}"
        told = f"{what} ({how_much}): {how} {clock.words(row)} by {WHO}."
        before = "" if old is None else f"{old['kind']}: {_how_much(old)}"
        after = f"{row['kind']}: {how_much}"
        yield _dated(row, what=what, old=before, new=after, sentence=told)


def _how_much(row: Form) -> str:
    return f"{row['quantity']} {row['unit']}".strip()


def _off_words(row: Form) -> str:
    return f"{_how_much(row)}, {words_of(row['place'])}"


def _tick_changes(seen: Form, now: Form, clock: _Clock) -> Iterable[Change]:
    for row in _added(seen, now, "ticks"):
        sentence = f"Caution {row['caution']} was ticked {clock.words(row)} by {WHO}."
        yield _dated(row, what=f"Caution {row['caution']}", old="", new="ticked", sentence=sentence)


def _standing_verdicts(form: Form) -> dict[tuple[str, str, str], Form]:
    """The last verdict on each thing read; one on a corrected reading stands no more."""
    replaced = {row["replaces"] for row in form.get("readings", ())}
    standing = {}
    for row in form.get("verdicts") or form.get("checks") or ():
        if not replaced & set(row["readings"]):
            standing[row["key"], row["position"], row["phase"]] = row
    return standing


def _verdict_changes(seen: Form, now: Form) -> Iterable[Change]:
    before = _standing_verdicts(seen)
    for place, row in _standing_verdicts(now).items():
        old = before.get(place)
        if old is not None and old["word"] != row["word"]:
            what = _named(now, row)
            yield Change(
                what=f"Verdict, {what}",
                old=old["word"],
                new=row["word"],
                sentence=f"{what} was {old['word']}. It is now {row['word']}.",
            )


def _mark_changes(seen: Form, now: Form) -> Iterable[Change]:
    before = _rows(seen, "marks")
    for row in now.get("marks", ()):
        old = before.get(row["id"])
        if old is None:
            sentence = f"{row['subject']} was marked after this was seen."
            yield Change(what=row["subject"], old="", new=row["state"], sentence=sentence)
        elif old["state"] != row["state"]:
            sentence = f"The mark on {row['subject']} was {old['state']}. It is now {row['state']}."
            yield Change(what=row["subject"], old=old["state"], new=row["state"], sentence=sentence)
        elif old["digest"] != row["digest"]:
            sentence = f"{row['subject']} was marked again after this was seen."
            yield Change(what=row["subject"], old="marked", new="marked again", sentence=sentence)


_TEXTS = {
    "title": "Title",
    "instructions": "Instructions",
    "kind": "Kind of step",
    "hold": "Hold",
    "cautions": "Cautions",
    "photos": "Photos asked for",
}
_SUBJECT_TEXTS = {
    "number": "Number of the step",
    "how": "How the cause is proved",
    "suspect": "Suspect",
    "belief": "Belief",
    "proof": "Proof of the repair",
    "sheet": "Circuit sheet",
    "statement": "Words of the cause",
    "complaints": "Complaint",
    "cause": "Cause",
    "correction": "Correction",
    "odometer_out": "Odometer",
    "vehicle": "Vehicle",
    "said": "What the owner is told",
}
_HIDDEN = {
    "statement",
    "complaints",
    "cause",
    "correction",
    "sheet",
    "vehicle",
}  # ids and digests tell nobody anything


def _text_changes(seen: Form, now: Form) -> Iterable[Change]:
    for key, name in _SUBJECT_TEXTS.items():
        old, new = seen.get(key), now.get(key)
        if old != new:
            hidden = key in _HIDDEN
            yield _reworded(name, "as seen" if hidden else _flat(old), "" if hidden else _flat(new))
    step, step_now = seen.get("step", {}), now.get("step", {})
    for key, name in _TEXTS.items():
        if step.get(key) != step_now.get(key):
            yield _reworded(name, _flat(step.get(key)), _flat(step_now.get(key)))
    asked = {one["key"]: one for one in step.get("measurements", ())}
    for one in step_now.get("measurements", ()):
        if one["key"] not in asked:
            yield _reworded(one["what"], "not asked for", one["limit"])
            continue
        old = asked.pop(one["key"])
        for key, name in (("limit", "limit"), ("source", "source of the limit"), ("what", "name")):
            if old[key] != one[key]:
                yield _reworded(f"{old['what']}, {name}", old[key], one[key])
    for old in asked.values():
        yield _reworded(old["what"], old["limit"], "not asked for")


def _reworded(what: str, old: str, new: str) -> Change:
    if not new:
        return Change(what=what, old=old, new="changed", sentence=f"{what}: changed since.")
    sentence = f"{what} was “{old}”. It is now “{new}”."
    return Change(what=what, old=old, new=new, sentence=sentence)


def _flat(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(_flat(one) for one in value)
    if isinstance(value, dict):
        return " ".join(_flat(one) for one in value.values())
    return "" if value is None else str(value)


_ENTRIES = ("readings", "photos", "notes", "off", "moved", "ticks")


def _altered_entries(seen: Form, now: Form) -> Iterable[Change]:
    """Entries are only added: one that is gone or reads otherwise was changed by other means."""
    for key in _ENTRIES:
        rows = _rows(now, key)
        for old in seen.get(key, ()):
            row = rows.get(old["id"])
            if row == old:
                continue
            what = _named(seen, old) if key == "readings" else _ENTRY_NAMES[key]
            was = _value(old) if key == "readings" else "as seen"
            is_now = "gone" if row is None else _value(row) if key == "readings" else "changed"
            yield Change(
                what=what,
                old=was,
                new=is_now,
                sentence=f"{what} was seen as {was} and is now {is_now}, without a correction."
                if key == "readings"
                else f"{what}: an entry that was seen is {is_now}, without a correction.",
                entry=old["id"],
            )


_ENTRY_NAMES = {
    "photos": "Photo",
    "notes": "Note",
    "off": "Ledger line",
    "moved": "Ledger movement",
    "ticks": "Caution",
}


def _unnamed(seen: Form, now: Form) -> tuple[Change, ...]:
    parts = sorted(key for key in seen.keys() | now.keys() if seen.get(key) != now.get(key))
    return tuple(
        Change(
            what=part.capitalize(),
            old="as seen",
            new="changed",
            sentence=f"{part.capitalize()}: not the same as when it was seen.",
        )
        for part in parts
    )
