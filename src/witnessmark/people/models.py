"""People by random id: roles, sections with dates, permits, devices, wrong guesses."""

import uuid
from collections.abc import Collection
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.log.kept import Kept, as_json


class Role(models.TextChoices):
    """What a person is in the shop."""

    TEACHER = "teacher", "teacher"
    AIDE = "aide", "aide"
    LEARNER = "learner", "learner"
    OFFICE = "office", "office"


class Person(AbstractBaseUser, Kept):
    """One person. Two people of one name stay two."""

    typed: ClassVar[frozenset[str]] = frozenset({"name", "handle", "outside_id"})
    hidden: ClassVar[frozenset[str]] = frozenset({"pin", "password"})
    unsaid: ClassVar[dict[str, str]] = {
        "last_login": "set at each sign-in by the framework; nothing on record rests on it"
    }
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=10, choices=Role.choices)
    outside_id = models.CharField(max_length=120, null=True, blank=True, unique=True)
    handle = models.CharField(max_length=60, null=True, blank=True, unique=True)
    pin = models.CharField(max_length=200, default="", blank=True)  # hashed
    is_active = models.BooleanField(default=True)
    erased_at = models.DateTimeField(null=True)

    objects: ClassVar[Any] = BaseUserManager()

    USERNAME_FIELD = "handle"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    class Meta:
        ordering = ("name", "id")
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.name

    @property
    def is_teacher(self) -> bool:
        return self.role == Role.TEACHER

    @property
    def is_learner(self) -> bool:
        return self.role == Role.LEARNER

    @property
    def may_mark(self) -> bool:
        return self.role == Role.TEACHER and self.is_active

    @property
    def may_take_in(self) -> bool:
        """Return whether this person takes vehicles in: teachers and the office."""
        return self.role in (Role.TEACHER, Role.OFFICE) and self.is_active


class Section(Kept):
    """A class."""

    typed: ClassVar[frozenset[str]] = frozenset({"name"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)
    retired_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("name", "id")

    def __str__(self) -> str:
        return self.name


class Membership(Kept):
    """A person in a section, from one day to another."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="memberships")
    section = models.ForeignKey(Section, on_delete=models.PROTECT, related_name="memberships")
    start = models.DateField()
    end = models.DateField(null=True)  # the last day

    class Meta:
        ordering = ("start",)

    def __str__(self) -> str:
        return f"{self.person} in {self.section}"


class PermitLevel(models.TextChoices):
    """How far a permit goes."""

    NONE = "none", "not yet"
    BESIDE = "beside", "teacher beside"
    ALLOWED = "allowed", "allowed"


class Permit(AddedOnly):
    """A learner's proven permission, given or taken back by a teacher; the last one counts."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="permits")
    kind = models.CharField(max_length=40)
    level = models.CharField(max_length=10, choices=PermitLevel.choices)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("at",)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"{self.person}: {self.kind} {self.level}"


class Device(Kept):
    """A shared tablet or phone that a teacher opened for a section."""

    typed: ClassVar[frozenset[str]] = frozenset({"name"})
    hidden: ClassVar[frozenset[str]] = frozenset({"token_hash"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    token_hash = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=60)
    section = models.ForeignKey(Section, on_delete=models.PROTECT, related_name="devices")
    opened_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField()
    until = models.DateTimeField()
    closed_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("-opened_at",)

    def __str__(self) -> str:
        return self.name


class Guess(Kept):
    """Wrong PINs or passwords in a row, by person and by device: each makes the wait longer.

    The log says them from the first wait on until it is over: what comes before holds up nobody.
    """

    unsaid: ClassVar[dict[str, str]] = {
        "last_at": "only lets a device forget old tries; the wait and its count are said"
    }
    subject = models.CharField(max_length=80, primary_key=True)
    wrong = models.PositiveIntegerField(default=0)
    wait_until = models.DateTimeField(null=True)
    last_at = models.DateTimeField(null=True)

    class Meta:
        verbose_name_plural = "guesses"

    def __str__(self) -> str:
        return f"{self.subject}: {self.wrong} wrong"

    def said(self, columns: Collection[str] | None = None) -> dict[str, Any]:
        """Return the wait and its count; nothing while there is no wait."""
        waits = self.wait_until is not None
        return {
            "wrong": self.wrong if waits else None,
            "wait_until": as_json(self.wait_until) if waits else None,
        }
