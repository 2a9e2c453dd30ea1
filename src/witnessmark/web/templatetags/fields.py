"""A field about which something is said: its attributes, and the sentence that stands at it.

A page says with `at` which field it is, and with `tried` which form; `error` is what is wrong::

    <input id="what" name="what" value="{{ typed.what }}"{% at "what" %}>{% said_at "what" %}
"""

from django import template
from django.template.context import Context
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

register = template.Library()

ATTRIBUTES = SafeString(' autofocus aria-invalid="true" aria-describedby="at_field"')


@register.simple_tag(takes_context=True)
def at(context: Context, field: str, form: str = "") -> SafeString:
    """Write the attributes of the field that is spoken of; `form` where a page has several."""
    return ATTRIBUTES if _is_at(context, field, form) else SafeString("")


@register.simple_tag(takes_context=True)
def said_at(context: Context, field: str, form: str = "") -> SafeString:
    """Write what is wrong with the field, where it is the one."""
    if not _is_at(context, field, form):
        return SafeString("")
    return render_to_string("witnessmark/parts/at_field.html", {"error": context["error"]})


def _is_at(context: Context, field: str, form: str) -> bool:
    return context.get("at") == field and form in ("", context.get("tried"))
