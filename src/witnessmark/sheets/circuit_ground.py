"""Where a ground joint leads when nobody says it: to the body, or to the battery's minus post."""

from typing import Any, Final

from witnessmark.networks import Kind
from witnessmark.sheets.circuit_draft import (
    Typed,
    ends_of_part,
    kind_of_part,
    table_of,
    tables_of,
)
from witnessmark.sheets.point_words import point_words

FROM: Final = "from"
TO: Final = "to"


def minus_post(data: Typed) -> str:
    """Return the point of the first battery's minus post; empty where none is typed.

    Parameters
    ----------
    data
        A sheet as it was typed.
    """
    posts = (ends_of_part(part).get("minus", "") for _, part in tables_of(data, "parts"))
    return next(filter(None, posts), "")


def ground_point(data: Typed, start: str = "") -> str:
    """Return the point to which a ground joint leads of which only one end is typed.

    Parameters
    ----------
    data
        A sheet as it was typed.
    start
        The end that is typed; a joint of the body itself leads to the battery.

    Returns
    -------
    str
        The point; empty where there is none, or where the joint starts there.

    Examples
    --------
    >>> battery = {"name": "BAT", "kind": "battery", "plus": "+", "minus": "minus post"}
    >>> ground_point({"parts": [battery]}, "lamp −")
    'minus post'
    >>> sheet = {"circuit": {"body": "body"}, "parts": [battery]}
    >>> ground_point(sheet, "lamp −"), ground_point(sheet, "body")
    ('body', 'minus post')
    """
    letters = table_of(data, "points")
    begins = point_words(str(letters.get(start, start)))
    body = table_of(data, "circuit").get("body")
    ends = (point_words(body) if isinstance(body, str) else "", minus_post(data))
    return next((one for one in ends if one and letters.get(one, one) != begins), "")


def with_grounds(data: Typed) -> dict[str, Any]:
    """Return a sheet in which every ground joint with one end has its other one too.

    Parameters
    ----------
    data
        A sheet as it was typed.

    Examples
    --------
    >>> battery = {"name": "BAT", "kind": "battery", "plus": "+", "minus": "minus post"}
    >>> joint = {"name": "G1", "kind": "ground", "from": "lamp −"}
    >>> with_grounds({"parts": [battery, joint]})["parts"][1]["to"]
    'minus post'
    """
    parts = data.get("parts")
    if not isinstance(parts, list):
        return dict(data)
    return {**data, "parts": [_with_ground(data, part) for part in parts]}


def _with_ground(data: Typed, part: Any) -> Any:
    if not isinstance(part, dict) or kind_of_part(part) is not Kind.GROUND:
        return part
    start = part.get(FROM)
    if not isinstance(start, str) or not start or part.get(TO):
        return part
    end = ground_point(data, start)
    return {**part, TO: end} if end else part
