"""The band of a fuse against the heating of its thinnest wire, log-log, wide and narrow.

Only classes and attributes, no style: colours are the page's tokens. Where the fuse does not
protect is a hatched shape with its word, and a slow overload a dashed one with its own.
"""

from collections.abc import Iterator, Sequence
from math import ceil, floor, inf, log10
from typing import Final

from witnessmark.papers.fuse_table import NOT_PROTECTED, SLOW_OVERLOAD, Mark
from witnessmark.papers.glyph_widths import text_width
from witnessmark.papers.svg import framed, hatch, px, text_at
from witnessmark.wiring.protection import Gap, Guard, Protection
from witnessmark.wiring.sentences import amps_words

BOTTOM_S: Final = 0.01
TOP_S: Final = 365 * 86400.0
_TIMES: Final = (
    (0.01, "0.01 s"),
    (0.1, "0.1 s"),
    (1.0, "1 s"),
    (10.0, "10 s"),
    (60.0, "1 min"),
    (600.0, "10 min"),
    (3600.0, "1 h"),
    (36000.0, "10 h"),
    (360000.0, "100 h"),
    (3600000.0, "1000 h"),
    (TOP_S, "1 year"),
)
_FAR: Final = 12.0  # ratings shown to the right
_STEPS: Final = 90


def fuse_svg(
    found: Protection, marks: Sequence[Mark] = (), *, is_narrow: bool = False, name: str = "n0"
) -> str:
    """Return the time-current band of a fuse against the heating curve of its wire.

    Parameters
    ----------
    found
        The pair, judged.
    marks
        Currents to be shown besides.
    is_narrow
        For a phone.
    name
        Name of the hatch pattern, another one for each drawing on a page.

    Returns
    -------
    str
        SVG: the band filled, the wire's curve thick, gaps hatched with their word.
    """
    return _Drawing(found, marks, is_narrow, name).svg()


def fuse_legend(found: Protection, marks: Sequence[Mark] = ()) -> str:
    """Return what the shapes of the drawing mean: those that are drawn.

    Parameters
    ----------
    found
        The pair, judged.
    marks
        Currents that are shown besides.
    """
    drawing = _Drawing(found, marks, False, "")
    slow = {is_slow for _, is_slow in drawing.regions()}
    said = ["Filled: within these times the fuse opens."]
    if drawing.wire_curve():
        said.append("Thick line: from here on the insulation is hurt.")
    if False in slow:
        said.append("Hatched: not protected.")
    if True in slow:
        said.append("Dashed shape: a slow overload.")
    return " ".join([*said, "Both scales grow by tens."])


def _end(slow: Gap, touching: Sequence[Gap]) -> float:
    return max([slow.to_a, *(gap.to_a for gap in touching)])


