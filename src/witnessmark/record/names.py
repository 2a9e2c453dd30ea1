"""Names and texts for the sentences of the log, fetched when it is read."""

from collections.abc import Iterable

from witnessmark.log.models import Aside, Entry
from witnessmark.people.models import Device, Person, Section
from witnessmark.record.models import LedgerLine, PartOrder, Reading, Step
from witnessmark.record.specs import spec_of
from witnessmark.shop.models import Bay


def names_for(entries: Iterable[Entry]) -> dict[str, str]:
    """Return the names and typed texts of everything that some entries speak of, by id.

    A reading's key stands for what is read, as the step words it.
    """
    chosen = list(entries)
    named: dict[str, str] = {str(p.pk): p.name for p in Person.objects.only("id", "name")}
    for model in (Bay, Section, Device):
        named |= {str(row.pk): row.name for row in model._default_manager.all()}
    beside = Aside.objects.filter(entry__in=[entry.id for entry in chosen], is_file=False)
    named |= {str(aside.pk): aside.words for aside in beside}
    jobs = {entry.job_id for entry in chosen if entry.job_id is not None}
    for step in Step.objects.filter(job_id__in=jobs):
        named[str(step.pk)] = "Find" if step.kind == "find" else f"step {step.position}"
        for measurement in spec_of(step).measurements:
            for position in measurement.places:
                where = f"{measurement.key} {position}".strip()
                named.setdefault(where, measurement.named(position))
    for order in PartOrder.objects.filter(job_id__in=jobs):
        named[str(order.pk)] = order.what
    for line in LedgerLine.objects.filter(job_id__in=jobs).select_related("what_aside"):
        named[str(line.pk)] = named[str(line.what_aside_id)] = line.what
        # a correction keeps the words of the line before it
    named |= _corrected(jobs)
    return named


def _corrected(jobs: Iterable[object]) -> dict[str, str]:
    """Return each reading that was replaced as its reader gave it, and the words of looks."""
    rows = Reading.objects.filter(job_id__in=jobs).select_related("what_aside", "seen_aside")
    found = {str(row.pk): row.shown for row in rows.exclude(replaced_by=None)}
    looks = rows.exclude(what_aside=None)
    return found | {str(row.what_aside_id): row.what for row in looks}
