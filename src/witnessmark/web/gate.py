"""The one way to a job, and who may open which page."""

from collections.abc import Callable
from datetime import timedelta
from functools import wraps
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from witnessmark.errors import BenchError
from witnessmark.people.models import Person, Role
from witnessmark.record.acts.by import By
from witnessmark.record.crews import jobs_worked_on
from witnessmark.record.models import Job, Step
from witnessmark.shop import clock
from witnessmark.web.typed import sent_id

View = Callable[..., HttpResponse]
LONGEST_WAIT_S = 12 * 60 * 60  # an entry waited for the connection at most a school day


def jobs_of(person: Person):
    """Return the jobs that a person may open: a learner those with work for them."""
    jobs = Job.objects.select_related("vehicle__owner", "bay", "section")
    if person.role == Role.LEARNER:
        return jobs.filter(pk__in=jobs_worked_on(person).values("pk"), half_done=False)
    return jobs


def job_for(person: Person, number: int) -> Job:
    """Return a job that this person may open; to a stranger it does not exist."""
    return get_object_or_404(jobs_of(person), number=number)


def step_for(person: Person, number: int, position: int) -> Step:
    """Return a standing step of a job that this person may open."""
    job = job_for(person, number)
    step = job.steps.filter(position=position, dropped_at=None).select_related("sheet").first()
    if step is None:
        raise Http404
    step.job = job
    return step


def teachers_only(view: View) -> View:
    """Let only a teacher open a page."""
    return _only((Role.TEACHER,), view)


def takes_in(view: View) -> View:
    """Let a teacher or the office open a page: they take vehicles in."""
    return _only((Role.TEACHER, Role.OFFICE), view)


def _only(roles: tuple[Role, ...], view: View) -> View:
    @wraps(view)
    def guarded(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        if request.person.role not in roles:
            raise PermissionDenied
        return view(request, *args, **kwargs)

    return guarded


def by(request: HttpRequest) -> By:
    """Return who acts: with the time it was typed, if it waited for a connection."""
    waited_s = request.POST.get("waited_s", "")
    done_at = None
    if waited_s.isascii() and waited_s.isdigit():
        waited = int(waited_s[:9])  # a page sends five figures at most
        done_at = clock.now() - timedelta(seconds=min(waited, LONGEST_WAIT_S))
    return By(person=request.person, device=request.device, done_at=done_at)


def entry_id(request: HttpRequest, name: str = "id") -> UUID:
    """Return the id that the form gave its entry, so that sending twice makes one."""
    id = sent_id(request.POST.get(name, ""))
    if id is None:
        raise BenchError(
            "The form came without the id of its entry.",
            "Each entry has one, made by the page.",
            "Open the page again and enter it once more.",
        )
    return id
