"""One school's shop: its settings, places, periods, instruments and library."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.log.kept import Kept


def usual_tools() -> list[str]:
    """Return the tools for Find that a new shop is taken to have."""
    return ["meter", "test lamp", "clamp meter", "known-good part", "fused jumper lead"]


class Shop(Kept):
    """The shop's settings; one row."""

    typed: ClassVar[frozenset[str]] = frozenset({"name", "qualified"})
    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    name = models.CharField(max_length=120)
    units = models.CharField(max_length=6, choices=[("metric", "metric"), ("inch", "inch")])
    zone = models.CharField(max_length=60)
    paper = models.CharField(
        max_length=6, choices=[("A4", "A4"), ("Letter", "Letter")], default="A4"
    )
    within_at = models.FloatField(default=0.95)  # chance of conforming that counts as within
    outside_at = models.FloatField(default=0.05)
    tools_down_minutes = models.PositiveSmallIntegerField(default=10)
    joint_rule = models.CharField(max_length=20, default="maker")  # key of a rule in `wiring`
    own_drop = models.CharField(max_length=20, default="", blank=True)  # "0.3 V"; else a set
    # Who takes over a restraint circuit or more than 60 V DC, by name.
    qualified = models.CharField(max_length=80, default="", blank=True)
    find_tools = models.JSONField(default=usual_tools)  # tools for Find that the shop has
    rates = models.JSONField(default=dict)  # own weights of faults, "connector/high": "2.5"
    is_demo = models.BooleanField(default=False)

    def __str__(self) -> str:
        return self.name


class Bay(Kept):
    """Where a vehicle, or a unit, stands."""

    typed: ClassVar[frozenset[str]] = frozenset({"name"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=40)
    kind = models.CharField(max_length=6, choices=[("bay", "bay"), ("bench", "bench")])
    position = models.PositiveSmallIntegerField()
    retired_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("position", "name")

    def __str__(self) -> str:
        return self.name


class Period(Kept):
    """One lesson on one day, in the shop's own time."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    date = models.DateField()
    number = models.PositiveSmallIntegerField()
    start = models.TimeField()
    end = models.TimeField()
    section = models.ForeignKey("people.Section", on_delete=models.PROTECT, related_name="periods")
    presence = models.CharField(
        max_length=10,
        choices=[("in", "teacher in"), ("substitute", "substitute"), ("out", "no teacher")],
        default="in",
    )

    class Meta:
        ordering = ("date", "start")
        constraints = (
            models.UniqueConstraint(fields=["date", "number", "section"], name="one_period_a_slot"),
        )

    def __str__(self) -> str:
        return f"{self.date} period {self.number}"


class Instrument(Kept):
    """Something one measures with. Values as typed, with their unit."""

    typed: ClassVar[frozenset[str]] = frozenset({"name", "kind"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=60)  # "Wrench 2"
    kind = models.CharField(max_length=40)  # "torque wrench"
    resolution = models.CharField(max_length=30)  # "0.01 mm"
    u_calibration = models.CharField(max_length=30, default="", blank=True)  # standard uncertainty
    u_zero = models.CharField(max_length=30, default="", blank=True)
    u_repeat = models.CharField(max_length=30, default="", blank=True)  # of one reading
    set_in = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="sets")
    due = models.DateField(null=True)  # next calibration
    retired_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("name",)

    def __str__(self) -> str:
        return self.name


class LibraryItem(AddedOnly):
    """A sheet, procedure or week that people wrote. A new version is a new row."""

    typed: ClassVar[frozenset[str]] = frozenset({"title"})
    KINDS: ClassVar[list[tuple[str, str]]] = [
        ("circuit", "circuit sheet"),
        ("assembly", "assembly sheet"),
        ("procedure", "procedure"),
        ("week", "week"),
    ]
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    kind = models.CharField(max_length=10, choices=KINDS)
    title = models.CharField(max_length=160)
    text = models.TextField()
    digest = models.CharField(max_length=64)  # SHA-256 of the text
    version = models.PositiveIntegerField()
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ("kind", "title", "-version")
        base_manager_name = "objects"
        constraints = (
            models.UniqueConstraint(fields=["kind", "title", "version"], name="one_version_each"),
        )

    def __str__(self) -> str:
        return f"{self.title}, version {self.version}"


class CircuitDraft(Kept):
    """A circuit sheet that is being entered, half done until it is put into the Library."""

    typed: ClassVar[frozenset[str]] = frozenset({"title"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    title = models.CharField(max_length=160, default="", blank=True)  # as far as it is typed
    text = models.TextField(blank=True)
    digest = models.CharField(max_length=64)  # SHA-256 of the text
    begun_from = models.ForeignKey(
        LibraryItem, on_delete=models.PROTECT, null=True, related_name="+"
    )
    kept_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()  # when it was last kept
    ended_at = models.DateTimeField(null=True)
    became = models.ForeignKey(LibraryItem, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("title", "at")

    def __str__(self) -> str:
        return self.title or "a sheet without a name"
