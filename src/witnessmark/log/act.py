"""One act: the change and its log entry in one transaction, answered the same when sent twice."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

import rfc8785
from django.db import models, transaction

from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.added_only import AddedOnly, PinnedColumns, as_json
from witnessmark.log.models import Aside, Entry

Row = TypeVar("Row", bound=models.Model)


class Act:
    """What one act changes, gathered for its entry."""

    def __init__(self, id: UUID, at: datetime, earlier: Entry | None) -> None:
        self.id, self.at, self.earlier = id, at, earlier
        self.values: dict[str, Any] = {}
        self.rows: list[list[Any]] = []
        self.asides: list[Aside] = []

    @property
    def is_repeated(self) -> bool:
        """Return whether this very request was answered before: change nothing, answer again."""
        return self.earlier is not None

    def add(self, row: Row) -> Row:
        """Save a new row; the entry says what stands in it."""
        _must_fit(row)
        row.save(force_insert=True)
        if isinstance(row, AddedOnly | PinnedColumns):
            self.rows.append([row._meta.label_lower, row.said()])
        return row

    def words(self, key: str, text: str | None) -> Aside | None:
        """Put free text beside the entry, where it can be erased; None for no text."""
        if text is None or not text.strip():
            return None
        return self._beside(chain.aside(self.id, key, text.strip()))

    def file(self, key: str, name: str, content: bytes) -> Aside:
        """Put a file beside the entry; the caller has written it into the photo folder."""
        return self._beside(chain.aside(self.id, key, name, content=content))

    def say(self, **values: Any) -> None:
        """Let the entry say this: ids and values, never the name of a person."""
        self.values.update(values)

    def _beside(self, aside: Aside) -> Aside:
        self.asides.append(aside)
        return aside


@contextmanager
def act(
    verb: str,
    id: UUID,
    *,
    now: Callable[[], datetime],
    actor: Any,
    device: Any = None,
    job: Any = None,
    subject: Any = None,
    asked: Mapping[str, Any],
) -> Iterator[Act]:
    """Open the transaction of one act and write its entry at the end.

    The head of the log is locked first, so what the act looks at cannot change under it,
    and times follow one another as the entries do.
    `id` was made where the act was typed. If it comes again with the same content, the
    act is repeated and must only answer; with other content it is refused. `asked` is
    that content, without secrets: it is kept as a salted digest.
    """
    content = {**asked, "verb": verb, "actor": actor}
    with transaction.atomic():
        chain.lock_head()
        earlier = Entry.objects.filter(id=id).first()
        if earlier is not None and not chain.is_same_request(earlier, content):
            raise BenchError(
                "This entry was already kept, with other content.",
                "An entry is kept once and never changed in place.",
                "Open the page again, look at what was kept, and correct it there.",
            )
        doing = Act(id, now(), earlier)
        yield doing
        if doing.is_repeated:
            return
        chain.append(
            verb,
            entry_id=id,
            at=doing.at,
            actor=actor,
            device=device,
            job=doing.values.pop("job", job),
            subject=doing.values.pop("subject", subject),
            values={**doing.values, "rows": doing.rows},
            asides=[
                *doing.asides,
                chain.aside(id, chain.ASKED, None, content=rfc8785.dumps(as_json(content))),
            ],
        )


def _must_fit(row: models.Model) -> None:
    """Refuse a text that is longer than its column: not every database would."""
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        longest = getattr(field, "max_length", None)
        if isinstance(value, str) and longest is not None and len(value) > longest:
            raise BenchError(
                f"“{value[:24]}…” is {len(value)} signs long.",
                f"At most {longest} fit here.",
                "Say it shorter, and write the rest as a note.",
            )
