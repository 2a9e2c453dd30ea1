"""The form of what was seen, and its digest: what a mark is bound to.

A form is a plain dict with a `form` number. What it holds is written out field by field, so that
a field that is added to a step one day leaves the digests of standing marks as they are; a form
that holds more gets a number of its own, and the makers of the older ones stay. What only some
entries have (the answer to a question) is written where it is, so that the others stay as they are.
"""

import hashlib
import json
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any, Protocol, TypeVar

import rfc8785

from witnessmark.work.evidence import (
    CauseSeen,
    Entry,
    MovedSeen,
    OffSeen,
    PhotoSeen,
    ReadingSeen,
    ReleaseSeen,
    StepSeen,
    VerdictSeen,
)
from witnessmark.work.steps import Measurement, Step

FORM = 1

Form = dict[str, Any]


class _Dated(Protocol):
    @property
    def id(self) -> str: ...
    @property
    def done_at(self) -> datetime: ...


_Entries = TypeVar("_Entries", bound=_Dated)


def step_form(seen: StepSeen) -> Form:
    """Return everything that the teacher sees when a step is marked.

    Parameters
    ----------
    seen
        The step with its evidence; every entry, corrected ones too.

    Returns
    -------
    dict
        Texts, ids and digests; no computed float. Entries in the order in which they were made.
    """
    return {
        "form": FORM,
        "subject": "step",
        "id": seen.id,
        "number": seen.number,
        "step": _step_text(seen.step),
        "readings": [_reading(one) for one in _in_order(seen.readings)],
        "photos": [_photo(one) for one in _in_order(seen.photos)],
        "notes": [_entry(one) | {"digest": one.digest} for one in _in_order(seen.notes)],
        "verdicts": _verdicts(seen.verdicts),
        "off": [_off(one) for one in _in_order(seen.off)],
        "moved": [_moved(one) for one in _in_order(seen.moved)],
        "ticks": [_entry(one) | {"caution": one.caution} for one in _in_order(seen.ticks)],
    }


def cause_form(seen: CauseSeen) -> Form:
    """Return everything that the teacher sees when a cause is marked.

    Parameters
    ----------
    seen
        The cause with the readings and photos that prove it.

    Returns
    -------
    dict
        Texts, ids and digests; shares of belief as they were shown.
    """
    return {
        "form": FORM,
        "subject": "cause",
        "id": seen.id,
        "how": seen.how,
        "statement": seen.statement_digest,
        "complaints": list(seen.complaints),
        "suspect": seen.suspect,
        "belief": [{"suspect": one.suspect, "share": one.share} for one in seen.belief],
        "proof": list(seen.proof),
        "sheet": seen.sheet_digest,
        "who": seen.who,
        "done_at": _moment(seen.done_at),
        "replaces": seen.replaces,
        "readings": [_reading(one) for one in _in_order(seen.readings)],
        "photos": [_photo(one) for one in _in_order(seen.photos)],
        "verdicts": _verdicts(seen.verdicts),
        "measurements": [{"key": key, "what": what} for key, what in seen.measurements],
    }


def release_form(seen: ReleaseSeen) -> Form:
    """Return everything that the teacher sees when a vehicle is released.

    Parameters
    ----------
    seen
        The job as it stands at the gate.

    Returns
    -------
    dict
        Texts, ids and digests, the marks with theirs.
    """
    return {
        "form": FORM,
        "subject": "release",
        "id": seen.id,
        "kind": seen.kind,
        "job": seen.job,
        "vehicle": seen.vehicle,
        "complaints": list(seen.complaints),
        "cause": seen.cause_digest,
        "correction": seen.correction_digest,
        "odometer_out": seen.odometer_out,
        "marks": [
            {
                "subject": one.subject,
                "id": one.subject_id,
                "state": one.state,
                "digest": one.digest,
                "same_person": one.same_person,
                "accepted": one.accepted_digest,
            }
            for one in seen.marks
        ],
        "checks": _verdicts(seen.checks),
        "off": [_off(one) for one in _in_order(seen.ledger_off)],
        "moved": [_moved(one) for one in _in_order(seen.ledger_moved)],
        "said": list(seen.said),
    }


def canonical(form: Form) -> str:
    """Return a form as canonical JSON, the text that a mark keeps.

    Parameters
    ----------
    form
        A form of this module, or one read back from a mark.

    Returns
    -------
    str
        RFC 8785 JSON.

    References
    ----------
    [1] RFC 8785, JSON Canonicalization Scheme, June 2020.

    Examples
    --------
    >>> canonical({"b": 1, "a": "Ω"})
    '{"a":"Ω","b":1}'
    """
    return rfc8785.dumps(form).decode()


