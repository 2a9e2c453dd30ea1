"""Everything off or undone, and what closed it."""

from django.db import models

from witnessmark.record.models.evidence import Evidence
from witnessmark.record.models.jobs import Job
from witnessmark.record.models.steps import Step


class LedgerLine(Evidence):
    """One thing off or undone: what, how many, where it is kept."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="ledger")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="ledger")
    key = models.CharField(max_length=60, default="", blank=True)  # the step's item, if it has one
    what = models.CharField(max_length=120)
    how = models.CharField(
        max_length=14,
        choices=[
            (word, word)
            for word in ("taken off", "disconnected", "drained", "loosened", "jumpered", "capped")
        ],
        default="taken off",
    )
    quantity = models.CharField(max_length=12)  # as typed
    unit = models.CharField(max_length=12, default="", blank=True)
    place = models.CharField(max_length=60)  # "Bag 31, bin B"

    class Meta(Evidence.Meta):
        pass


class Movement(Evidence):
    """What closed a line, or a part of it; or, naming one of these, that it was not so."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="movements")
    line = models.ForeignKey(LedgerLine, on_delete=models.PROTECT, related_name="movements")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, related_name="movements")
    kind = models.CharField(
        max_length=10,
        choices=[
            (word, word) for word in ("back on", "new fitted", "refilled", "undone", "taken back")
        ],
    )
    quantity = models.CharField(max_length=12)
    old = models.CharField(  # what became of the old one, when a new one was fitted
        max_length=8,
        choices=[(word, word) for word in ("kept", "returned", "scrapped")],
        default="",
        blank=True,
    )
    answered = models.CharField(max_length=120, null=True)  # what was asked about it, and is right

    class Meta(Evidence.Meta):
        pass
