"""Rows that are only added: never changed in place, never deleted."""

import hashlib
import json
from datetime import UTC, date, datetime
from typing import Any, ClassVar, Self
from uuid import UUID

from django.db import models


class ChangedInPlace(RuntimeError):  # noqa: N818 - reads as a sentence
    """A promise between rooms is broken: someone tried to change what is only added."""


class AddedOnlyQuerySet(models.QuerySet):
    """Reads and adds; refuses to change or delete."""

    def update(self, **kwargs: Any) -> int:
        raise ChangedInPlace(f"{self.model.__name__} rows are only added")

    def bulk_update(self, *args: Any, **kwargs: Any) -> int:
        raise ChangedInPlace(f"{self.model.__name__} rows are only added")

    def update_or_create(self, *args: Any, **kwargs: Any) -> tuple[Any, bool]:
        raise ChangedInPlace(f"{self.model.__name__} rows are only added")

    def bulk_create(self, objs: Any, *args: Any, **kwargs: Any) -> list[Any]:
        if kwargs.get("update_conflicts") or kwargs.get("ignore_conflicts"):
            raise ChangedInPlace(f"{self.model.__name__} rows are only added")
        return super().bulk_create(objs, *args, **kwargs)

    def delete(self) -> tuple[int, dict[str, int]]:
        raise ChangedInPlace(f"{self.model.__name__} rows are only added")

    def _raw_delete(self, using: str | None) -> int:
        raise ChangedInPlace(f"{self.model.__name__} rows are only added")


class AddedOnly(models.Model):
    """A row that is added once. A correction is a new row that names the one it replaces."""

    objects: ClassVar[Any] = AddedOnlyQuerySet.as_manager()

    class Meta:
        abstract = True
        base_manager_name = "objects"

    def save(self, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ChangedInPlace(f"{type(self).__name__} {self.pk} is only added")
        kwargs["force_insert"] = True
        super().save(**kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise ChangedInPlace(f"{type(self).__name__} {self.pk} is only added")

    def said(self) -> dict[str, Any]:
        """Return the row as its log entry says it."""
        return said(self)


class PinnedColumns(models.Model):
    """A row of which some columns, named in `pinned`, never change after it was added."""

    pinned: ClassVar[tuple[str, ...]] = ()

    class Meta:
        abstract = True

    def said(self) -> dict[str, Any]:
        """Return the fixed columns as the log entry says them."""
        return said(self, self.pinned)

    @classmethod
    def rows_as_said(cls) -> "models.QuerySet[Self]":
        return cls._base_manager.all()


def said(row: models.Model, columns: tuple[str, ...] | None = None) -> dict[str, Any]:
    """Return a row's columns as JSON values; long text as its digest.

    A text column holds sheets and forms, never what a person wrote in passing:
    that stands in an aside, so that it can be erased.
    """
    values: dict[str, Any] = {}
    for field in row._meta.concrete_fields:
        if columns is not None and field.attname not in columns:
            continue
        value = getattr(row, field.attname)
        if isinstance(field, models.TextField) and value:
            value = "sha256:" + hashlib.sha256(value.encode()).hexdigest()
        values[field.attname] = as_json(value)
    return values


def as_json(value: Any) -> Any:
    """Return one value as it stands in a log entry.

    >>> as_json(datetime(2026, 11, 24, 11, 12, tzinfo=UTC))
    '2026-11-24T11:12:00.000000Z'
    """
    match value:
        case None | bool() | int() | str():
            return value
        case UUID():
            return str(value)
        case datetime():
            return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
        case date():
            return value.isoformat()
        case dict():
            return {str(key): as_json(item) for key, item in value.items()}
        case list() | tuple():
            return [as_json(item) for item in value]
        case models.Model():
            return as_json(value.pk)
    raise TypeError(f"{type(value).__name__} has no place in the log: {value!r}")


def json_text(value: Any) -> str:
    """Return JSON text for a column that is kept as it was shown."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
