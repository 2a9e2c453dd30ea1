"""Who took a vehicle over, and the card as it was then."""

from django.db import models

from witnessmark.record.models.evidence import Evidence
from witnessmark.record.models.jobs import Job


class TakenOver(Evidence):
    """A crew has read the handover card at the vehicle: 'We have it'."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="taken_over")
    digest = models.CharField(max_length=64)  # of the card that was read
    form = models.TextField()  # the card as canonical JSON, so that a page can say what changed

    class Meta(Evidence.Meta):
        verbose_name_plural = "taken over"
