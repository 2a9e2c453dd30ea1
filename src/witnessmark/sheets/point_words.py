"""One spelling for a point, however its minus was typed."""

import re
from typing import Final

_TYPED_MINUS: Final = re.compile(r"(?<=\s)[-–—]$")


def point_words(typed: str) -> str:
    """Return the words of a point with single spaces, and a minus at their end as a minus sign.

    A keyboard has only the hyphen: "battery -" is the battery's negative post too.

    Parameters
    ----------
    typed
        As it was typed.

    Examples
    --------
    >>> point_words(" battery  -") == "battery −"
    True
    >>> point_words("after fuse F-2")
    'after fuse F-2'
    """
    return _TYPED_MINUS.sub("−", " ".join(typed.split()))
