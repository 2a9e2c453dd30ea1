"""Who works on a job: its crew, and whom the published plan names for one of its steps."""

from uuid import UUID

from django.db.models import Q, QuerySet

from witnessmark.people.models import Person
from witnessmark.record.models import Job, Plan


def jobs_worked_on(person: Person) -> QuerySet[Job]:
    """Return the jobs in which a person has work now."""
    crews = person.crews.filter(until=None).values("job_id")
    named = person.sittings.filter(plan=_standing_plan()).values("job_id")
    return Job.objects.filter(Q(pk__in=crews) | Q(pk__in=named))


def works_on(person: Person, job: Job) -> bool:
    """Say whether a person has work in this job now."""
    return jobs_worked_on(person).filter(pk=job.pk).exists()


def _standing_plan() -> UUID | None:
    """Return the id of the plan that was published last."""
    published = Plan.objects.filter(published_at__isnull=False).order_by("-version")
    return published.values_list("pk", flat=True).first()
