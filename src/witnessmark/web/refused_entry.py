"""A refused entry, kept in the session of who typed it until it is mended or half an hour is over.

It belongs to the page that it was typed on, and shows on no other. The form is answered with
the way back to its page, so that the page can be loaded again and left with Back, and the browser
never asks whether to send the form once more.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import urlsplit

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render

from witnessmark.errors import BenchError, Question
from witnessmark.shop import clock
from witnessmark.web.refusals import status_of

AGAIN = "again"  # in the address: the token of what is kept
_KEPT = "refused entries"  # oldest first
_LONGEST = timedelta(minutes=30)
_MOST_OF_A_PAGE = 3  # so that Back from one refusal to the one before finds it
_MOST = 9
_NOT_KEPT = frozenset({"csrfmiddlewaretoken", "id", "pin", "waited_s"})
_MOST_SIGNS = 20_000  # of one field
_SEE_OTHER = 303
_AT_FIELD = b'id="at_field"'  # of the sentence that stands at a field


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedEntry:
    """What was refused: why, of which form, at which field, and what was typed."""

    error: BenchError
    status: int
    tried: str
    at: str
    typed: QueryDict


def lead_back(
    request: HttpRequest, address: str, error: BenchError, *, tried: str = "", at: str = ""
) -> HttpResponse:
    """Keep what was typed and lead to its page, which shows it with the refusal.

    `at` is the field that the refusal is about, where the error itself does not name it. The last
    three refused on a page are kept, and nine of a browser.
    """
    token, page = secrets.token_hex(4), urlsplit(address).path
    kept = {
        "token": token,
        "page": page,
        "since": clock.now().isoformat(),
        "tried": tried,
        "at": at or error.field,
        "status": status_of(error),
        "is_question": isinstance(error, Question),
        "said": [error.found, error.needed, error.do],
        "typed": {
            name: [value[:_MOST_SIGNS] for value in values]
            for name, values in request.POST.lists()
            if name not in _NOT_KEPT
        },
    }
    before = _still_kept(request)
    others = [one for one in before if one["page"] != page]
    same = [one for one in before if one["page"] == page]
    request.session[_KEPT] = [*others, *same[1 - _MOST_OF_A_PAGE :], kept][-_MOST:]
    sign = "&" if "?" in address else "?"
    return HttpResponse(status=_SEE_OTHER, headers={"Location": f"{address}{sign}{AGAIN}={token}"})


def refused_entry(request: HttpRequest) -> RefusedEntry | None:
    """Return the refused entry of a page that its address asks for; None where none waits."""
    token = request.GET.get(AGAIN)
    waits = (one for one in _still_kept(request) if one["token"] == token)
    kept = next(waits, None)
    if kept is None or kept["page"] != request.path:
        return None
    typed = QueryDict(mutable=True)
    for name, values in kept["typed"].items():
        typed.setlist(name, values)
    said = Question if kept["is_question"] else BenchError
    return RefusedEntry(
        error=said(*kept["said"]),
        status=kept["status"],
        tried=kept["tried"],
        at=kept["at"],
        typed=typed,
    )


def render_said(
    request: HttpRequest, template: str, facts: Mapping[str, Any], status: int
) -> HttpResponse:
    """Render a page with its refusal at the field that it is about, or else on top.

    The field may not be there: what it belongs to is proved by now, or is no longer offered.
    """
    page = render(request, template, facts, status=status)
    if facts.get("at") and _AT_FIELD not in page.content:
        page = render(request, template, {**facts, "at": ""}, status=status)
    return page


def forget_refused(request: HttpRequest, address: str) -> None:
    """Forget what was refused on the page of an address: an entry was kept in its place."""
    page = urlsplit(address).path
    _keep(request, [one for one in _still_kept(request) if one["page"] != page])


def forget_old(request: HttpRequest) -> None:
    """Forget what was refused more than half an hour ago."""
    _keep(request, _still_kept(request))


def _still_kept(request: HttpRequest) -> list[dict[str, Any]]:
    oldest = clock.now() - _LONGEST
    rows = request.session.get(_KEPT, [])
    return [one for one in rows if datetime.fromisoformat(one["since"]) >= oldest]


def _keep(request: HttpRequest, rows: list[dict[str, Any]]) -> None:
    if len(rows) == len(request.session.get(_KEPT, [])):
        return
    if rows:
        request.session[_KEPT] = rows
    else:
        del request.session[_KEPT]
