"""The narrow drawing of a focus: each way a strip of its own, volts beside it."""

from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.path import Run
from witnessmark.networks import BATTERY_MINUS, Circuit
from witnessmark.papers.circuit.branches import Branch, Node, Sketch
from witnessmark.papers.circuit.drawing import conducts
from witnessmark.papers.circuit.focus import Focus
from witnessmark.papers.circuit.marks import believed, ground_sign, label, point_ring, probe_mark
from witnessmark.papers.circuit.overlay import Overlay, Reading
from witnessmark.papers.circuit.places import PlacedBranch
from witnessmark.papers.circuit.shapes import (
    AIR_PX,
    LINE_PX,
    MORE_PX,
    NAME_PX,
    NOTE_PX,
    SHAPES,
    label_of,
)
from witnessmark.papers.circuit.sketch import sketch_of
from witnessmark.papers.circuit.symbols import symbol
from witnessmark.papers.circuit.volts import Row, Strip, strip_svg
from witnessmark.papers.glyph_widths import in_lines, squeezed, text_width
from witnessmark.papers.svg import framed, px, text_at

WIDTH_PX: Final = 350.0
_X: Final = 116.0  # of the column
_TOP: Final = 54.0
_FOOT: Final = 44.0
_LEFT: Final = 272.0  # where 0 V lies
_SCALE_PX: Final = 66.0
_BETWEEN: Final = 22.0
_CLEAR: Final = 5.0
_RAIL: Final = (46.0, 176.0)
_POINT_UP: Final = 20.0
_POINT_DOWN: Final = 9.0  # under a letter, and with each line of words
_WORDS_PX: Final = _X - 22.0  # beside a column
_LINES: Final = 3  # of the words of a point
_RAIL_LINES: Final = 2
_RAIL_LINE_PX: Final = 17.0
_SOURCE_PX: Final = 34.0  # of a source's name beside the words of the rail


def draw_narrow(
    circuit: Circuit, focus: Focus, overlay: Overlay, *, title: str = "Circuit", name: str = "h1"
) -> str:
    """Return the narrow drawing as SVG, no wider than a phone.

    Parameters
    ----------
    circuit
        The circuit.
    focus
        What is drawn of it.
    overlay
        What is drawn over it; with its volts.
    title
        What the drawing is, for a reader who cannot see it.
    name
        Begins the names of the hatch patterns, another one for each drawing on a page.
    """
    sketch = sketch_of(circuit, focus.branches, focus.main.pieces)
    parts, height = [], 0.0
    for number, run in enumerate((focus.main, *focus.others)):
        volts_v = overlay.supply_v or circuit.supply_v
        way = _Way(sketch, run, overlay, name, number, volts_v)
        parts.append(f'<g transform="translate(0 {px(height)})">{way.svg()}</g>')
        height += way.bottom + way.foot + _BETWEEN
    return framed(title, WIDTH_PX, height - _BETWEEN, "cct ph", "".join(parts))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    y: float
    branch: Branch | None
    node: Node | None


