"""A refusal as a page: three sentences, the right status, the way back."""

from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from witnessmark.errors import BenchError
from witnessmark.record.acts.by import Conflict, NotAllowed
from witnessmark.record.acts.marks import ChangedSinceShown

HANDLED_BY_DJANGO = (Http404, PermissionDenied, SuspiciousOperation)


def status_of(error: BenchError) -> int:
    """Return the status that fits: not allowed, already changed, or cannot be used."""
    match error:
        case NotAllowed():
            return 403
        case Conflict() | ChangedSinceShown():
            return 409
        case _:
            return 422


def page(request: HttpRequest, error: BenchError) -> HttpResponse:
    """Show a refusal on a page of its own, with the way back to where it was typed."""
    facts = {"error": error, "back": _came_from(request)}
    return render(request, "witnessmark/refused.html", facts, status=status_of(error))


def _came_from(request: HttpRequest) -> str:
    """Return the path of this shop's page that sent the form, or the job list."""
    origin = request.build_absolute_uri("/")
    sent_by = request.headers.get("Referer", "")
    return "/" + sent_by.removeprefix(origin) if sent_by.startswith(origin) else "/jobs"