def digest(form: Form) -> str:
    """Return the SHA-256 of a form, as 64 hexadecimal signs.

    Parameters
    ----------
    form
        A form of this module.

    Returns
    -------
    str
        The digest that a mark is bound to.
    """
    return text_digest(canonical(form))


def text_digest(text: str) -> str:
    """Return the SHA-256 of a text, as 64 hexadecimal signs.

    Parameters
    ----------
    text
        Any text; its UTF-8 bytes are taken.

    Returns
    -------
    str
        The digest by which a text is known again.

    References
    ----------
    [1] FIPS 180-4, Secure Hash Standard, August 2015.

    Examples
    --------
    >>> text_digest("abc")[:16]
    'ba7816bf8f01cfea'
    """
    return hashlib.sha256(text.encode()).hexdigest()


def read_form(text: str) -> Form:
    """Return the form that a mark kept.

    Parameters
    ----------
    text
        The canonical JSON of the mark.

    Returns
    -------
    dict
        The form, as `digest` and `changes` take it.
    """
    form: Form = json.loads(text)
    return form


def short(digest: str) -> str:
    """Return a digest as pages print it: eight signs in two fours.

    Parameters
    ----------
    digest
        64 hexadecimal signs.

    Returns
    -------
    str
        The first eight.

    Examples
    --------
    >>> short("c04d2be8" + 56 * "0")
    'c04d 2be8'
    """
    return f"{digest[:4]} {digest[4:8]}"


def _in_order(entries: Iterable[_Entries]) -> list[_Entries]:
    return sorted(entries, key=lambda one: (one.done_at, one.id))


def _moment(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def _entry(one: Entry) -> Form:
    return {
        "id": one.id,
        "who": one.who,
        "done_at": _moment(one.done_at),
        "replaces": one.replaces,
        "reason": one.reason_digest,
    }


def _step_text(step: Step) -> Form:
    return {
        "key": step.key,
        "title": step.title,
        "kind": str(step.kind),
        "hold": str(step.hold),
        "instructions": list(step.instructions),
        "cautions": list(step.cautions),
        "measurements": [_measurement(one) for one in step.measurements],
        "photos": [{"key": one.key, "what": one.what} for one in step.photos],
    }


def _measurement(one: Measurement) -> Form:
    return {
        "key": one.key,
        "what": one.what,
        "unit": one.unit,
        "limit": one.limit_text,
        "source": one.source,
        "phase": str(one.phase),
        "instrument": one.instrument,
        "positions": list(one.positions),
    }


def _reading(one: ReadingSeen) -> Form:
    instrument = one.instrument
    return _entry(one) | {
        "key": one.key,
        "what": one.what_digest,
        "position": one.position,
        "text": one.text,
        "unit": one.unit,
        "outcome": one.outcome,
        "seen": one.seen_digest,
        "phase": str(one.phase),
        "present": one.present,
        "instrument": None
        if instrument is None
        else {
            "id": instrument.id,
            "name": instrument.name,
            "resolution": instrument.resolution,
        },
    }


def _photo(one: PhotoSeen) -> Form:
    return _entry(one) | {"digest": one.digest, "key": one.key, "caption": one.caption_digest}


def _verdicts(verdicts: Iterable[VerdictSeen]) -> list[Form]:
    return [
        {
            "id": one.id,
            "key": one.key,
            "position": one.position,
            "phase": str(one.phase),
            "value": one.value,
            "expanded": one.expanded,
            "limit": one.limit,
            "source": one.source,
            "chance": one.chance,
            "word": one.word,
            "readings": sorted(one.readings),
        }
        for one in sorted(verdicts, key=lambda one: (one.key, one.position, one.phase, one.id))
    ]


def _off(one: OffSeen) -> Form:
    return _entry(one) | {
        "key": one.key,
        "what": one.what_digest,
        "how": str(one.how),
        "quantity": one.quantity,
        "unit": one.unit,
        "place": one.place_digest,
    }


def _moved(one: MovedSeen) -> Form:
    answered = {"answered": one.answered_digest} if one.answered_digest else {}
    return (
        _entry(one)
        | answered
        | {
            "line": one.line,
            "what": one.what_digest,
            "kind": one.kind,
            "quantity": one.quantity,
            "unit": one.unit,
            "old": one.old,
        }
    )
