"""The cause, the marks, the releases, and who tried what they may not."""

import json
import uuid
from uuid import UUID

from django.conf import settings
from django.db import models

from witnessmark.log.added_only import AddedOnly
from witnessmark.log.models import Aside
from witnessmark.record.models.evidence import Evidence
from witnessmark.record.models.jobs import Job
from witnessmark.record.models.steps import PinnedSheet, Step


class Cause(Evidence):
    """The reason of a complaint, proved by a Find run or by readings and photos."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="causes")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, related_name="causes")
    how = models.CharField(max_length=8, choices=[("find", "find"), ("evidence", "evidence")])
    statement_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")
    suspect = models.CharField(max_length=80, default="", blank=True)  # "G7:high"
    sheet = models.ForeignKey(  # the circuit that the belief was computed with
        PinnedSheet, on_delete=models.PROTECT, null=True, related_name="+"
    )
    belief_json = models.TextField(default="[]")  # suspects with their shares, as shown
    readings_json = models.TextField(default="[]")
    photos_json = models.TextField(default="[]")
    proof_json = models.TextField(default="[]")  # which readings would prove the repair

    class Meta(Evidence.Meta):
        pass

    @property
    def statement(self) -> str:
        return self.statement_aside.words

    @property
    def belief(self) -> list[dict[str, str]]:
        belief: list[dict[str, str]] = json.loads(self.belief_json)
        return belief

    @property
    def proof(self) -> list[str]:
        proof: list[str] = json.loads(self.proof_json)
        return proof

    @property
    def reading_ids(self) -> tuple[UUID, ...]:
        return tuple(UUID(text) for text in json.loads(self.readings_json))

    @property
    def photo_ids(self) -> tuple[UUID, ...]:
        return tuple(UUID(text) for text in json.loads(self.photos_json))


class Mark(Evidence):
    """The teacher's signature on one subject, bound to the digest of what was shown.

    A mark that is made after an earlier one broke names it as the one it replaces.
    """

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="marks")
    subject_kind = models.CharField(
        max_length=7, choices=[(word, word) for word in ("step", "cause", "release")]
    )
    subject_id = models.UUIDField(db_index=True)
    digest = models.CharField(max_length=64)
    form = models.TextField()  # the whole canonical JSON, so that a page can say what changed
    same_person = models.BooleanField()  # who marked also did the work
    accepted_aside = models.ForeignKey(  # why 'too close to call' is accepted
        Aside, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta(Evidence.Meta):
        pass

    @property
    def accepted(self) -> str:
        return "" if self.accepted_aside is None else self.accepted_aside.words


class AdviceSaid(Evidence):
    """A caution or advice that was read out to the owner."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="said_advice")
    key = models.CharField(max_length=60)

    class Meta(Evidence.Meta):
        verbose_name_plural = "advice said"


class Release(Evidence):
    """The vehicle may go: for a road test, or to its owner."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="releases")
    kind = models.CharField(max_length=9, choices=[("road test", "road test"), ("owner", "owner")])
    mark = models.OneToOneField(Mark, on_delete=models.PROTECT, related_name="release")
    gate_json = models.TextField()  # the gate as it was shown

    class Meta(Evidence.Meta):
        pass


class Refusal(AddedOnly):
    """Someone tried what they may not, by a page or by a request."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    who = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    device = models.ForeignKey(
        "people.Device", on_delete=models.PROTECT, null=True, related_name="+"
    )
    job = models.ForeignKey(Job, on_delete=models.PROTECT, null=True, related_name="refusals")
    what = models.CharField(max_length=60)  # "mark a step"
    subject_id = models.UUIDField(null=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ("at",)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"refused: {self.what}"
