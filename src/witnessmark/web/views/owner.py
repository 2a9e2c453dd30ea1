"""Whose vehicle it is; after hand-back a teacher may erase the owner."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError
from witnessmark.record.acts.erasing import erase_owner
from witnessmark.record.models import Job
from witnessmark.web import gate, places
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of


@require_http_methods(["GET", "POST"])
@gate.takes_in
def owner(request: HttpRequest, number: int) -> HttpResponse:
    """Show the owner with every visit; erase them with a teacher's PIN."""
    job = gate.job_for(request.person, number)
    whose = job.vehicle.owner
    if whose is None:
        raise Http404
    if job.half_done:
        return redirect(f"{places.job(number)}/intake")
    error = None
    if request.method == "POST":
        try:
            erase_owner(
                gate.by(request),
                gate.entry_id(request),
                owner=whose,
                pin=request.POST.get("pin", ""),
            )
        except BenchError as refused:
            error = refused
        else:
            messages.info(request, "The owner is erased. The record still holds together.")
            return redirect(f"{places.job(number)}/owner")
    visits = Job.objects.filter(vehicle__owner=whose, half_done=False).select_related("vehicle")
    facts = head(job, "work") | {
        "error": error,
        "owner": whose,
        "visits": visits,
        "is_here": visits.filter(closed_at=None).exists(),
        "under": "Whose vehicle it is. Only teachers and the office see this page.",
    }
    status = status_of(error) if error else 200
    return render(request, "witnessmark/job/owner.html", facts, status=status)


urls = [path("jobs/<int:number>/owner", owner)]
