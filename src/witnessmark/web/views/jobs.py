"""The list of jobs."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_GET

from witnessmark.web import gate


@require_GET
def jobs(request: HttpRequest) -> HttpResponse:
    """List the jobs that this person may open."""
    rows = list(gate.jobs_of(request.person).filter(closed_at=None))
    facts = {
        "rows": [job for job in rows if not job.half_done],
        "half_done": [job for job in rows if job.half_done],
    }
    return render(request, "witnessmark/jobs/jobs.html", facts)


urls = [path("jobs", jobs)]
