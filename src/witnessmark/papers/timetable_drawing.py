"""The timetable as SVG: bays and benches, and under them the teacher's line with its holds.

Only classes and attributes, no style: the colours are the page's tokens.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from html import escape
from itertools import accumulate
from statistics import mean
from typing import Final

from witnessmark.papers.glyph_widths import fitted, text_width, wrapped
from witnessmark.papers.timetable import Promise, Seat, Timetable, day_words, week_starts

LEFT: Final = 150.0  # where the periods begin
LEAST_PERIOD: Final = 66.0
LEAST_EMPTY: Final = 54.0  # a period without work still needs its name
WIDE: Final = 1150.0
HEAD: Final = 62.0
LANE: Final = 42.0  # one sitting and the gap under it
BOX: Final = 36.0
FOOT: Final = 30.0  # promise and planned finish of one job, under the sittings of its row
HOLD_STEP: Final = 17.0  # holds stand at least so far apart on the teacher's line
SIZE: Final = 13.5
MARK_HEIGHT: Final = 44.0
POLE_CLEAR: Final = 22.0  # a flag may stand at the end of a period


@dataclass(frozen=True, slots=True)
class _Lane:
    row: int
    lane: int


def _px(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _text(x: float, y: float, words: str, classes: str, anchor: str = "") -> str:
    held = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text x="{_px(x)}" y="{_px(y)}"{held} class="{classes}">{escape(words)}</text>'


def _path(d: str, classes: str) -> str:
    return f'<path d="{d}" class="{classes}"/>'


def _bar(x: float, y: float, width: float, classes: str, fill: str = "") -> str:
    return (
        f'<rect x="{_px(x)}" y="{_px(y)}" width="{_px(width)}" height="9" class="{classes}"{fill}/>'
    )


def _is_cut(lines: tuple[str, ...]) -> bool:
    return any(line.endswith("…") for line in lines)


class _Drawing:
    def __init__(self, timetable: Timetable, name: str) -> None:
        self.timetable = timetable
        self.name = name
        self.edges = self._edges()
        self.right = self.edges[-1]
        self.lanes = self._lanes()
        self.tops = self._tops()
        self.line_y = self.tops[-1] + 42
        self.height = self.line_y + 62

    # Where things stand.

    def _edges(self) -> list[float]:
        """Return where periods begin and the last ends: those with work take the room."""
        working = {seat.place for seat in self.timetable.seats}
        count = len(self.timetable.periods)
        empty = count - len(working)
        room = WIDE - LEFT - 10
        empty_px = min(LEAST_EMPTY, room / count)
        working_px = max(LEAST_PERIOD, (room - empty_px * empty) / max(1, len(working)))
        if not working:
            empty_px = room / count
        widths = [working_px if at in working else empty_px for at in range(count)]
        return list(accumulate(widths, initial=LEFT))

    def _at(self, place: int, minutes: float) -> float:
        usable = self.timetable.periods[place].usable_min
        first, last = self.edges[place : place + 2]
        return first + (last - first) * min(1.0, minutes / usable)

    def _begins(self, seat: Seat) -> float:
        return self._at(seat.place, seat.sitting.start_min)

    def _ends(self, seat: Seat) -> float:
        return self._at(seat.place, seat.sitting.end_min)

    def _looks(self, seat: Seat) -> float:
        return self._at(seat.place, seat.sitting.hold_start_min + seat.sitting.hold_min / 2)

    def _lanes(self) -> dict[Seat, int]:
        """Give sittings that overlap in one row a lane each."""
        lanes: dict[Seat, int] = {}
        for seat in sorted(self.timetable.seats, key=self._begins):
            taken = {
                lane
                for other, lane in lanes.items()
                if other.row == seat.row and self._ends(other) > self._begins(seat) + 0.1
            }
            lanes[seat] = next(lane for lane in range(len(lanes) + 1) if lane not in taken)
        return lanes

    def _tops(self) -> list[float]:
        """Return the top of each row, and at last the foot of them all."""
        tops = [HEAD]
        for at in range(len(self.timetable.rows)):
            count = 1 + max(
                (lane for seat, lane in self.lanes.items() if seat.row == at), default=0
            )
            jobs = sum(one.row == at for one in self.timetable.promises)
            tops.append(tops[-1] + 4 + LANE * count + FOOT * jobs)
        return tops

    def _box_top(self, seat: Seat) -> float:
        return self.tops[seat.row] + 8 + LANE * self.lanes[seat]

    def _marks(self) -> list[tuple[Seat, float]]:
        """Return the holds with their place on the teacher's line, none on another.

        Holds that would touch stand side by side around the middle of where they belong.
        """
        holds = sorted(self.timetable.holds, key=self._looks)
        groups: list[list[float]] = []  # wanted places, each less its number of steps
        for at, seat in enumerate(holds):
            groups.append([self._looks(seat) - HOLD_STEP * at])
            while len(groups) > 1 and mean(groups[-2]) > mean(groups[-1]):
                last = groups.pop()
                groups[-1] += last
        level = [mean(group) for group in groups for _ in group]
        return [(seat, level[at] + HOLD_STEP * at) for at, seat in enumerate(holds)]

    # What is drawn, from the back to the front.

    def svg(self) -> str:
        title = f"Plan {self.timetable.title}: bays, benches and the teacher's holds"
        body = "".join(
            [
                self._pattern(),
                *self._periods(),
                *self._now(),
                *self._connectors(),
                *self._rows(),
                *(self._box(seat) for seat in self.lanes),
                *(part for one in self.timetable.promises for part in self._promise(one)),
                *self._teacher(),
            ]
        )
        width = max(WIDE, self.right + 10)
        return (
            f'<svg viewBox="0 0 {_px(width)} {_px(self.height)}" class="pl" role="img" '
            f'aria-label="{escape(title)}">{body}</svg>'
        )

    def _pattern(self) -> str:
        return (
            f'<defs><pattern id="{self.name}" width="7" height="7" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><path d="M0 0V7" class="pl-hatch"/></pattern></defs>'
        )

    def _periods(self) -> Iterator[str]:
        weeks = dict(week_starts(self.timetable.periods))
        for at, period in enumerate(self.timetable.periods):
            x = self.edges[at]
            if at in weeks:
                if x + 4 + text_width(weeks[at], 18, "bold") > self.right + 10:
                    yield _text(self.right + 8, 18, weeks[at], "pl-week", "end")
                else:
                    yield _text(x + 4, 18, weeks[at], "pl-week")
                yield _path(f"M{_px(x)} 4V{_px(self.line_y + 26)}", "pl-bold")
            else:
                yield _path(f"M{_px(x)} 50V{_px(self.line_y + 26)}", "pl-fine")
            yield _text(x + 4, 44, f"{period.day:%a} P{period.number}", "pl-period")

    def _now(self) -> Iterator[str]:
        now = self.timetable.now
        if now is None:
            return
        for at, period in enumerate(self.timetable.periods):
            ends = datetime.combine(period.day, period.end)
            if now < ends:
                gone_min = max(0.0, (now - period.starts_at).total_seconds() / 60)
                x = self._at(at, gone_min)
                yield _path(f"M{_px(x)} 54V{_px(self.tops[-1] + 10)}", "pl-now")
                yield _path(f"M{_px(x - 8)} 50h16l-8 10z", "pl-full")
                return

    def _connectors(self) -> Iterator[str]:
        for seat, x in self._marks():
            from_x, foot = self._looks(seat), self.line_y - MARK_HEIGHT / 2
            top = self._box_top(seat) + BOX
            yield _path(
                f"M{_px(from_x)} {_px(top)}V{_px(self.tops[-1] + 6)}L{_px(x)} {_px(foot)}",
                "pl-thread",
            )

    def _rows(self) -> Iterator[str]:
        for row, top, foot in zip(self.timetable.rows, self.tops, self.tops[1:], strict=False):
            name = fitted(row.name, 18, "bold", LEFT - 12)
            yield _text(0, top + 26, name, "pl-row")
            lines = wrapped(row.vehicles, 15, "regular", LEFT - 12, 2) if row.vehicles else ()
            for at, line in enumerate(lines):
                yield _text(0, top + 46 + 18 * at, line, "pl-sub")
            yield _path(f"M0 {_px(foot)}H{_px(self.right)}", "pl-fine")

    def _box(self, seat: Seat) -> str:
        x, width = self._begins(seat) + 1.5, self._ends(seat) - self._begins(seat) - 3
        y = self._box_top(seat)
        away = "" if seat.sitting.bay else " pl-away"
        box = (
            f'<rect x="{_px(x)}" y="{_px(y)}" width="{_px(width)}" height="{_px(BOX)}" '
            f'class="pl-box{away}"/>'
        )
        lines, text_x = self._title(seat, width - 8), x + 5
        if _is_cut(lines):
            beside = self._title(seat, self._room_after(seat) - 10)
            if _is_cut(beside):
                middle = x + width / 2
                number = str(seat.step_number)
                return box + _text(middle, y + BOX / 2 + 6, number, "pl-number", "middle")
            lines, text_x = beside, x + width + 6
        first = y + (BOX + SIZE * 0.7) / 2 - (7.5 if len(lines) > 1 else 0)
        return box + "".join(
            _text(text_x, first + 15 * at, line, "pl-step") for at, line in enumerate(lines)
        )

    def _title(self, seat: Seat, room: float) -> tuple[str, ...]:
        return wrapped(seat.step.title, SIZE, "narrow", room, 2) if room > SIZE else ("…",)

    def _room_after(self, seat: Seat) -> float:
        """Return the free length behind a sitting in its lane and period."""
        after = [
            self._begins(other)
            for other, lane in self.lanes.items()
            if other.row == seat.row and lane == self.lanes[seat]
            if self._begins(other) > self._begins(seat)
        ]
        column = self.edges[seat.place + 1] - POLE_CLEAR
        return min([column, *after]) - self._ends(seat)

    def _promise(self, one: Promise) -> Iterator[str]:
        """Draw the flag and a bar from the planned finish: solid to spare, hatched where late."""
        below = [other for other in self.timetable.promises if other.row == one.row]
        foot = self.tops[one.row + 1] - FOOT * (len(below) - 1 - below.index(one))
        y = foot - FOOT + 8
        finish = self._ends(one.finish) if one.finish else None
        if finish is not None:
            yield _path(f"M{_px(finish - 1.5)} {_px(y - 6)}v20", "pl-end")
        if not one.flag:
            if finish is not None:
                yield _text(finish + 8, y + 10, "planned finish", "pl-say")
            return
        flag = self.right if one.flag_at is None else self.edges[one.flag_at]
        said_px = text_width(f"{one.flag}, {one.words}", 15, "narrow_bold") + 14
        on_left = flag + said_px > self.right + 10
        spare_to = flag - said_px if on_left else flag
        if finish is not None and finish < spare_to:
            yield _bar(finish, y, spare_to - finish, "pl-spare")
        elif finish is None or finish > flag:
            last = self.right if finish is None else finish
            yield _bar(flag, y, last - flag, "pl-late", f' fill="url(#{self.name})"')
        yield _path(f"M{_px(flag)} {_px(self.tops[one.row] + 6)}V{_px(foot - 4)}", "pl-pole")
        side = -1 if on_left else 1
        yield _path(
            f"M{_px(flag)} {_px(self.tops[one.row] + 6)}h{18 * side}l{-5 * side} 6 {5 * side} 6"
            f"h{-18 * side}z",
            "pl-full",
        )
        if on_left and finish is not None and spare_to < finish <= flag:
            flag = finish
        yield self._beside(flag, y + 10, one, on_left)

    def _beside(self, x: float, y: float, one: Promise, on_left: bool) -> str:
        """Write the promise beside its flag."""
        where = f'x="{_px(x - 8)}" text-anchor="end"' if on_left else f'x="{_px(x + 8)}"'
        said = f'<tspan class="pl-strong">{escape(one.flag)}</tspan>, {escape(one.words)}</text>'
        start = f'<text {where} y="{_px(y)}" class="pl-say'
        # the clear edge first and alone, or the second part would wipe the end of the first
        return f'{start} pl-clear">{said}{start}">{said}'

    def _teacher(self) -> Iterator[str]:
        y = self.line_y
        holds = self._marks()
        count = "1 hold" if len(holds) == 1 else f"{len(holds)} holds"
        yield _text(0, y - 6, "Teacher", "pl-row")
        yield _text(0, y + 14, count, "pl-sub")
        yield _path(f"M{_px(LEFT)} {_px(y)}H{_px(self.right)}", "pl-line")
        for seat, x in holds:
            yield self._mark(seat.hold_state, x, y)
            yield _text(x, y + 40, seat.hold_number, "pl-number halo", "middle")

    def _mark(self, state: str, x: float, y: float) -> str:
        """Draw a mark upright on the line; its shape says its state before its colour does."""
        top = y - MARK_HEIGHT / 2
        left = x - 5
        if state == "whole":
            return _path(f"M{_px(left)} {_px(top)}h10v44h-10z", "whole")
        if state == "again":
            ghost = _path(f"M{_px(left - 4)} {_px(top + 4)}h10v20h-10z", "open pl-ghost")
            return ghost + _path(f"M{_px(left)} {_px(top)}h10v44h-10z", "whole")
        if state == "broken":
            return (
                _path(f"M{_px(left - 4)} {_px(top)}h9v20h-9z", "whole")
                + _path(f"M{_px(left + 5)} {_px(top + 24)}h9v20h-9z", "whole")
                + _path(f"M{_px(left - 6)} {_px(y)}h22", "gap")
            )
        open_half = f'<rect x="{_px(left)}" y="{_px(top)}" width="10" height="44" class="pl-hold"/>'
        if state == "called":
            return open_half + (
                f'<rect x="{_px(left)}" y="{_px(top)}" width="10" height="22" '
                f'class="pl-called" fill="url(#{self.name})"/>'
            )
        return open_half


def timetable_svg(timetable: Timetable, name: str = "t0") -> str:
    """Return the wide drawing of a plan.

    Parameters
    ----------
    timetable
        What to draw.
    name
        Name of the hatch pattern, another one for each drawing on a page.

    Returns
    -------
    str
        One SVG element, with classes only.
    """
    return _Drawing(timetable, name).svg()


def promise_lines(timetable: Timetable) -> tuple[tuple[str, str, str, str], ...]:
    """Return each job's promise as a table row.

    Parameters
    ----------
    timetable
        The plan that is shown.

    Returns
    -------
    tuple of (job, promised, planned finish, how they stand)
        In words; promised is empty where nothing was promised.
    """
    return tuple(
        (
            one.job.name,
            day_words(one.job.promised) if one.job.promised else "",
            one.finish_words,
            one.words,
        )
        for one in timetable.promises
    )
