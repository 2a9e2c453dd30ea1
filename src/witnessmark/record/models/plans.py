"""Plans are versions: one is computed, looked at, and published."""

import uuid

from django.conf import settings
from django.db import models

from witnessmark.log.kept import Kept
from witnessmark.record.models.jobs import Job
from witnessmark.record.models.steps import Step


class Plan(Kept):
    """One run of the planner: the problem as it was, how the run ended, the answer."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    version = models.PositiveIntegerField(unique=True)
    problem = models.TextField()
    result = models.TextField(default="", blank=True)
    status = models.CharField(max_length=20)  # queued, running, or how it ended
    bound = models.CharField(max_length=40, default="", blank=True)  # as shown
    gap = models.CharField(max_length=40, default="", blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField()
    stored_at = models.DateTimeField(null=True)
    published_at = models.DateTimeField(null=True)
    published_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        ordering = ("version",)

    def __str__(self) -> str:
        return f"Plan {self.version}"


class PlannedSitting(Kept):
    """A crew on a step in one period, and when the teacher is needed there."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="sittings")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="sittings")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="sittings")
    period = models.ForeignKey("shop.Period", on_delete=models.PROTECT, related_name="sittings")
    start = models.DateTimeField()
    end = models.DateTimeField()
    bay = models.ForeignKey("shop.Bay", on_delete=models.PROTECT, null=True, related_name="+")
    crew = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="sittings")
    hold_start = models.DateTimeField(null=True)
    hold_end = models.DateTimeField(null=True)

    class Meta:
        ordering = ("start", "job__number")

    def __str__(self) -> str:
        return f"{self.step} at {self.start}"
