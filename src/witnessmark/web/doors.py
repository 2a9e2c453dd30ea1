"""How a person and a device come in, and how they are known on the next page."""

from datetime import datetime
from urllib.parse import urlencode

from django.contrib import auth
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme

from witnessmark.people.devices import device_for
from witnessmark.people.models import Device, Person
from witnessmark.shop import clock
from witnessmark.shop.models import Shop

DEVICE_COOKIE = "device"
_BACKEND = "django.contrib.auth.backends.ModelBackend"


def shop() -> Shop | None:
    """Return the shop, or none before its first start."""
    return Shop.objects.first()


def device_of(request: HttpRequest) -> Device | None:
    """Return the open device that this browser is."""
    token = request.COOKIES.get(DEVICE_COOKIE)
    return device_for(token, clock.now()) if token else None


def remember_device(response: HttpResponse, token: str, until: datetime) -> None:
    """Make this browser the device; the shop's own clock ends it, not the browser's."""
    seconds = (until - clock.now()).total_seconds()
    response.set_cookie(
        DEVICE_COOKIE, token, max_age=max(0, int(seconds)), httponly=True, samesite="Lax"
    )


def person_of(request: HttpRequest) -> Person | None:
    """Return who is signed in. A PIN opened on a device ends with that device."""
    person = request.user
    if not person.is_authenticated or not person.is_active:
        return None
    opened_on = request.session.get("device")
    if opened_on and (request.device is None or str(request.device.pk) != opened_on):
        return None
    return person


def come_in(request: HttpRequest, person: Person, device: Device | None) -> None:
    """Sign a person in: by PIN on an open device, or by password on any."""
    request.session.clear_expired()  # what waited in one is gone with it
    auth.login(request, person, backend=_BACKEND)
    if device is not None:
        request.session["device"] = str(device.pk)


def go_out(request: HttpRequest) -> None:
    """Sign out; the device stays open."""
    auth.logout(request)


def to_the_door(request: HttpRequest) -> HttpResponse:
    """Send a stranger to sign in, and back to the page they wanted afterwards."""
    wanted = request.get_full_path() if request.method == "GET" else "/"
    if request.htmx:
        response = HttpResponse(status=204)
        response.headers["HX-Redirect"] = "/signin"
        return response
    return redirect("/signin" if wanted == "/" else f"/signin?{urlencode({'next': wanted})}")


def wanted_page(request: HttpRequest) -> str:
    """Return the page of this shop that was wanted before signing in."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    inside = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, request.is_secure())
    return wanted if inside else "/"
