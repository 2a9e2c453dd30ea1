"""Rows that are only added: never changed in place, never deleted."""

from typing import Any, ClassVar

from django.db import models

from witnessmark.log.kept import Kept


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


class AddedOnly(Kept):
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
