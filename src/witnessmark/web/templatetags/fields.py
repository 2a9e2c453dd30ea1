"""A field about which something is said: its attributes, and the sentence that stands at it.

A page says with `at` which field it is, and with `tried` which form; `error` is what is wrong::

    <input id="what" name="what" value="{{ typed.what }}"{% at "what" %}>{% said_at "what" %}

Where several fields are spoken of at once, `each` has what is wrong by the name of its field; the
cursor goes to `at`.
"""

from collections.abc import Mapping

from django import template
from django.template.context import Context
from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.safestring import SafeString

from witnessmark.errors import BenchError

register = template.Library()


@register.simple_tag(takes_context=True)
def at(context: Context, field: str, form: str = "") -> SafeString:
    """Write the attributes of the field that is spoken of; `form` where a page has several."""
    if _said_of(context, field, form) is None:
        return SafeString("")
    begins = " autofocus" if context.get("at") == field else ""
    return format_html(
        '{} aria-invalid="true" aria-describedby="{}"', begins, _id_of(context, field)
    )


@register.simple_tag(takes_context=True)
def said_at(context: Context, field: str, form: str = "") -> SafeString:
    """Write what is wrong with the field, where it is one of those."""
    error = _said_of(context, field, form)
    if error is None:
        return SafeString("")
    facts = {"error": error, "id": _id_of(context, field)}
    return render_to_string("witnessmark/parts/at_field.html", facts)


def _said_of(context: Context, field: str, form: str) -> BenchError | None:
    if form not in ("", context.get("tried")):
        return None
    each: Mapping[str, BenchError] = context.get("each") or {}
    if field in each:
        return each[field]
    return context["error"] if context.get("at") == field else None


def _id_of(context: Context, field: str) -> str:
    return "at_field" if context.get("at") == field else f"at_{field}"
