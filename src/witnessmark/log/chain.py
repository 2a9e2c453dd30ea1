"""The chain: each entry's digest covers its own content and the digest before it."""

import hashlib
import secrets
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID

import rfc8785
from django.conf import settings
from django.db import connection, transaction
from django.db.models import QuerySet

from witnessmark.log.kept import as_json
from witnessmark.log.models import Aside, Entry, Head

FORM = 1  # of the content that an entry's digest covers
START = "0" * 64
ASKED = "asked"  # the aside that tells whether the same request came twice; it holds no text
HIDDEN = "hidden "  # begins the key of a secret: a salted digest beside the entry, and no text


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something in the record that is not as it was written."""

    what: str  # one sentence
    entry: int | None = None
    job_id: UUID | None = None
    subject_kind: str = ""
    subject_id: UUID | None = None


def head() -> int:
    """Return the number of the last entry, 0 before the first."""
    row = Head.objects.filter(pk=1).values_list("number", flat=True).first()
    return row or 0


def lock_head() -> Head:
    """Take the one head row for this transaction: acts come one after another."""
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError("the head is locked inside a transaction only")
    Head.objects.get_or_create(pk=1)
    return Head.objects.select_for_update().get(pk=1)


def append(
    verb: str,
    *,
    entry_id: UUID,
    at: datetime,
    actor: Any = None,
    device: Any = None,
    job: Any = None,
    subject: Any = None,
    subject_kind: str = "",
    values: Mapping[str, Any] | None = None,
    asides: Iterable[Aside] = (),
) -> Entry:
    """Add one entry to the chain, with its asides, inside the caller's transaction.

    `actor`, `device`, `job` and `subject` are rows or ids; only their ids are written.
    """
    last = lock_head()
    beside = list(asides)
    entry = Entry(
        number=last.number + 1,
        id=entry_id,
        at=at,
        verb=verb,
        actor_id=_id(actor),
        device_id=_id(device),
        subject_kind=subject_kind or _kind(subject),
        subject_id=_id(subject),
        job_id=_id(job),
        values=rfc8785.dumps(
            as_json(
                {
                    **(values or {}),
                    "asides": {str(aside.id): [aside.key, aside.digest] for aside in beside},
                }
            )
        ).decode(),
        previous=last.digest,
    )
    entry.digest = digest_of(entry)
    entry.save()
    for aside in beside:
        aside.save()
    last.number, last.digest = entry.number, entry.digest
    last.save(update_fields=["number", "digest"])
    return entry


def digest_of(entry: Entry) -> str:
    """Return the digest that belongs to an entry's content and the digest before it."""
    content = {
        "form": FORM,
        "number": entry.number,
        "id": str(entry.id),
        "at": as_json(entry.at),
        "verb": entry.verb,
        "actor": as_json(entry.actor_id),
        "device": as_json(entry.device_id),
        "subject": [entry.subject_kind, as_json(entry.subject_id)],
        "job": as_json(entry.job_id),
        "values": entry.values,
        "previous": entry.previous,
    }
    return hashlib.sha256(rfc8785.dumps(content)).hexdigest()


def salted_digest(salt: str, content: bytes) -> str:
    """Return the digest of a text or photo under its salt."""
    return hashlib.sha256(bytes.fromhex(salt) + content).hexdigest()


def aside(entry_id: UUID, key: str, text: str | None, *, content: bytes | None = None) -> Aside:
    """Return free text, or a file by its name and bytes, salted and not yet saved."""
    salt = secrets.token_hex(16)
    return Aside(
        id=uuid.uuid4(),
        entry_id=entry_id,
        key=key,
        salt=salt,
        digest=salted_digest(salt, (text or "").encode() if content is None else content),
        text=text,
        is_file=content is not None and text is not None,
    )


def is_same_request(entry: Entry, asked: Mapping[str, Any]) -> bool:
    """Return whether an entry was made by a request with this content."""
    kept = Aside.objects.filter(entry=entry, key=ASKED).first()
    if kept is None or not kept.salt:
        return False
    return salted_digest(kept.salt, rfc8785.dumps(as_json(asked))) == kept.digest


