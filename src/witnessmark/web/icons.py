"""Line icons, marks and verdict signs, drawn for this project, as the insides of an SVG."""

from typing import Final

ICONS: Final = {
    "back": '<path d="M20 12H5M11 6l-6 6 6 6"/>',
    "bag": '<path d="M5 8h14v13H5zM7 4h10l2 4H5zM9 13h6"/>',
    "bin": '<path d="M3 7h18l-2 13H5zM3 11h18"/>',
    "board": '<path d="M3 5h18v11H3zM8 20h8M12 16v4"/>',
    "call": '<path d="M7 21v-6l-3-4 2-1 3 3V4h3v7M12 6h3v6M15 8h3v8l-2 5"/>',
    "camera": '<path d="M3 7h5l2-3h4l2 3h5v13H3z"/><circle cx="12" cy="13" r="4"/>',
    "caution": '<path d="M12 3 22 21H2z"/><path d="M12 10v5M12 18v0"/>',
    "clock": '<circle cx="12" cy="12" r="9"/><path d="M12 7v5l4 2"/>',
    "drop": '<path d="M12 3 6 12a6.7 6.7 0 1 0 12 0z"/>',
    "find": '<path d="M5 3v7l7 4M12 14l7 7M3 3h4M12 14l3-3"/>',
    "fit": '<path d="M4 4v10a8 8 0 0 0 16 0V9M8 4v5M4 4h4M12 9h10M12 6v6"/>',
    "job": '<path d="M6 3h12v18H6zM9 8h6M9 12h6M9 16h3"/>',
    "key": '<circle cx="7" cy="15" r="4"/><path d="M10 12 20 2M16 6l4 4"/>',
    "library": '<path d="M3 4h5v17H3zM8 7h5v14H8zM14 6l4-1 4 15-4 1z"/>',
    "list": '<path d="M9 6h12M9 12h12M9 18h12M4 6h0M4 12h0M4 18h0"/>',
    "next": '<path d="M4 12h15M13 6l6 6-6 6"/>',
    "offline": '<path d="M2 9c6-5 14-5 20 0M6 14c4-3 8-3 12 0M12 19h0M3 21 21 3"/>',
    "part": '<path d="M4 8l8-4 8 4v9l-8 4-8-4zM4 8l8 4 8-4M12 12v9"/>',
    "people": (
        '<circle cx="8" cy="8" r="4"/><path d="M2 21v-4h12v4M15 5a4 4 0 0 1 0 6M18 21v-5h4v5"/>'
    ),
    "plan": '<path d="M3 5h18M3 12h18M3 19h18M6 3v4M15 10v4M10 17v4"/>',
    "release": '<path d="M4 21V5h16v16M4 10h16M12 10v11M9 15h0M15 15h0"/>',
    "seal": '<path d="M6 11h12v10H6zM8 11V7a4 4 0 0 1 8 0v4"/>',
    "sheet": '<path d="M5 2h10l4 4v16H5zM15 2v5h4M8 11h8M8 15h8"/>',
    "table": '<path d="M3 4h18v16H3zM3 10h18M3 15h18M10 4v16"/>',
    "tick": '<path d="M4 13l5 5L20 6"/>',
    "witness": '<path d="M2 12q10-12 20 0-10 12-20 0z"/><circle cx="12" cy="12" r="3"/>',
}

_STRIPE = (
    '<path class="whole" d="M8 20 L5 16.5 9 14.6 30 13.6 56 14 L84 13.2 103 14.4 107 17'
    ' 103.5 20 107.4 25.6 102 28 104 32.4 84 33.6 56 33 30 33.6 13 33 7 34.4 9.4 29 5.6 26 Z"/>'
    '<path class="groove" d="M56 14V33"/>'
)
_LEFT_HALF = (
    '<path class="whole" transform="translate(0 -1)" d="M8 20 L5 16.5 9 14.6 30 13.6 53 14'
    ' L53 33 30 33.6 13 33 7 34.4 9.4 29 5.6 26 Z"/>'
)
_RIGHT_HALF = (
    '<path class="whole" transform="translate(0 18)" d="M59 14 L84 13.2 103 14.4 107 17'
    ' 103.5 20 107.4 25.6 102 28 104 32.4 84 33.6 59 33 Z"/>'
)

# state: (text name, drawing)
MARKS: Final = {
    "none": ("No hold", '<path d="M50 24h0M62 24h0" stroke="none"/>'),
    "hold": ("Hold, not yet marked", '<path class="open" d="M8 14H104V33H8Z"/>'),
    "called": (
        "Teacher called",
        '<path class="solid" d="M56 14H8V33H56"/>'
        '<path class="hat" d="M14 33 26 14M24 33 36 14M34 33 46 14M44 33 56 14"/>'
        '<path class="open" d="M56 14H104V33H56"/>',
    ),
    "whole": ("Mark, whole", _STRIPE),
    "broken": (
        "Mark, broken",
        f'{_LEFT_HALF}{_RIGHT_HALF}<path class="gap" d="M56 2V50"/>',
    ),
    "again": (
        "Marked again",
        '<path class="ghost" d="M8 4H55V23H8Z"/><path class="ghost" d="M57 24H104V43H57Z"/>'
        + _STRIPE,
    ),
    "witness": (
        "Witness point, the teacher may come",
        '<path class="solid" d="M6 24H30M82 24H106"/>'
        '<path class="solid lens" d="M30 24Q56 0 82 24Q56 48 30 24Z"/>'
        '<circle cx="56" cy="24" r="6.5" fill="currentColor" stroke="none"/>',
    ),
    "passed": ("Passed", '<path class="pin" d="M10 17H102V31H10Z"/>'),
}

# word of the verdict: (class, word with a capital, drawing)
VERDICTS: Final = {
    "within": (
        "within",
        "Within",
        '<path d="M10 2H4V18H10M34 2H40V18H34"/><circle class="dot" cx="22" cy="10" r="5"/>',
    ),
    "too close to call": (
        "close",
        "Too close to call",
        '<path d="M10 2H4V18H10M30 2H36V18H30"/><path d="M28 10H44" stroke-width="2"/>'
        '<circle class="hol" cx="36" cy="10" r="5"/><path class="dot" d="M36 5a5 5 0 0 0 0 10z"/>',
    ),
    "outside": (
        "outside",
        "Outside",
        '<path d="M8 2H2V18H8M22 2H28V18H22"/><path class="dot" d="M38 4l6 6-6 6-6-6z"/>',
    ),
}

PERMITS: Final = {
    "allowed": ("allowed", '<path d="M3 4H25V16H3Z" fill="currentColor"/>'),
    "beside": (
        "teacher beside",
        '<path d="M3 4H25V16H3Z"/><path d="M3 4H14V16H3Z" fill="currentColor"/>',
    ),
    "none": ("not yet", '<path class="open" d="M3 4H25V16H3Z" stroke-dasharray="4 3"/>'),
}