class _Way:
    """One way from a rail or a point down to another."""

    def __init__(
        self, sketch: Sketch, run: Run, overlay: Overlay, name: str, number: int, supply_v: float
    ) -> None:
        self.sketch, self.run, self.overlay = sketch, run, overlay
        self.name, self.is_first, self.supply_v = f"{name}-{number}", number == 0, supply_v
        self.nodes = {node.key: node for node in sketch.nodes}
        self.branches = {branch.key: branch for branch in sketch.branches}
        self.items, self.bottom = self._stacked()

    def _stacked(self) -> tuple[list[_Placed], float]:
        """Put one below the other, from the upper rail down."""
        items: list[_Placed] = []
        y, reach = _TOP, 10.0
        for at, key in enumerate(self.run.pieces):
            node = self.nodes[self.run.points[at]]
            if at and node.letter:
                y += reach + _CLEAR + _POINT_UP
                items.append(_Placed(y=y, branch=None, node=node))
                reach = _POINT_DOWN + LINE_PX * max(1, len(_words(node)))
            branch = self.branches[key]
            half = max(SHAPES[branch.symbol].half, label_of(branch, True).height / 2 + AIR_PX)
            y += reach + _CLEAR + half
            items.append(_Placed(y=y, branch=branch, node=None))
            reach = half
        return items, y + reach + 14.0

    def svg(self) -> str:
        """Return the way with its rails and its volts."""
        first, last = self.run.points[0], self.run.points[-1]
        parts = [self._rail(first, _TOP, is_top=True), self._rail(last, self.bottom, is_top=False)]
        line = [f"M{px(_X)} {px(_TOP)}"]
        for item in self.items:
            if item.branch is not None:
                half = SHAPES[item.branch.symbol].half
                line.append(f"V{px(item.y - half)}M{px(_X)} {px(item.y + half)}")
        line.append(f"V{px(self.bottom)}")
        parts.append(f'<path class="wire" d="{"".join(line)}" stroke-width="3"/>')
        for item in self.items:
            if item.branch is not None:
                parts.append(self._branch(item.branch, item.y))
            elif item.node is not None:
                parts.append(self._point(item.node, item.y))
        parts.append(self._volts())
        return "".join(parts)

    @property
    def foot(self) -> float:
        """Room under the lower rail. [px]"""
        return _FOOT + _RAIL_LINE_PX * (len(self._said(self.run.points[-1], is_top=False)) - 1)

    def _said(self, key: str, *, is_top: bool) -> tuple[str, ...]:
        """Return the words of a rail, or of the point where the way begins or ends, in lines."""
        node = self.nodes[key]
        words = " ".join(word for word in (node.letter, node.words) if word)
        if is_top:
            said = f"Supply {self.supply_v:g} V" if key == self.sketch.supply else f"From {words}"
        else:
            said = "Ground 0 V" if self._is_ground(key) else f"To {words}"
        return in_lines(said, NAME_PX, "bold", _LEFT - _RAIL[0] - 16.0, _RAIL_LINES)

    def _is_ground(self, key: str) -> bool:
        return key in (BATTERY_MINUS, self.sketch.ground)

    def _rail(self, key: str, y: float, *, is_top: bool) -> str:
        node, overlay = self.nodes[key], self.overlay
        left, right = _RAIL
        parts = [f'<path d="M{px(left)} {px(y)}H{px(right)}" stroke-width="5"/>']
        lines = self._said(key, is_top=is_top)
        if is_top:
            for at, line in enumerate(reversed(lines)):
                parts.append(text_at(left, y - 18 - _RAIL_LINE_PX * at, line, "f15 b"))
            if key == self.sketch.supply and self.is_first:
                parts.append(self._source(left + text_width(lines[0], NAME_PX, "bold") + 10.0, y))
        elif self._is_ground(key):
            parts.append(ground_sign(left + 20, y))
            parts.append(text_at(left + 48, y + 24, lines[0], "f15 b"))
        else:
            for at, line in enumerate(lines):
                parts.append(text_at(left, y + 29 + _RAIL_LINE_PX * at, line, "f15 b"))
        if node.letter:
            reading = overlay.points.get(key)
            read = reading.read if reading is not None else ""
            parts.append(point_ring(left, y, bool(read)))
            parts.append(text_at(right + 8.0, y + 5.5, read, "f15 b nr"))
            parts.append(text_at(left - 19, y + 5.5, node.letter, "f15 b", "end"))
            if overlay.probe == key:
                parts.append(probe_mark(left, y, 30.0 if is_top else -30.0))
        return "".join(parts)

    def _source(self, x: float, y: float) -> str:
        """Return the belief in the battery, beside the words of the rail."""
        for name in self.sketch.sources:
            belief = self.overlay.belief.get(name)
            if belief is not None:
                wide = text_width(name, NOTE_PX, "narrow_bold")
                if wide <= _SOURCE_PX:
                    bar = believed(x + wide + 6.0, y - 28, belief, 36.0)
                    return text_at(x, y - 18, name, "f13 b nr") + bar
                short = squeezed(name, NOTE_PX, "narrow_bold", _LEFT - x - 22.0)
                above = text_at(x, y - 34, short, "f13 b nr", of=name)
                return above + believed(x, y - 28, belief, 36.0)
        return ""

    def _branch(self, branch: Branch, y: float) -> str:
        number = self.run.pieces.index(branch.key)
        placed = PlacedBranch(
            branch=branch,
            x=_X,
            y=y,
            is_turned=branch.first != self.run.points[number],
            side="right",
        )
        closed = conducts(branch, self.overlay)
        drawn = symbol(placed, closed)
        return f'<g stroke-width="2.6">{drawn}</g>{label(placed, self.overlay, True)}'

    def _point(self, node: Node, y: float) -> str:
        reading = self.overlay.points.get(node.key)
        read = reading.read if reading is not None else ""
        parts = [point_ring(_X, y, bool(read))]
        parts.append(text_at(_X - 18, y + 3, node.letter, "f15 b", "end"))
        if read:
            x = _X - 24.0 - text_width(node.letter, NAME_PX, "bold")
            parts.append(text_at(x, y + 3, read, "f15 b nr", "end"))
        for at, line in enumerate(_words(node)):
            parts.append(text_at(_X - 18, y + 20 + LINE_PX * at, line, "f13 nr t2", "end"))
        if node.more:
            start = _X + 9.0
            parts.append(
                f'<path class="edg" d="M{px(start)} {px(y)}H{px(_X + MORE_PX - 6)}" '
                'stroke-width="1.6" stroke-dasharray="1 4"/>'
            )
            parts.append(text_at(_X + MORE_PX - 2, y + 4.5, f"+{node.more}", "f13 nr t2"))
        if self.overlay.probe == node.key:
            parts.append(probe_mark(_X, y))
        return "".join(parts)

    def _volts(self) -> str:
        rows = []
        heights = [(self.run.points[0], _TOP)]
        heights += [(item.node.key, item.y) for item in self.items if item.node is not None]
        heights.append((self.run.points[-1], self.bottom))
        for key, y in heights:
            is_ground = key == self.sketch.ground
            reading = self.overlay.points.get(key, Reading(healthy_v=0.0 if is_ground else None))
            probed = self.overlay.probe == key
            rows.append(Row(letter="", x=0.0, y=y, reading=reading, is_probed=probed))
        strip = Strip(
            left=_LEFT,
            scale=_SCALE_PX / (1.1 * self.supply_v),
            top=_TOP,
            bottom=self.bottom,
            supply_v=self.supply_v,
            healthy_x=0.0,
            read_x=0.0,
            name=self.name,
        )
        return strip_svg(strip, rows)


def _words(node: Node) -> tuple[str, ...]:
    return in_lines(node.words, NOTE_PX, "narrow", _WORDS_PX, _LINES)
