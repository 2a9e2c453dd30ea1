"""Practice cases and the attempts at them. Only added."""

import json
import uuid
from collections.abc import Iterable
from typing import ClassVar

from django.conf import settings
from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.log.kept import json_text
from witnessmark.log.models import Aside


def names_text(names: Iterable[str]) -> str:
    """Return names as a column keeps them: a list in JSON, as a name may hold any sign.

    >>> names_text(["brake, held", "L1"])
    '["brake, held","L1"]'
    """
    return json_text(list(names))


def _names_in(text: str) -> tuple[str, ...]:
    """Return the names that a column keeps; it was a text with commas between them once.

    >>> _names_in('["brake, held","L1"]'), _names_in("slow,dead"), _names_in("")
    (('brake, held', 'L1'), ('slow', 'dead'), ())
    """
    try:
        found = json.loads(text)
    except ValueError:
        found = None
    names = found if isinstance(found, list) else text.split(",")
    return tuple(str(name) for name in names if name)


class PracticeCase(AddedOnly):
    """A fault hidden in a copy of a circuit sheet, for one person or for a section.

    `secret` says what is hidden, as canonical JSON with a salt; `seal` is its digest, which a
    learner is shown before the first test.
    """

    typed: ClassVar[frozenset[str]] = frozenset({"title"})
    hidden: ClassVar[frozenset[str]] = frozenset({"secret"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    number = models.PositiveIntegerField(unique=True)
    title = models.CharField(max_length=160)
    item = models.ForeignKey(
        "shop.LibraryItem", on_delete=models.PROTECT, null=True, related_name="+"
    )
    general = models.CharField(  # without an item: the circuit of the program that it is a copy of
        max_length=60, default="", blank=True
    )
    text = models.TextField()  # the circuit sheet, the case's own copy
    digest = models.CharField(max_length=64)  # SHA-256 of the text
    told = models.CharField(max_length=1000)  # keys of the sheet's complaints: see `told_keys`
    secret = models.TextField()
    seal = models.CharField(max_length=64)
    section = models.ForeignKey(  # none where a person practises alone
        "people.Section", on_delete=models.PROTECT, null=True, related_name="practice_cases"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("-number",)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return self.shown_number

    @property
    def shown_number(self) -> str:
        return f"Practice {self.number}"

    @property
    def told_keys(self) -> tuple[str, ...]:
        """Return which of the sheet's complaints the owner tells."""
        return _names_in(self.told)


class PracticeAttempt(AddedOnly):
    """One person's attempt at a case. Nobody tries twice: afterwards the fault is known."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    case = models.ForeignKey(PracticeCase, on_delete=models.PROTECT, related_name="attempts")
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="practice"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ("-at",)
        base_manager_name = "objects"
        constraints = (models.UniqueConstraint(fields=["case", "by"], name="one_attempt_each"),)

    def __str__(self) -> str:
        return f"attempt at {self.case}"

    @property
    def is_ended(self) -> bool:
        return hasattr(self, "end")


class PracticeTest(AddedOnly):
    """One test of an attempt: what was expected, and what the circuit answered."""

    PRESENT: ClassVar[list[tuple[str, str]]] = [
        ("yes", "the complaint was there"),
        ("no", "the complaint was away"),
        ("unknown", "not watched"),
    ]
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    attempt = models.ForeignKey(PracticeAttempt, on_delete=models.PROTECT, related_name="tests")
    number = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=160)  # as Find writes a test
    expected_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")
    text = models.CharField(max_length=60)  # "2.94 V", "lit"
    outcome = models.CharField(max_length=20, default="", blank=True)
    present = models.CharField(max_length=8, choices=PRESENT, default="unknown")
    note = models.CharField(max_length=160, default="", blank=True)
    minutes = models.FloatField()
    at = models.DateTimeField()

    class Meta:
        ordering = ("number",)
        base_manager_name = "objects"
        constraints = (
            models.UniqueConstraint(fields=["attempt", "number"], name="one_test_a_number"),
        )

    def __str__(self) -> str:
        return f"test {self.number}"

    @property
    def expected(self) -> str:
        return self.expected_aside.words


class PracticeRanking(AddedOnly):
    """The learner's own ranking of parts after some tests, the likeliest first."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    attempt = models.ForeignKey(PracticeAttempt, on_delete=models.PROTECT, related_name="rankings")
    after = models.PositiveSmallIntegerField()  # tests done by then
    parts = models.CharField(max_length=1000)  # names of parts: see `named`
    at = models.DateTimeField()

    class Meta:
        ordering = ("at",)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"ranking after test {self.after}"

    @property
    def named(self) -> tuple[str, ...]:
        """Return the parts, the likeliest first."""
        return _names_in(self.parts)


class PracticeEnd(AddedOnly):
    """The cause and the repair that were named, or that the learner gave up; kept as evidence.

    What was named tells what was hidden, so the log has it as a salted digest only.
    """

    hidden: ClassVar[frozenset[str]] = frozenset({"suspect", "repair"})
    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    attempt = models.OneToOneField(PracticeAttempt, on_delete=models.PROTECT, related_name="end")
    suspect = models.CharField(max_length=120, default="", blank=True)  # empty: gave up
    repair = models.CharField(max_length=160, default="", blank=True)
    reasons_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, null=True, related_name="+")
    verdict = models.CharField(  # as it was shown
        max_length=12,
        choices=[
            ("right", "right, and proved"),
            ("not proved", "right, not proved"),
            ("wrong", "not right"),
            ("given up", "given up"),
        ],
    )
    repair_right = models.BooleanField()
    minutes = models.FloatField()
    best_minutes = models.FloatField()
    at = models.DateTimeField()

    class Meta:
        ordering = ("at",)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"end of {self.attempt}"

    @property
    def in_words(self) -> str:
        """How it ended, in words: a cause is only half of it."""
        if self.verdict in ("right", "not proved") and not self.repair_right:
            return "right cause, wrong repair"
        return str(self.get_verdict_display())

    @property
    def reasons(self) -> str:
        return "" if self.reasons_aside is None else self.reasons_aside.words
