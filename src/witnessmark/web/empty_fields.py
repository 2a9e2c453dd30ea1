"""Which field of a form was left empty: the page's own sentence stands there, and no bubble."""

from collections.abc import Mapping, Sequence

from witnessmark.errors import BenchError


def empty_field(tried: str, typed: Mapping[str, str], fields: Mapping[str, Sequence[str]]) -> str:
    """Return the first field of the form that was tried in which nothing stands; "" if none.

    `fields` holds the fields of each form that must not be empty, in their order on the page.

    >>> empty_field("look", {"what": "lining", "value": " "}, {"look": ("what", "value")})
    'value'
    """
    return next((name for name in fields.get(tried, ()) if not typed.get(name, "").strip()), "")


def must_be_typed(typed: Mapping[str, str]) -> None:
    """Refuse a reading of which nothing is typed, and no outcome was chosen."""
    if not typed.get("text", "").strip() and not typed.get("outcome"):
        raise BenchError(
            "Nothing is typed.",
            "A reading is a value, or what was seen.",
            "Type what the test shows.",
        )
