"""One act: the change and its log entry in one transaction, answered the same when sent twice."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

import rfc8785
from django.db import models, transaction

from witnessmark.errors import BenchError
from witnessmark.log import chain
from witnessmark.log.kept import Kept, as_json
from witnessmark.log.models import Aside, Entry

Row = TypeVar("Row", bound=Kept)


class Act:
    """What one act changes, gathered for its entry."""

    def __init__(self, id: UUID, at: datetime, earlier: Entry | None) -> None:
        self.id, self.at, self.earlier = id, at, earlier
        self.values: dict[str, Any] = {}
        self.rows: list[list[Any]] = []
        self.changed: list[list[Any]] = []
        self.erased: list[UUID] = []
        self.asides: list[Aside] = []

    @property
    def is_repeated(self) -> bool:
        """Return whether this very request was answered before: change nothing, answer again."""
        return self.earlier is not None

    def add(self, row: Row, **others: Iterable[models.Model]) -> Row:
        """Save a new row, with the other rows it is tied to; the entry says what stands in it."""
        _must_fit(row)
        row.save(force_insert=True)
        for name, rows in others.items():
            getattr(row, name).set(rows)
        self.rows.append([*_label(row), row.said() | self._kept_beside(row, row.beside())])
        return row

    def change(self, row: Row, **columns: Any) -> Row:
        """Set columns of a row and save them; the entry says what stands in them now."""
        before = row.beside(columns)
        if before:
            before = type(row)._base_manager.get(pk=row.pk).beside(columns)
        for name, value in columns.items():
            setattr(row, name, value)
        _must_fit(row)
        row.save(update_fields=list(columns))
        anew = {name: text for name, text in row.beside(columns).items() if text != before[name]}
        said = row.said(columns) | self._kept_beside(row, anew)
        self.changed.append([*_label(row), said])
        return row

    def words(self, key: str, text: str | None, longest: int | None = None) -> Aside | None:
        """Put free text beside the entry, where it can be erased; None for no text."""
        if text is None or not text.strip():
            return None
        _must_be_short(text.strip(), longest)
        return self._beside(chain.aside(self.id, key, text.strip()))

    def words_again(
        self, earlier: Aside | None, key: str, text: str, longest: int | None = None
    ) -> Aside | None:
        """Return the text that stands already where it is the same, else put it beside."""
        if earlier is not None and text.strip() == earlier.words:
            return earlier
        return self.words(key, text, longest)

    def file(self, key: str, name: str, content: bytes) -> Aside:
        """Put a file beside the entry; the caller has written it into the photo folder."""
        return self._beside(chain.aside(self.id, key, name, content=content))

    def erase(self, asides: "models.QuerySet[Aside]") -> None:
        """Erase texts and photos that stand beside earlier entries; the entry names them."""
        self.erased += chain.erase(asides, at=self.at)

    def erase_typed(self, row: Row, **instead: Any) -> Row:
        """Erase every word that ever stood in a row; `instead` says what stands there now."""
        self.erase(Aside.objects.filter(pk__in=_ever_typed(row)))
        return self.change(row, **(dict.fromkeys(row.typed, "") | instead))

    def say(self, **values: Any) -> None:
        """Let the entry say this: ids and values, never the name of a person."""
        self.values.update(values)

    def _beside(self, aside: Aside) -> Aside:
        self.asides.append(aside)
        return aside

    def _kept_beside(self, row: Kept, columns: Mapping[str, str | None]) -> dict[str, Any]:
        """Put the typed and the hidden columns of a row beside the entry; say where they stand."""
        said: dict[str, Any] = {}
        for name, text in columns.items():
            said[name] = text
            if text and name in row.hidden:
                digest = chain.aside(self.id, f"{chain.HIDDEN}{name}", None, content=text.encode())
                said[name] = {"aside": self._beside(digest).pk}
            elif text:
                key = f"{row._meta.verbose_name} {name}"
                said[name] = {"aside": self._beside(chain.aside(self.id, key, text)).pk}
        return said


def _label(row: models.Model) -> tuple[str, str]:
    return row._meta.label_lower, str(row.pk)


def _ever_typed(row: Kept) -> set[UUID]:
    """Return the asides of every text that an entry says of a row."""
    label, pk = _label(row)
    return {
        UUID(value["aside"])
        for entry in Entry.objects.filter(values__contains=pk)
        for kind, id, columns in entry.said_of_rows()
        if (kind, id) == (label, pk)
        for name, value in columns.items()
        if name in row.typed and isinstance(value, dict)
    }


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
            values=doing.values
            | {"rows": doing.rows, "changed": doing.changed, "erased": doing.erased},
            asides=[
                *doing.asides,
                chain.aside(id, chain.ASKED, None, content=rfc8785.dumps(as_json(content))),
            ],
        )


def _must_fit(row: models.Model) -> None:
    """Refuse a text that is longer than its column: not every database would."""
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        if isinstance(value, str):
            _must_be_short(value, getattr(field, "max_length", None))


def _must_be_short(text: str, longest: int | None) -> None:
    if longest is not None and len(text) > longest:
        raise BenchError(
            f"“{text[:24]}…” is {len(text)} signs long.",
            f"At most {longest} fit here.",
            "Say it shorter, and write the rest as a note.",
        )
