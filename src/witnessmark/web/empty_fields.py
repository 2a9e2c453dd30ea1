"""Which field of a form was left empty: the page's own sentence stands there, and no bubble."""

from collections.abc import Mapping, Sequence


def empty_field(tried: str, typed: Mapping[str, str], fields: Mapping[str, Sequence[str]]) -> str:
    """Return the first field of the form that was tried in which nothing stands; "" if none.

    `fields` holds the fields of each form that must not be empty, in their order on the page.

    >>> empty_field("look", {"what": "lining", "value": " "}, {"look": ("what", "value")})
    'value'
    """
    return next((name for name in fields.get(tried, ()) if not typed.get(name, "").strip()), "")
