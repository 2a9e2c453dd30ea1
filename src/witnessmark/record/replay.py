"""The log played again: every column of every row as the entries say it, against what stands."""

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import Any
from uuid import UUID

from django.apps import apps
from django.core.exceptions import ObjectDoesNotExist
from django.db import models

from witnessmark.log.chain import Finding, salted_digest
from witnessmark.log.kept import Kept
from witnessmark.log.models import Aside, Entry
from witnessmark.record.models import Evidence, Job

Columns = dict[str, tuple[Entry, Any]]  # what the last entry that speaks of a column says
Standing = dict[tuple[str, str], Columns]
_AT_ONCE = 500  # rows, with the texts beside them


def verify_rows() -> Iterator[Finding]:
    """Yield every column that is not as the log says, and every row that it does not know."""
    standing, unreadable = _played_again()
    yield from unreadable
    for model in kept_models():
        yield from _verify_rows(model, standing)
    for (label, pk), columns in standing.items():
        if any(value is not None for _, value in columns.values()):
            entry = max((entry for entry, _ in columns.values()), key=lambda one: one.number)
            yield Finding(
                what=f"{_kind(label)} {pk} of entry {entry.number} is missing.",
                entry=entry.number,
                job_id=entry.job_id,
                subject_kind=label,
            )


def kept_models() -> list[type[Kept]]:
    """Return the models whose rows the log says; the log itself is verified by its chain."""
    return [
        model
        for model in apps.get_models()
        if issubclass(model, Kept) and model not in (Entry, Aside)
    ]


def _played_again() -> tuple[Standing, list[Finding]]:
    standing: Standing = {}
    unreadable = []
    for entry in Entry.objects.order_by("number").iterator():
        try:
            for label, pk, columns in entry.said_of_rows():
                said = {name: (entry, value) for name, value in columns.items()}
                standing.setdefault((label, pk), {}).update(said)
        except (ValueError, KeyError, TypeError, AttributeError):
            unreadable.append(
                Finding(
                    what=f"What entry {entry.number} says of its rows cannot be read.",
                    entry=entry.number,
                    job_id=entry.job_id,
                )
            )
    return standing, unreadable


def _verify_rows(model: type[Kept], standing: Standing) -> Iterator[Finding]:
    label = model._meta.label_lower
    others = [field.name for field in model._meta.many_to_many]
    # In the order of their keys: an order by another row's name leaves out whose row is gone.
    ordered = model._base_manager.prefetch_related(*others).order_by("pk")
    rows = ordered.iterator(chunk_size=_AT_ONCE)
    while chunk := list(islice(rows, _AT_ONCE)):
        said = [standing.pop((label, str(row.pk)), {}) for row in chunk]
        texts = Aside.objects.in_bulk(set(filter(None, map(_aside, _values(said)))))
        for row, columns in zip(chunk, said, strict=True):
            for column, entry, sentence in _differences(row, columns, texts):
                yield Finding(
                    what=f"{_called(row)}{column}{sentence}",
                    entry=None if entry is None else entry.number,
                    job_id=row.pk if isinstance(row, Job) else getattr(row, "job_id", None),
                    subject_kind=model._meta.model_name or "",
                    subject_id=row.pk,
                )


def _values(said: Iterable[Columns]) -> Iterator[Any]:
    return (value for columns in said for _, value in columns.values())


def _aside(value: Any) -> UUID | None:
    """Return the aside in which a column's content stands, if it stands in one."""
    try:
        return UUID(value["aside"]) if isinstance(value, dict) else None
    except (KeyError, ValueError, AttributeError):
        return None


def _differences(
    row: Kept, columns: Columns, texts: dict[UUID, Aside]
) -> Iterator[tuple[str, Entry | None, str]]:
    """Yield each column that differs, the entry that says it, and how it differs.

    A column that came to the program after the row stands as it began until an entry says more.
    """
    now, began = row.said(), type(row)()
    if not columns:
        if any(value is not None for value in now.values()):
            yield "", None, " has no entry in the log."
        return
    beside = row.beside()
    for column in sorted(now.keys() | columns.keys() - beside.keys()):
        entry, then = columns.get(column) or (None, _at_first(began, column))
        if now.get(column) != then:
            is_now, was = _shown(row, column, now.get(column)), _shown(row, column, then)
            yield _named(column), entry, f" is {is_now}, {_says(entry)} {was}."
    for column, text in beside.items():
        if column not in columns:
            if text != getattr(began, column):
                yield _named(column), None, f" is {_quoted(text)}, no entry says it."
            continue
        entry, value = columns[column]
        aside = texts.get(_aside(value) or UUID(int=0))
        if value and aside is None:
            continue  # that a text is missing beside its entry is a finding of the chain
        if not value:
            if text != value:
                yield _named(column), entry, f" is {_quoted(text)}, {_says(entry)} nothing."
        elif column in row.hidden:
            if salted_digest(aside.salt, (text or "").encode()) != aside.digest:
                yield _named(column), entry, f" is another than {_says(entry)}."
        elif not aside.salt:
            yield _named(column), entry, f" is {_quoted(text)}, {_says(entry)} a text now erased."
        elif text != aside.text:
            is_now, was = _quoted(text), _quoted(aside.text)
            yield _named(column), entry, f" is {is_now}, {_says(entry)} {was}."


def _at_first(began: Kept, column: str) -> Any:
    """Return what a column holds before anything is said of it."""
    if column in {field.name for field in began._meta.many_to_many}:
        return []
    return began.said([column]).get(column)


def _says(entry: Entry | None) -> str:
    return "no entry says" if entry is None else f"entry {entry.number} says"


def _named(column: str) -> str:
    return f": {column.removesuffix('_id')}"


def _kind(label: str) -> str:
    return str(apps.get_model(label)._meta.verbose_name).capitalize()


def _called(row: models.Model) -> str:
    """Return what a row is and its name: "Reading bolt 1", "Bay 2"."""
    kind, name = _kind(row._meta.label_lower), _name(row)
    return name if name.startswith(f"{kind} ") else f"{kind} {name}"


def _name(row: models.Model) -> str:
    """Return what people call the row: the key of a piece of evidence, else its name."""
    if not isinstance(row, Evidence):
        try:
            return str(row)
        except (ObjectDoesNotExist, AttributeError):  # a part of its name is gone
            return str(row.pk)[:8]
    key = getattr(row, "key", "") or getattr(row, "what", "")
    position = getattr(row, "position", "")
    return f"{key} {position}".strip() if key else str(row.pk)[:8]


def _shown(row: models.Model, column: str, value: Any) -> str:
    """Return a value for people: a row that is named by its id is called by its name."""
    field = next((one for one in row._meta.concrete_fields if one.attname == column), None)
    if value is not None and isinstance(field, models.ForeignKey) and column != field.name:
        other = field.related_model._base_manager.filter(pk=value).first()
        return _quoted(value if other is None else _name(other))
    return _quoted(value)


def _quoted(value: Any) -> str:
    text = "nothing" if value in (None, "", []) else f"'{value}'"
    return text if len(text) <= 60 else text[:56] + "…'"
