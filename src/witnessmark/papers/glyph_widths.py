"""How wide a text is in the typeface of the screens, so that labels can keep clear of each other.

Measured once in Chromium, Archivo at 100 px, ten of each sign in a row, tabular figures.
"""

from functools import cache
from typing import Final

# fmt: off
SIGNS: Final = (
    "0123456789 !\"#$%&'()*+,-./:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ["
    "\\]^_`abcdefghijklmnopqrstuvwxyz{|}~−–ΩµÄÖÜäöüßéèáíóúñçåæø°·²"
    "³×±“”‘’…"
)
# Thousandths of the type size. Narrow is 82 % wide, regular 100 %; bold is weight 700.
WIDTHS: Final = {
    "narrow": (
        492, 492, 492, 492, 492, 492, 492, 492, 492, 492, 171, 258, 337, 514, 423, 794, 584,
        191, 335, 335, 389, 550, 236, 289, 236, 276, 260, 260, 550, 550, 550, 483, 841, 564,
        582, 613, 618, 561, 502, 660, 617, 236, 467, 569, 456, 734, 618, 661, 559, 661, 608,
        554, 518, 612, 547, 792, 575, 571, 542, 286, 276, 286, 550, 405, 164, 470, 480, 446,
        480, 470, 240, 463, 475, 202, 199, 438, 202, 727, 476, 483, 480, 480, 282, 423, 252,
        475, 411, 616, 433, 411, 420, 335, 216, 335, 550, 550, 410, 688, 480, 564, 661, 612,
        470, 483, 475, 521, 470, 470, 470, 202, 483, 475, 476, 446, 470, 757, 483, 400, 275,
        291, 291, 550, 550, 349, 349, 213, 213, 715,
    ),
    "narrow_bold": (
        515, 515, 515, 515, 515, 515, 515, 515, 515, 515, 161, 278, 402, 537, 463, 833, 644,
        223, 357, 357, 389, 572, 259, 289, 259, 284, 281, 281, 572, 572, 572, 511, 845, 608,
        603, 622, 625, 570, 512, 671, 633, 267, 510, 616, 499, 770, 634, 671, 578, 671, 616,
        567, 548, 625, 583, 832, 598, 595, 559, 339, 284, 339, 572, 436, 201, 501, 514, 487,
        514, 499, 278, 502, 509, 235, 233, 491, 235, 759, 509, 516, 514, 514, 322, 463, 296,
        509, 457, 686, 487, 455, 442, 373, 224, 373, 572, 572, 410, 765, 512, 608, 671, 625,
        501, 516, 509, 544, 499, 499, 501, 235, 516, 509, 509, 487, 501, 778, 516, 400, 275,
        311, 311, 572, 572, 414, 414, 239, 239, 803,
    ),
    "regular": (
        568, 568, 568, 568, 568, 568, 568, 568, 568, 568, 209, 273, 374, 582, 510, 950, 692,
        209, 355, 355, 407, 625, 277, 333, 277, 294, 296, 296, 625, 625, 625, 578, 1005, 682,
        698, 728, 734, 677, 612, 796, 736, 267, 559, 662, 536, 847, 736, 788, 665, 788, 727,
        673, 606, 731, 648, 924, 680, 655, 635, 296, 294, 296, 625, 485, 191, 545, 567, 519,
        567, 548, 270, 556, 563, 225, 223, 514, 225, 860, 563, 570, 567, 567, 332, 510, 297,
        562, 504, 723, 513, 504, 498, 353, 245, 353, 625, 625, 500, 764, 567, 682, 788, 731,
        545, 570, 562, 619, 548, 548, 545, 225, 570, 562, 563, 519, 545, 894, 570, 400, 333,
        346, 346, 625, 625, 394, 394, 239, 239, 844,
    ),
    "bold": (
        598, 598, 598, 598, 598, 598, 598, 598, 598, 598, 196, 301, 456, 600, 556, 973, 764,
        253, 364, 364, 407, 641, 307, 333, 307, 300, 335, 335, 641, 641, 641, 613, 1001, 724,
        722, 733, 739, 683, 622, 802, 754, 301, 603, 725, 591, 872, 754, 793, 681, 793, 730,
        679, 641, 748, 694, 964, 706, 699, 653, 350, 300, 350, 641, 518, 233, 580, 608, 573,
        608, 584, 313, 607, 602, 267, 264, 570, 267, 891, 602, 613, 608, 608, 380, 556, 342,
        601, 547, 798, 572, 547, 519, 393, 253, 393, 641, 641, 500, 850, 605, 724, 793, 748,
        580, 613, 601, 634, 584, 584, 580, 267, 613, 601, 602, 573, 580, 920, 613, 400, 333,
        371, 371, 641, 641, 488, 488, 280, 280, 973,
    ),
}
# fmt: on