def erase(asides: "QuerySet[Aside]", *, at: datetime) -> list[UUID]:
    """Erase these texts and photos with their salts; return the ids of the erased.

    The caller's own act writes the entry that names them.
    """
    ids = []
    for aside in asides.filter(erased_at=None):
        if aside.is_file and aside.text:
            path = Path(settings.MEDIA_ROOT) / aside.text
            transaction.on_commit(partial(path.unlink, missing_ok=True))
        ids.append(aside.pk)
    # The one place where an added row changes: what a person may have erased.
    QuerySet(Aside).filter(pk__in=ids).update(text=None, salt="", erased_at=at)
    transaction.on_commit(_empty_the_journal)
    return ids


def _empty_the_journal() -> None:
    """Let SQLite write its journal into the database now: old pages in it hold erased words."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def is_hidden(key: str) -> bool:
    """Return whether an aside of this key never had a text: only its digest is kept."""
    return key == ASKED or key.startswith(HIDDEN)


def verify() -> tuple[Finding, ...]:
    """Recompute the chain and what stands beside it; return everything that does not agree."""
    findings: list[Finding] = []
    previous, expected = START, 1
    erased: set[UUID] = set()
    said: dict[UUID, tuple[Entry, str, str]] = {}
    for entry in Entry.objects.order_by("number").iterator():
        if entry.number != expected:
            findings.append(_about(entry, f"Entries {expected} to {entry.number - 1} are missing."))
        if entry.previous != previous:
            findings.append(
                _about(entry, f"Entry {entry.number} does not follow from the one before it.")
            )
        if digest_of(entry) != entry.digest:
            findings.append(
                _about(entry, f"Entry {entry.number} ({entry.verb}) was changed after it was made.")
            )
        try:
            facts = entry.facts()
            for aside_id, (key, digest) in facts.get("asides", {}).items():
                said[UUID(aside_id)] = (entry, key, digest)
            erased.update(UUID(text) for text in facts.get("erased", []))
        except (ValueError, AttributeError, TypeError):
            findings.append(_about(entry, f"Entry {entry.number} cannot be read any more."))
        previous, expected = entry.digest, entry.number + 1
    last = Head.objects.filter(pk=1).first()
    if last and (last.number, last.digest) != (expected - 1, previous):
        findings.append(
            Finding(what=f"The log ends at entry {expected - 1}; its head says {last.number}.")
        )
    return (*findings, *_verify_asides(said, erased))


def _verify_asides(
    said: dict[UUID, tuple[Entry, str, str]], erased: set[UUID]
) -> Iterable[Finding]:
    for aside in Aside.objects.iterator():
        entry, key, digest = said.pop(aside.pk, (None, "", ""))
        if entry is None:
            yield Finding(what=f"A text ({aside.key}) stands in the record without an entry.")
            continue
        if (aside.key, aside.digest, aside.entry_id) != (key, digest, entry.id):
            yield _about(entry, f"The text ({key}) beside entry {entry.number} was changed.")
            continue
        if not aside.salt:
            if aside.pk not in erased:
                yield _about(
                    entry, f"The text ({key}) beside entry {entry.number} is gone unrecorded."
                )
            continue
        if aside.pk in erased:
            yield _about(
                entry, f"The text ({key}) beside entry {entry.number} was erased and is back."
            )
        if is_hidden(key):
            continue
        content = aside.text.encode() if aside.text is not None and not aside.is_file else None
        if aside.is_file and aside.text:
            path = Path(settings.MEDIA_ROOT) / aside.text
            if not path.is_file():
                yield _about(entry, f"The photo beside entry {entry.number} is missing.")
                continue
            content = path.read_bytes()
        if content is None or salted_digest(aside.salt, content) != digest:
            thing = "photo" if aside.is_file else f"text ({key})"
            yield _about(entry, f"The {thing} beside entry {entry.number} was changed.")
    for entry, key, _digest in said.values():
        yield _about(entry, f"The text ({key}) beside entry {entry.number} is missing.")


def _about(entry: Entry, what: str) -> Finding:
    return Finding(
        what=what,
        entry=entry.number,
        job_id=entry.job_id,
        subject_kind=entry.subject_kind,
        subject_id=entry.subject_id,
    )


def _id(thing: Any) -> UUID | None:
    if thing is None or isinstance(thing, uuid.UUID):
        return thing
    found: UUID = thing.pk
    return found


def _kind(thing: Any) -> str:
    return "" if thing is None or isinstance(thing, uuid.UUID) else str(thing._meta.model_name)
