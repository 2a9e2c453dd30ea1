"""What was read, seen, said and done, entry by entry. Only added."""

import json
import uuid
from typing import Any, ClassVar
from uuid import UUID

from django.conf import settings
from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.log.models import Aside
from witnessmark.record.models.jobs import Job
from witnessmark.record.models.steps import Step


class Evidence(AddedOnly):
    """One entry: a UUID made where it was typed, by whom, on what, and two times.

    An entry can be replaced once; the one that replaces it names it.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    device = models.ForeignKey(
        "people.Device", on_delete=models.PROTECT, null=True, related_name="+"
    )
    done_at = models.DateTimeField()
    received_at = models.DateTimeField()
    replaces = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, related_name="replaced_by"
    )
    reason_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        abstract = True
        ordering = ("done_at", "received_at")
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"{self._meta.verbose_name} {self.id}"

    @property
    def reason(self) -> str:
        """Return why this entry replaces another, in the writer's words."""
        return "" if self.reason_aside is None else self.reason_aside.words

    @property
    def is_standing(self) -> bool:
        """Return whether no other entry replaces this one.

        A row that was fetched with its whole job knows it without asking again.
        """
        known: bool | None = self.__dict__.get("stands_in_job")
        return not hasattr(self, "replaced_by") if known is None else known


class Complaint(Evidence):
    """What the owner reports, in the owner's words, or what was seen here."""

    TRUSTS: ClassVar[list[tuple[str, str]]] = [
        ("the customer says", "the customer says"),
        ("seen here", "seen here"),
    ]
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="complaints")
    words_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")
    trust = models.CharField(max_length=20, choices=TRUSTS)
    sheet = models.ForeignKey(  # the circuit sheet on which somebody said what it means
        "record.PinnedSheet", on_delete=models.PROTECT, null=True, related_name="+"
    )
    key = models.CharField(max_length=60, null=True)  # a complaint of that sheet; None: none of it
    comes_and_goes = models.BooleanField(null=True)  # None: nobody said

    class Meta(Evidence.Meta):
        pass

    @property
    def words(self) -> str:
        return self.words_aside.words

    @property
    def who(self) -> str:
        """Who says it, as the pages say it: they call whoever brings a vehicle its owner."""
        return "seen here" if self.trust == "seen here" else "the owner says"


class StepEvent(Evidence):
    """A step was started or finished, a caution ticked, the teacher told."""

    WHATS: ClassVar[list[tuple[str, str]]] = [
        ("started", "started"),
        ("finished", "finished"),
        ("ticked", "caution ticked"),
        ("told", "teacher told"),  # a witness point: work goes on
        ("not yet", "seen, not marked yet"),  # the answer to a call is in a note
    ]
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="events")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="events")
    what = models.CharField(max_length=10, choices=WHATS)
    detail = models.CharField(max_length=60, default="", blank=True)  # the caution's id

    class Meta(Evidence.Meta):
        pass


class Reading(Evidence):
    """One value as typed: what, where, with which instrument, who and when.

    A look, which no sheet asks for, has words of its own: what was looked at, what was seen.
    """

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="readings")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="readings")
    key = models.CharField(max_length=120)  # a measurement, characteristic or test of a circuit
    what_aside = models.ForeignKey(  # of a look, whose key is only its own
        Aside, on_delete=models.PROTECT, null=True, related_name="+"
    )
    position = models.CharField(max_length=40, default="", blank=True)  # "3", "left"
    text = models.CharField(max_length=60, default="", blank=True)  # as typed, without its unit
    unit = models.CharField(max_length=12, default="", blank=True)
    phase = models.CharField(
        max_length=8, choices=[("as found", "as found"), ("as left", "as left")], default="as found"
    )
    word = models.CharField(max_length=40, default="", blank=True)  # of a test: "dim", "changes"
    seen_aside = models.ForeignKey(  # of a look: "worn to the rivets"
        Aside, on_delete=models.PROTECT, null=True, related_name="+"
    )
    present = models.CharField(  # was the complaint there during the test?
        max_length=7,
        choices=[("yes", "yes"), ("no", "no"), ("unknown", "not looked")],
        default="unknown",
    )
    instrument = models.ForeignKey(
        "shop.Instrument", on_delete=models.PROTECT, null=True, related_name="readings"
    )

    class Meta(Evidence.Meta):
        pass

    @property
    def outcome(self) -> str:
        """Return what a lamp or a look showed; nothing where a value was read."""
        return self.word if self.seen_aside is None else self.seen_aside.words

    @property
    def is_look(self) -> bool:
        """Return whether no sheet asked for this: its own words say what was looked at."""
        return self.what_aside_id is not None

    @property
    def what(self) -> str:
        """Return what was read: a look in its own words, else the key."""
        return self.key if self.what_aside is None else self.what_aside.words

    @property
    def shown(self) -> str:
        """Return the reading as its reader gave it.

        >>> Reading(text="12,6", unit="V").shown
        '12,6 V'
        """
        return self.outcome or f"{self.text} {self.unit}".strip()


class StoredVerdict(Evidence):
    """A verdict as it was shown when its reading was kept; never computed again."""

    typed: ClassVar[frozenset[str]] = frozenset({"limit", "source"})
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="verdicts")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="verdicts")
    key = models.CharField(max_length=120)
    position = models.CharField(max_length=40, default="", blank=True)
    phase = models.CharField(max_length=8)
    readings_json = models.TextField()  # ids of the readings it is made from
    value = models.CharField(max_length=60)  # all as shown, with their units
    expanded = models.CharField(max_length=60, default="", blank=True)  # "± 0.8 mm", twice u
    limit = models.CharField(max_length=120)
    source = models.CharField(max_length=200)
    chance = models.CharField(max_length=20, default="", blank=True)  # "96 %"
    word = models.CharField(max_length=20)  # within, outside, too close to call

    class Meta(Evidence.Meta):
        pass

    @property
    def reading_ids(self) -> tuple[UUID, ...]:
        return tuple(UUID(text) for text in json.loads(self.readings_json))


class Photo(Evidence):
    """A picture of a step, made anew from the one sent: no place, no camera, no name in it."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="photos")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="photos")
    key = models.CharField(max_length=60, default="", blank=True)  # which photo the step needs
    picture_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")
    caption_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, null=True, related_name="+")
    digest = models.CharField(max_length=64)  # salted SHA-256 of the file
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()

    class Meta(Evidence.Meta):
        pass

    @property
    def file_name(self) -> str | None:
        """Return the file's name in the photo folder; none after it was erased."""
        return self.picture_aside.text

    @property
    def caption(self) -> str:
        return "" if self.caption_aside is None else self.caption_aside.words


class Note(Evidence):
    """What someone wrote about a step, or about the job."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="notes")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, related_name="notes")
    words_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")

    class Meta(Evidence.Meta):
        pass

    @property
    def words(self) -> str:
        return self.words_aside.words


class Call(Evidence):
    """The teacher is called: to mark a hold point, or for help."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="calls")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, related_name="calls")
    what = models.CharField(
        max_length=5, choices=[("mark", "to mark"), ("help", "for help"), ("cause", "the cause")]
    )

    class Meta(Evidence.Meta):
        pass


class Correction(Evidence):
    """What was done about the cause, and how it was verified."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="corrections")
    words_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")

    class Meta(Evidence.Meta):
        pass

    @property
    def words(self) -> str:
        return self.words_aside.words


def ids_json(ids: Any) -> str:
    """Return ids as the text of a JSON list."""
    return json.dumps([str(one) for one in ids])
