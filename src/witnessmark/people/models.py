"""People by random id: roles, sections with dates, permits, devices, wrong guesses."""

import uuid
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models

from witnessmark.log.added_only import AddedOnly


class Role(models.TextChoices):
    """What a person is in the shop."""

    TEACHER = "teacher", "teacher"
    AIDE = "aide", "aide"
    LEARNER = "learner", "learner"
    OFFICE = "office", "office"


class Person(AbstractBaseUser):
    """One person. Two people of one name stay two."""

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


class Section(models.Model):
    """A class."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)
    retired_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ("name", "id")

    def __str__(self) -> str:
        return self.name


class Membership(models.Model):
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


class Device(models.Model):
    """A shared tablet or phone that a teacher opened for a section."""

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


class Guess(models.Model):
    """Wrong PINs or passwords in a row, by person and by device: each makes the wait longer."""

    subject = models.CharField(max_length=80, primary_key=True)
    wrong = models.PositiveIntegerField(default=0)
    wait_until = models.DateTimeField(null=True)
    last_at = models.DateTimeField(null=True)

    class Meta:
        verbose_name_plural = "guesses"

    def __str__(self) -> str:
        return f"{self.subject}: {self.wrong} wrong"
