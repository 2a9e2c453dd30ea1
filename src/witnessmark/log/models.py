"""The chained log: one entry for each act, each bound to the one before it."""

import json
import uuid
from typing import Any

from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.work.changes import ERASED


class Entry(AddedOnly):
    """One act: a verb, random ids and values. Sentences are made when it is read."""

    number = models.PositiveBigIntegerField(primary_key=True)
    id = models.UUIDField(unique=True)  # made where the act was typed
    at = models.DateTimeField()
    verb = models.CharField(max_length=60)
    actor_id = models.UUIDField(null=True)
    device_id = models.UUIDField(null=True)
    subject_kind = models.CharField(max_length=40)
    subject_id = models.UUIDField(null=True, db_index=True)
    job_id = models.UUIDField(null=True, db_index=True)
    values = models.TextField()  # RFC 8785 canonical JSON
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ("number",)
        base_manager_name = "objects"
        verbose_name_plural = "entries"

    def __str__(self) -> str:
        return f"{self.number} {self.verb}"

    def facts(self) -> dict[str, Any]:
        """Return the values as a dictionary."""
        facts: dict[str, Any] = json.loads(self.values)
        return facts

    def said_of_rows(self) -> list[tuple[str, str, dict[str, Any]]]:
        """Return what the act added and changed: each row's kind, its id, and its columns."""
        facts = self.facts()
        rows = [*facts.get("rows", []), *facts.get("changed", [])]
        return [(label, pk, columns) for label, pk, columns in rows]


class Head(models.Model):
    """The last entry. One row; locking it puts acts one after another."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    number = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64, default="0" * 64)

    def __str__(self) -> str:
        return f"head at {self.number}"


class Aside(AddedOnly):
    """Free text or a photo: its salted digest is in the chain, itself can be erased.

    With the text its salt goes too, so that nobody can try out guesses afterwards.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    entry = models.ForeignKey(
        Entry, to_field="id", on_delete=models.PROTECT, related_name="asides", db_column="entry"
    )
    key = models.CharField(max_length=40)
    salt = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)
    text = models.TextField(null=True)  # for a photo its file name
    is_file = models.BooleanField(default=False)
    erased_at = models.DateTimeField(null=True)

    class Meta:
        base_manager_name = "objects"

    def __str__(self) -> str:
        return self.words

    @property
    def words(self) -> str:
        """Return the text, or that it was erased."""
        return ERASED if self.text is None else self.text
