"""The board on the wall. It asks every few seconds and is told 304 while nothing changed."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import path
from django.views.decorators.cache import cache_control
from django.views.decorators.http import condition, require_GET

from witnessmark.log.models import Head
from witnessmark.papers.board_drawing import LineLook, progress_svg, teacher_line_svg
from witnessmark.record.board import TURN_S, board
from witnessmark.shop import clock
from witnessmark.web.drawn import drawn
from witnessmark.web.icons import MARKS

POLL_S = 5
POLL_TURNING_S = 4  # a third of the time that a page stays


def _tag(request: HttpRequest) -> str:
    """Return what the board depends on: the log, the minute, and which page it is time for."""
    now = clock.now()
    number = Head.objects.values_list("number", flat=True).first() or 0
    return f'"{number}-{now:%d%H%M}-{int(now.timestamp() // TURN_S) % 5 if _turns(request) else 0}"'


def _turns(request: HttpRequest) -> bool:
    return request.GET.get("turns") == "1"


@require_GET
def whole(request: HttpRequest) -> HttpResponse:
    """Show the board."""
    return render(request, "witnessmark/board/board.html", _facts())


@require_GET
@cache_control(private=True, no_cache=True)
@condition(etag_func=_tag)
def rows(request: HttpRequest) -> HttpResponse:
    """Answer the board that asks again."""
    return render(request, "witnessmark/board/inside.html", _facts())


def _facts() -> dict[str, Any]:
    seen = board(clock.now())
    period = seen.period
    bar = ""
    if period is not None:
        words = f"{period.gone_share:.0%} of the period is gone; its end is for cleaning"
        bar = progress_svg(period.gone_share, period.down_share, words)
    looks = tuple(
        LineLook(
            words=look.words,
            place=look.place,
            drawing=MARKS[str(look.state)][1],
            name=MARKS[str(look.state)][0],
            share=look.share,
        )
        for look in seen.looks
    )
    return {
        "board": seen,
        "bar": drawn(bar),
        "line": drawn(teacher_line_svg(looks)),
        "turns": int(seen.pages > 1),
        "poll_s": POLL_TURNING_S if seen.pages > 1 else POLL_S,
    }


urls = [path("board", whole), path("board/rows", rows)]
