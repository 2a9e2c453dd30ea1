"""A job's own copies of sheets, and the steps made from them."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.log.kept import Kept
from witnessmark.record.models.jobs import Job


class PinnedSheet(AddedOnly):
    """The job's own copy of a sheet or procedure, with where it came from."""

    typed: ClassVar[frozenset[str]] = frozenset({"title"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="sheets")
    kind = models.CharField(max_length=10)  # circuit, assembly, procedure
    title = models.CharField(max_length=160)
    text = models.TextField()
    digest = models.CharField(max_length=64)  # SHA-256 of the text
    item = models.ForeignKey(
        "shop.LibraryItem", on_delete=models.PROTECT, null=True, related_name="pinned"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    replaces = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, related_name="replaced_by"
    )

    class Meta:
        ordering = ("at",)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"{self.title} ({self.kind})"


class Step(Kept):
    """One step of one job. What it says is fixed; a step that is replaced is dropped and kept."""

    typed: ClassVar[frozenset[str]] = frozenset({"title"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="steps")
    sheet = models.ForeignKey(
        PinnedSheet, on_delete=models.PROTECT, null=True, related_name="steps"
    )
    position = models.PositiveSmallIntegerField()  # 1, 2, 3 as shown
    key = models.CharField(max_length=60)
    title = models.CharField(max_length=160)
    kind = models.CharField(max_length=10)  # find, work, prove, road test
    spec = models.TextField()  # the whole step as canonical JSON
    made_at = models.DateTimeField()
    dropped_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("position",)

    def __str__(self) -> str:
        return f"Step {self.position}, {self.title}"