@cache
def _table(face: str) -> dict[str, int]:
    return dict(zip(SIGNS, WIDTHS[face], strict=True))


def text_width(text: str, size_px: float, face: str) -> float:
    """Return the width of a text on one line, in px.

    Parameters
    ----------
    text
        The text. A sign that was not measured counts as wide as the widest one.
    size_px
        Type size. [px]
    face
        "narrow", "narrow_bold", "regular" or "bold".

    Examples
    --------
    >>> text_width("12.44", 20, "regular") < text_width("12.44", 20, "bold")
    True
    """
    table = _table(face)
    widest = max(table.values())
    return sum(table.get(sign, widest) for sign in text) * size_px / 1000.0


def fitted(text: str, size_px: float, face: str, room_px: float) -> str:
    """Return the text, cut with an ellipsis where it does not fit into the room.

    Parameters
    ----------
    text
        The text.
    size_px
        Type size. [px]
    face
        "narrow", "narrow_bold", "regular" or "bold".
    room_px
        Room for it. [px]
    """
    if text_width(text, size_px, face) <= room_px:
        return text
    kept = text
    while kept and text_width(kept + "…", size_px, face) > room_px:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def wrapped(text: str, size_px: float, face: str, room_px: float, lines: int) -> tuple[str, ...]:
    """Return the text broken between words into at most so many lines; the rest is cut.

    Parameters
    ----------
    text
        The text.
    size_px
        Type size. [px]
    face
        "narrow", "narrow_bold", "regular" or "bold".
    room_px
        Room for one line. [px]
    lines
        The most lines.
    """
    done: list[str] = []
    words = text.split()
    while words and len(done) < lines - 1:
        taken = 1
        while (
            taken < len(words)
            and text_width(" ".join(words[: taken + 1]), size_px, face) <= room_px
        ):
            taken += 1
        done.append(fitted(" ".join(words[:taken]), size_px, face, room_px))
        words = words[taken:]
    if words:
        done.append(fitted(" ".join(words), size_px, face, room_px))
    return tuple(done)


def squeezed(text: str, size_px: float, face: str, room_px: float) -> str:
    """Return the text, with its middle left out where it does not fit: begin and end stay.

    Parameters
    ----------
    text
        The text.
    size_px
        Type size. [px]
    face
        "narrow", "narrow_bold", "regular" or "bold".
    room_px
        Room for it. [px]

    Examples
    --------
    >>> squeezed("plug of the right headlamp", 13, "narrow", 100)
    'plug of t…headlamp'
    """
    if text_width(text, size_px, face) <= room_px:
        return text
    for kept in range(len(text) - 1, 0, -1):
        head, tail = text[: (kept + 1) // 2].rstrip(), text[len(text) - kept // 2 :].lstrip()
        if text_width(f"{head}…{tail}", size_px, face) <= room_px:
            return f"{head}…{tail}"
    return "…"


def in_lines(text: str, size_px: float, face: str, room_px: float, lines: int) -> tuple[str, ...]:
    """Return the text in at most so many lines; only what is longer still is squeezed.

    A line ends between words, or within one that is longer than a line.

    Parameters
    ----------
    text
        The text.
    size_px
        Type size. [px]
    face
        "narrow", "narrow_bold", "regular" or "bold".
    room_px
        Room for one line. [px]
    lines
        The most lines.

    Examples
    --------
    >>> in_lines("plug of the right headlamp", 13, "narrow", 100, 2)
    ('plug of the right', 'headlamp')
    """
    done: list[str] = []
    rest = " ".join(text.split())
    while rest and len(done) < lines - 1 and text_width(rest, size_px, face) > room_px:
        fits = next(
            (n for n in range(len(rest), 1, -1) if text_width(rest[:n], size_px, face) <= room_px),
            1,
        )
        ends = [n for n in range(1, fits + 1) if rest[n : n + 1] == " " or rest[n - 1] in "_-/."]
        end = max(ends, default=fits)
        done.append(rest[:end].rstrip())
        rest = rest[end:].lstrip()
    return (*done, squeezed(rest, size_px, face, room_px)) if rest else tuple(done)