class _Drawing:
    """One drawing: its scales, then what stands on them."""

    def __init__(self, found: Protection, marks: Sequence[Mark], is_narrow: bool, name: str):
        self.found, self.marks, self.name, self.is_narrow = found, marks, name, is_narrow
        self.width, self.height = (420.0, 560.0) if is_narrow else (900.0, 520.0)
        self.left, self.right = (58.0, 410.0) if is_narrow else (76.0, 884.0)
        self.size = 15 if is_narrow else 16
        shown = [found.fuse.rating_a, found.wire.amps.allowed_a, *(m.current_a for m in marks)]
        self.low_a = min(shown) * 0.75
        self.high_a = max(max(shown) * 1.5, found.fuse.rating_a * _FAR)
        self.flags = self._flags()
        self.top = 14.0 + 22.0 * len(self.flags)
        self.bottom = self.height - 52.0

    def x(self, amps: float) -> float:
        """Where a current lies. [px]"""
        share = log10(amps / self.low_a) / log10(self.high_a / self.low_a)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def y(self, time_s: float) -> float:
        """Where a time lies, ends held fast. [px]"""
        share = log10(min(max(time_s, BOTTOM_S), TOP_S) / BOTTOM_S) / log10(TOP_S / BOTTOM_S)
        return self.bottom - share * (self.bottom - self.top)

    def svg(self) -> str:
        """Return the whole drawing."""
        inside = [hatch(self.name), self._grid(), self._band()]
        inside += [self._region(gap, is_slow) for gap, is_slow in self.regions()]
        inside += [self._wire(), self._flag_lines(), *self._names()]
        classes = "tcb ph" if self.is_narrow else "tcb wd"
        title = (
            f"Opening times of the {self.found.fuse.label} against the heating of "
            f"{self.found.wire.size.label}. {' '.join(self.found.sentences)}"
        )
        return framed(title, self.width, self.height, classes, "".join(inside))

    # scales

    def _grid(self) -> str:
        parts = []
        for time_s, words in _TIMES:
            y = self.y(time_s)
            parts.append(f'<path d="M{px(self.left)} {px(y)}H{px(self.right)}" class="rul"/>')
            parts.append(text_at(self.left - 8, y + 5, words, "f15 t2 nr", "end"))
        last = -inf
        for amps in self._ticks():
            x = self.x(amps)
            parts.append(f'<path d="M{px(x)} {px(self.top)}V{px(self.bottom)}" class="rul"/>')
            words = f"{amps:g}"
            if x - last > text_width(words, self.size, "regular") + 14:
                parts.append(text_at(x, self.bottom + 20, words, "f15 t2", "middle"))
                last = x
        parts.append(
            f'<path d="M{px(self.left)} {px(self.top)}V{px(self.bottom)}H{px(self.right)}" '
            'stroke-width="2"/>'
        )
        middle = (self.left + self.right) / 2
        words = "Current, A. Both scales by tens" if self.is_narrow else "Current, A"
        parts.append(text_at(middle, self.bottom + 42, words, "f15 t2", "middle"))
        return "".join(parts)

    def _ticks(self) -> Iterator[float]:
        for power in range(floor(log10(self.low_a)), ceil(log10(self.high_a)) + 1):
            for step in (1.0, 2.0, 5.0):
                amps = float(f"{step * 10.0**power:.3g}")
                if self.low_a <= amps <= self.high_a:
                    yield amps

    # curves

    def _across(self, from_a: float, to_a: float) -> list[float]:
        ratio = (to_a / from_a) ** (1 / _STEPS)
        return [from_a * ratio**step for step in range(_STEPS + 1)]

    def _band(self) -> str:
        fuse = self.found.fuse
        lower = [(amps, fuse.least_s(amps)) for amps in self._across(fuse.rating_a, self.high_a)]
        upper = [
            (amps, most_s)
            for amps in self._across(fuse.opens_from_a, self.high_a)
            if (most_s := fuse.most_s(amps)) is not None
        ]
        outline = [(fuse.rating_a, TOP_S), *lower, *reversed(upper), (fuse.opens_from_a, TOP_S)]
        edges = self._path(lower) + self._path([(fuse.opens_from_a, TOP_S), *upper])
        return (
            f'<path d="{self._path(outline)}z" class="bandf" stroke="none"/>'
            f'<path d="{edges}" stroke-width="1.6"/>'
        )

    def _hurt(self, from_a: float, to_a: float) -> list[tuple[float, float]]:
        bears = self.found.wire.amps.allowed_a
        # the curve comes down steeply where the steady amps end
        near = (bears * (1 + 2.0**-power) for power in range(2, 14))
        across = sorted({*self._across(from_a, to_a), *(a for a in near if from_a < a < to_a)})
        curve = [(amps, self.found.wire.hurt_after_s(amps)) for amps in across]
        return [(amps, TOP_S if hurt_s is None else hurt_s) for amps, hurt_s in curve]

    def wire_curve(self) -> list[tuple[float, float]]:
        """Where on the sheet the wire is hurt."""
        amps = self.found.wire.amps.allowed_a
        return [(at, hurt_s) for at, hurt_s in self._hurt(amps, self.high_a) if hurt_s < TOP_S]

    def _wire(self) -> str:
        curve = self.wire_curve()
        if not curve:
            return ""
        # where it comes down from above the sheet
        start = [(curve[0][0], TOP_S), *curve]
        return f'<path d="{self._path(start)}" stroke-width="4.5" class="wirel"/>'

    def _path(self, points: Sequence[tuple[float, float]]) -> str:
        pairs = [f"{px(self.x(amps))} {px(self.y(time_s))}" for amps, time_s in points]
        return f"M{'L'.join(pairs)}"

    # regions

    def regions(self) -> list[tuple[Gap, bool]]:
        """Where the fuse does not protect, and whether only from a slow overload."""
        found = self.found
        gaps = list(found.gaps)
        if found.slow is not None and found.guard is not Guard.DOES_NOT:
            return [(found.slow, True)]
        if found.slow is not None:
            # below the sure opening and above it they are one region where they touch
            touching = [gap for gap in gaps if gap.from_a <= found.slow.to_a * 1.001]
            gaps = [gap for gap in gaps if gap not in touching]
            gaps.insert(0, Gap(from_a=found.slow.from_a, to_a=_end(found.slow, touching)))
        return [
            (Gap(from_a=gap.from_a, to_a=min(gap.to_a, self.high_a)), False)
            for gap in gaps
            if gap.from_a < self.high_a
        ]

    def _region(self, gap: Gap, is_slow: bool) -> str:
        fuse = self.found.fuse
        below = self._hurt(gap.from_a, gap.to_a)
        sure = max(gap.from_a, fuse.opens_from_a)
        above = [(gap.from_a, TOP_S), (min(sure, gap.to_a), TOP_S)]
        if sure < gap.to_a:
            above += [
                (amps, most_s)
                for amps in self._across(sure, gap.to_a)
                if (most_s := fuse.most_s(amps)) is not None
            ]
        if gap.from_a >= fuse.opens_from_a:
            above = above[2:]
        shape = self._path([*below, *reversed(above)])
        if is_slow:
            return f'<path d="{shape}z" stroke-width="2" stroke-dasharray="5 4"/>'
        return f'<path d="{shape}z" fill="url(#{self.name})" stroke-width="2.4"/>'

    # words

    def _flags(self) -> list[list[Mark]]:
        """Marks in rows above the sheet, so that none lies on another."""
        wire = self.found.wire.amps.allowed_a
        all_marks = [
            *self.marks,
            Mark(words="fuse", current_a=self.found.fuse.rating_a),
            Mark(words="wire bears", current_a=wire),
        ]
        rows: list[list[Mark]] = []
        end = inf
        for mark in sorted(all_marks, key=lambda one: one.current_a):
            start, stop = self._reach(mark)
            # never in a row above one to its left, whose line would run through these words
            if start > end + 10:
                rows[-1].append(mark)
            else:
                rows.append([mark])
            end = stop
        return rows

    def _flag_words(self, mark: Mark) -> str:
        return f"{mark.words} {amps_words(mark.current_a)}"

    def _reach(self, mark: Mark) -> tuple[float, float]:
        """From where to where the words of a mark reach. [px]"""
        wide = text_width(self._flag_words(mark), self.size, "bold")
        start = min(self.x(mark.current_a) + 5, self.right - wide)
        return start, start + wide

    def _flag_lines(self) -> str:
        parts = []
        for number, row in enumerate(self.flags):
            y = 18.0 + 22.0 * number
            for mark in row:
                x = self.x(mark.current_a)
                parts.append(
                    f'<path d="M{px(x)} {px(y - 12)}V{px(self.bottom)}" stroke-width="1.6" '
                    'stroke-dasharray="2 5"/>'
                )
        for number, row in enumerate(self.flags):
            y = 18.0 + 22.0 * number
            for mark in row:
                start = self._reach(mark)[0]
                parts.append(text_at(start, y, self._flag_words(mark), "f15 b nr halo"))
        return "".join(parts)

    def _names(self) -> Iterator[str]:
        """Name the curves and the regions where the sheet is empty: above right, below left."""
        fuse, wire = self.found.fuse, self.found.wire
        room = self.right - 8
        y = self.top + 26
        words = [NOT_PROTECTED for gap, slow in self.regions() if not slow][:1]
        words += [SLOW_OVERLOAD for gap, slow in self.regions() if slow][:1]
        for word in words:
            gap = max(
                (one for one, slow in self.regions() if slow == (word == SLOW_OVERLOAD)),
                key=lambda one: one.to_a / one.from_a,
            )
            yield self._pointed(word, room, y, gap, is_slow=word == SLOW_OVERLOAD)
            y += 34
        at = (self.high_a * wire.amps.allowed_a) ** 0.5
        hurt_s = wire.hurt_after_s(at)
        if hurt_s is not None:
            spot = max(self.y(hurt_s) - 14, y)
            yield text_at(
                min(self.x(at) + 12, room - text_width("Wire is hurt", self.size, "bold")),
                spot,
                "Wire is hurt",
                "f15 b halo",
            )
        low = (self.high_a * fuse.rating_a) ** 0.5
        spot = min(self.y(fuse.least_s(low)) + 26, self.bottom - 10)
        end = self._clear_of_lines(self.x(low) - 12, text_width("Fuse opens", self.size, "bold"))
        yield text_at(end, spot, "Fuse opens", "f15 b halo", "end")

    def _clear_of_lines(self, end: float, wide: float) -> float:
        """Where words end that must not stand on the line of a mark. [px]"""
        lines = (self.x(mark.current_a) for row in self.flags for mark in row)
        clear = end
        for x in sorted(lines, reverse=True):
            if clear - wide - 6 < x < clear + 6:
                clear = x - 8
        return clear if clear - wide > self.left else end

    def _pointed(self, word: str, right: float, y: float, gap: Gap, *, is_slow: bool) -> str:
        """A word in its own outline with a line to its region."""
        wide = text_width(word, self.size, "bold") + 20
        left = right - wide
        middle_a = (gap.from_a * gap.to_a) ** 0.5
        hurt_s = self.found.wire.hurt_after_s(middle_a)
        most_s = self.found.fuse.most_s(middle_a)
        low = self.y(TOP_S if hurt_s is None else hurt_s)
        high = self.top if most_s is None else self.y(most_s)
        x, to_y = self.x(middle_a), (low + high) / 2
        dashes = ' stroke-dasharray="5 4"' if is_slow else ""
        return (
            f'<path d="M{px(left)} {px(y - 6)}L{px(x)} {px(to_y)}" stroke-width="1.6"/>'
            f'<circle cx="{px(x)}" cy="{px(to_y)}" r="4" fill="currentColor" stroke="none"/>'
            f'<rect x="{px(left)}" y="{px(y - 22)}" width="{px(wide)}" height="30" class="hol" '
            f'stroke-width="2"{dashes}/>'
            f"{text_at(left + 10, y - 1, word, 'f15 b')}"
        )
