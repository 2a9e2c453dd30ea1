"""A vehicle, its owner, its job and who is on it."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from witnessmark.log.kept import Kept


class Owner(Kept):
    """Whose vehicle it is. Stands apart, so that it can be erased."""

    typed: ClassVar[frozenset[str]] = frozenset({"name", "phone", "address"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120, default="", blank=True)
    phone = models.CharField(max_length=60, default="", blank=True)
    address = models.TextField(default="", blank=True)
    erased_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return self.name or "(no name)"


class Vehicle(Kept):
    """A vehicle, or a unit such as an engine on a stand."""

    typed: ClassVar[frozenset[str]] = frozenset(
        {"name", "make", "kind", "serial", "plate", "odometer"}
    )
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)  # "Library bus"
    make = models.CharField(max_length=60, default="", blank=True)
    kind = models.CharField(max_length=60, default="", blank=True)  # the maker's name for it
    serial = models.CharField(max_length=60, default="", blank=True)
    plate = models.CharField(max_length=20, default="", blank=True)
    year = models.PositiveSmallIntegerField(null=True)
    odometer = models.CharField(max_length=30, default="", blank=True)  # as read, with its unit
    owner = models.ForeignKey(Owner, on_delete=models.PROTECT, null=True, related_name="vehicles")

    def __str__(self) -> str:
        return self.name


class Job(Kept):
    """One vehicle's visit, from intake to hand-back."""

    typed: ClassVar[frozenset[str]] = frozenset(
        {"odometer_in", "lamps", "condition", "keys", "says", "happens"}
    )
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    number = models.PositiveIntegerField(unique=True)
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="jobs")
    kind = models.CharField(
        max_length=10, choices=[("customer", "customer"), ("training", "training")]
    )
    bay = models.ForeignKey("shop.Bay", on_delete=models.PROTECT, null=True, related_name="jobs")
    section = models.ForeignKey(
        "people.Section", on_delete=models.PROTECT, null=True, related_name="jobs"
    )
    not_before = models.DateTimeField(null=True)
    promised = models.DateTimeField(null=True)
    odometer_in = models.CharField(max_length=30, default="", blank=True)
    odometer_out = models.CharField(max_length=30, default="", blank=True)
    lamps = models.TextField(default="", blank=True)  # lit on the panel on arrival
    condition = models.TextField(default="", blank=True)  # dents and marks seen
    keys = models.CharField(max_length=60, default="", blank=True)  # "2 sets, hook 3"
    says = models.TextField(default="", blank=True)  # the owner's words until it is a job
    happens = models.CharField(max_length=80, default="", blank=True)  # when the complaint shows
    old_parts_wanted = models.BooleanField(null=True)
    half_done = models.BooleanField(default=False)  # the intake is kept, and not a job yet
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    kept_at = models.DateTimeField()  # the intake was last kept
    work_started_at = models.DateTimeField(null=True)  # from here on its steps stand
    closed_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("number",)

    def __str__(self) -> str:
        return f"{self.shown_number} {self.vehicle.name}"

    @property
    def shown_number(self) -> str:
        return f"J-{self.number}"

    @property
    def title(self) -> str:
        return self.vehicle.name


class Crew(Kept):
    """A person on a job, or on one step of it, for a time."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="crew")
    step = models.ForeignKey(
        "record.Step", on_delete=models.PROTECT, null=True, related_name="crew"
    )
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="crews"
    )
    since = models.DateTimeField()
    until = models.DateTimeField(null=True)

    class Meta:
        ordering = ("since", "person__name")
        verbose_name_plural = "crews"

    def __str__(self) -> str:
        return f"{self.person} on {self.job}"


class PartOrder(Kept):
    """A part that the job waits for."""

    typed: ClassVar[frozenset[str]] = frozenset({"what"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="parts")
    step = models.ForeignKey("record.Step", on_delete=models.PROTECT, null=True, related_name="+")
    what = models.CharField(max_length=120)
    due = models.DateField(null=True)
    ordered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    ordered_at = models.DateTimeField()
    arrived_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("due", "ordered_at")

    def __str__(self) -> str:
        return self.what
