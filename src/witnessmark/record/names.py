"""Names for the sentences of the log, fetched when it is read."""

from collections.abc import Iterable

from witnessmark.log.models import Entry
from witnessmark.people.models import Device, Person, Section
from witnessmark.record.models import LedgerLine, Step
from witnessmark.record.specs import spec_of
from witnessmark.shop.models import Bay


def names_for(entries: Iterable[Entry]) -> dict[str, str]:
    """Return the names of everything that some entries speak of, by id.

    A reading's key stands for what is read, as the step words it.
    """
    chosen = list(entries)
    named: dict[str, str] = {str(p.pk): p.name for p in Person.objects.only("id", "name")}
    for model in (Bay, Section, Device):
        named |= {str(row.pk): row.name for row in model._default_manager.all()}
    jobs = {entry.job_id for entry in chosen if entry.job_id is not None}
    for line in LedgerLine.objects.filter(job_id__in=jobs):
        named[str(line.pk)] = line.what
    for step in Step.objects.filter(job_id__in=jobs):
        named[str(step.pk)] = f"step {step.position}"
        for measurement in spec_of(step).measurements:
            for position in measurement.places:
                where = f"{measurement.key} {position}".strip()
                named.setdefault(where, measurement.named(position))
    return named
