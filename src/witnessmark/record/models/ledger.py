"""Everything off or undone, and what closed it."""

from django.db import models

from witnessmark.log.models import Aside
from witnessmark.record.models.evidence import Evidence
from witnessmark.record.models.jobs import Job
from witnessmark.record.models.steps import Step


class LedgerLine(Evidence):
    """One thing off or undone: what, how many, where it is kept."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="ledger")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="ledger")
    key = models.CharField(max_length=60, default="", blank=True)  # the step's item, if it has one
    what_aside = models.ForeignKey(Aside, on_delete=models.PROTECT, related_name="+")
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
    place_aside = models.ForeignKey(  # "Bag 31, bin B"
        Aside, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(Evidence.Meta):
        pass

    @property
    def what(self) -> str:
        return self.what_aside.words

    @property
    def place(self) -> str:
        return self.place_aside.words


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
    answered_aside = models.ForeignKey(  # what was asked about it, and is right
        Aside, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta(Evidence.Meta):
        pass

    @property
    def answered(self) -> str:
        return "" if self.answered_aside is None else self.answered_aside.words
