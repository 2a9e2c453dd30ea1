"""The first page of a real shop: its name, and its first teacher."""

from zoneinfo import available_timezones

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError
from witnessmark.record.acts.school import start_shop
from witnessmark.web import doors, gate
from witnessmark.web.refusals import status_of

ASKED = ("name", "units", "zone", "paper", "teacher_name", "handle", "password", "pin")


@require_http_methods(["GET", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """Ask for the shop and its first teacher; only while there is none."""
    if request.shop is not None:
        return redirect("/")
    facts = {"zones": sorted(available_timezones()), "typed": {"units": "metric", "paper": "A4"}}
    if request.method == "GET":
        return render(request, "witnessmark/start.html", facts)
    typed = {key: request.POST.get(key, "") for key in ASKED}
    try:
        _, teacher = start_shop(gate.entry_id(request), **typed)
    except BenchError as error:
        facts |= {"typed": typed, "error": error}
        return render(request, "witnessmark/start.html", facts, status=status_of(error))
    doors.come_in(request, teacher, None)
    return redirect("/jobs")


urls = [path("start", start)]
