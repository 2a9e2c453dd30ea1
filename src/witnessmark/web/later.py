"""Views whose module computes: it is loaded when one of them is first opened."""

from collections.abc import Callable
from importlib import import_module
from typing import Any

from django.http import HttpRequest, HttpResponse


def later(module: str, view: str) -> Callable[..., HttpResponse]:
    """Return a view that loads its module at the first request, so that the shop opens at once."""

    def opened(request: HttpRequest, **place: Any) -> HttpResponse:
        answer: HttpResponse = getattr(import_module(module), view)(request, **place)
        return answer

    return opened
