"""Rows whose columns the log says: when they are added, and each time an act changes them."""

import hashlib
import json
from collections.abc import Collection
from datetime import UTC, date, datetime, time
from typing import Any, ClassVar
from uuid import UUID

from django.db import models


class Kept(models.Model):
    """A row that `verify` compares with the log, column by column.

    Every column is said in plain, but for those that are named here.
    """

    typed: ClassVar[frozenset[str]] = frozenset()  # words that stand beside the entry
    hidden: ClassVar[frozenset[str]] = frozenset()  # beside it as a salted digest only
    unsaid: ClassVar[dict[str, str]] = {}  # not in the log at all: the column, and why not

    class Meta:
        abstract = True

    def said(self, columns: Collection[str] | None = None) -> dict[str, Any]:
        """Return columns as the log says them in plain; a long text as its digest.

        A text column that is not among the typed ones holds a sheet or a form, and a number of the
        machine is said as text.
        """
        values: dict[str, Any] = {}
        beside = self.typed | self.hidden | self.unsaid.keys()
        for field in self._meta.concrete_fields:
            if _is_asked(field, columns) and field.attname not in beside:
                values[field.attname] = _said(field, getattr(self, field.attname))
        for field in self._meta.many_to_many:
            if columns is None or field.name in columns:
                values[field.name] = sorted(str(one.pk) for one in getattr(self, field.name).all())
        return values

    def beside(self, columns: Collection[str] | None = None) -> dict[str, str | None]:
        """Return the columns whose content stands beside the entry."""
        return {
            name: getattr(self, name)
            for name in sorted(self.typed | self.hidden)
            if columns is None or name in columns
        }


def _is_asked(field: Any, columns: Collection[str] | None) -> bool:
    return columns is None or field.name in columns or field.attname in columns


def _said(field: Any, value: Any) -> Any:
    if isinstance(field, models.TextField) and value:
        return "sha256:" + hashlib.sha256(value.encode()).hexdigest()
    if isinstance(field, models.FloatField) and value is not None:
        return repr(float(value))  # no float has a place in the log
    return as_json(value)


def as_json(value: Any) -> Any:
    """Return one value as it stands in a log entry.

    >>> as_json(datetime(2026, 11, 24, 11, 12, tzinfo=UTC))
    '2026-11-24T11:12:00.000000Z'
    """
    match value:
        case None | bool() | int():
            return value
        case str():
            return str.__str__(value)  # of a choice, its value
        case UUID():
            return str(value)
        case datetime():
            return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
        case date() | time():
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
