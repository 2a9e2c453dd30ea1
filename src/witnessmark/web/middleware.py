"""What happens around every page: content policy, who is here, and errors in plain words."""

import logging
import secrets
from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.contrib import auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from witnessmark.errors import BenchError
from witnessmark.web import doors, refusals
from witnessmark.web.refused_entry import forget_old

Page = Callable[[HttpRequest], HttpResponse]

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self' blob:",  # blob: a photo is shown before it is sent
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
# Where one may be without being signed in: signing in, and starting an empty shop.
OPEN_DOORS = ("/signin", "/start", "/static/")
log = logging.getLogger(__name__)


def content_policy(page: Page) -> Page:
    """Forbid every script, style and request that is not the shop's own; keep no page."""

    def guarded(request: HttpRequest) -> HttpResponse:
        response = page(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        # A shared tablet keeps no page: "back" must not show the one before what a crew saw.
        response.headers.setdefault("Cache-Control", "private, no-store")
        return response

    return guarded


def who_is_here(page: Page) -> Page:
    """Put shop, device and person on the request; send a stranger to the door."""

    def known(request: HttpRequest) -> HttpResponse:
        request.shop = doors.shop()
        if request.shop is None:
            return page(request) if request.path == "/start" else redirect("/start")
        timezone.activate(ZoneInfo(request.shop.zone))
        request.device = doors.device_of(request)
        request.person = doors.person_of(request)
        if request.person is None:
            auth.logout(request)
            if not request.path.startswith(OPEN_DOORS):
                return doors.to_the_door(request)
        else:
            forget_old(request)
        return page(request)

    return known


def bench_errors(page: Page) -> Page:
    """Answer a BenchError with its three sentences, anything else with a number to tell."""

    def answer(request: HttpRequest) -> HttpResponse:
        return page(request)

    def explain(request: HttpRequest, error: Exception) -> HttpResponse | None:
        if isinstance(error, BenchError):
            return refusals.page(request, error)
        if isinstance(error, refusals.HANDLED_BY_DJANGO):
            return None
        number = secrets.token_hex(4)
        log.exception("page %s failed, told as number %s", request.path, number)
        return render(request, "witnessmark/failed.html", {"number": number}, status=500)

    answer.process_exception = explain  # type: ignore[attr-defined]
    return answer
