"""What pages draw the same way everywhere: joins, marks, verdicts, stages, times.

A join is written out, so that its two halves stay plain HTML::

    <li class="{% join_class step.mark %}">
      <div class="l">what was asked</div>{% seam step.mark %}<div class="r">what proves it</div>
    </li>

Mark states: none, hold, called, whole, broken, again, witness, passed (ink, never paint).
"""

import uuid
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django import template
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from witnessmark.shop import clock
from witnessmark.web.drawn import drawn
from witnessmark.web.icons import ICONS, MARKS, PERMITS, VERDICTS

register = template.Library()


@register.simple_tag
def icon(name: str) -> SafeString:
    """Draw a line icon. It is decoration: the word stands beside it."""
    return format_html(
        '<svg class="ico" viewBox="0 0 24 24" aria-hidden="true">{}</svg>', drawn(ICONS[name])
    )


@register.simple_tag
def place_icon(place: str) -> SafeString:
    """Draw a bag or a bin before the name of a place that is one."""
    words = place.casefold()
    found = next((name for name in ("bag", "bin") if name in words), None)
    if found is None and "drum" in words:
        found = "drop"
    return icon(found) if found else SafeString("")


@register.simple_tag
def mark(state: str, words: str = "") -> SafeString:
    """Draw a mark in one of its states, with its text name."""
    name, drawing = MARKS[state or "none"]
    return format_html(
        '<svg viewBox="0 0 112 48" role="img" aria-label="{}">{}</svg>',
        words or name,
        drawn(drawing),
    )


@register.simple_tag
def seam(state: str) -> SafeString:
    """Draw the middle of a join: the stripe across the seam."""
    return format_html('<div class="m">{}</div>', mark(state))


@register.simple_tag
def join_class(state: str) -> str:
    """Return the class of a join: only a broken mark moves its right half."""
    return "join broken" if state == "broken" else "join"


@register.simple_tag
def flag(state: str, words: str = "") -> SafeString:
    """Write the word of a mark state in its own outline; whole and again need none."""
    outlined = {"hold": "Hold", "called": "Called", "broken": "Broken", "witness": "Witness"}
    plain = {"whole": "Marked", "again": "Marked again"}
    if state in outlined:
        return format_html(
            '<span class="flag {}">{}</span>', state, f"{outlined[state]} {words}".strip()
        )
    return format_html("<b>{}</b> {}", plain[state], words) if state in plain else SafeString("")


@register.simple_tag
def verdict(word: str | None) -> SafeString:
    """Draw a verdict: its gauge and always its word. Nothing for no verdict."""
    if not word:
        return SafeString("")
    css, title, drawing = VERDICTS[str(getattr(word, "value", word))]
    return format_html(
        '<span class="v {}"><svg viewBox="0 0 44 20" aria-hidden="true">{}</svg>{}</span>',
        css,
        drawn(drawing),
        title,
    )


@register.simple_tag
def permit(level: str) -> SafeString:
    """Draw how far a permit goes."""
    name, drawing = PERMITS[level]
    return format_html(
        '<svg viewBox="0 0 28 20" role="img" aria-label="{}">{}</svg>', name, drawn(drawing)
    )


@register.inclusion_tag("witnessmark/parts/stages.html")
def stages(strip: Iterable[Any]) -> dict[str, Any]:
    """Draw the four stages of a job, with an ink bar over each seam that is passed."""
    return {"strip": list(strip)}


@register.simple_tag
def stage_bar(strip: Iterable[Any], now: Any) -> SafeString:
    """Draw the four stages small: ink for the one the job is in, a bar over each passed seam."""
    drawing = ""
    for at, stage in enumerate(strip):
        left = 2 + 50 * at
        css = "msn" if stage == now else "msp"
        drawing += f'<path d="M{left} 1h44v20h-44z" class="{css}"/>'
        if stage.is_passed and at < 3:
            drawing += f'<path d="M{left + 38} 11h16" stroke-width="5" stroke-linecap="butt"/>'
    return format_html(
        '<svg class="ms" viewBox="0 0 200 22" role="img" aria-label="Stage: {}">{}</svg>',
        now.title,
        drawn(drawing),
    )


@register.inclusion_tag("witnessmark/parts/pin.html")
def pin_pad(name: str = "pin") -> dict[str, str]:
    """Ask for a PIN: one password field, to which the page's script adds a pad of figures."""
    return {"name": name}


@register.simple_tag
def fresh_id(name: str = "id") -> SafeString:
    """Give a form the id of the entry it will make, so that sending it twice makes one entry."""
    return format_html('<input type="hidden" name="{}" value="{}" data-fresh>', name, uuid.uuid4())


@register.simple_block_tag
def as_table(content: str, words: str = "Show as table") -> SafeString:
    """Fold a table under its drawing: a drawing is never the only source."""
    return format_html(
        '<details class="ast"><summary class="btn sat">{}{}</summary>{}</details>',
        icon("table"),
        words,
        content,
    )


@register.filter
def digest(text: str) -> SafeString:
    """Write a digest as 8 signs in two fours."""
    return (
        format_html('<span class="mono">{} {}</span>', text[:4], text[4:8])
        if text
        else SafeString("")
    )


@register.filter
def hour(moment: datetime | None) -> str:
    """Write a time of day in the shop's zone: 11:08."""
    return f"{timezone.localtime(moment):%H:%M}" if moment else ""


@register.filter
def day(moment: datetime | date | None) -> str:
    """Write a day: Tue 24 Nov."""
    if moment is None:
        return ""
    if isinstance(moment, datetime):
        moment = timezone.localtime(moment).date()
    return f"{moment:%a} {moment.day} {moment:%b}"


@register.filter
def shortly(moment: datetime | None) -> str:
    """Write the time if it is today, else the day alone: 19 Nov."""
    words = when(moment)
    return words if ":" not in words or len(words) == len("11:08") else words.rpartition(" ")[0]


@register.filter
def when(moment: datetime | None) -> str:
    """Write the time if it is today, else day and time: 19 Nov 09:41."""
    if moment is None:
        return ""
    local = timezone.localtime(moment)
    today = timezone.localtime(clock.now()).date()
    if local.date() == today:
        return f"{local:%H:%M}"
    return f"{local.day} {local:%b} {local:%H:%M}"
