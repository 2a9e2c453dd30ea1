"""The drawing of a focus: its circuit with the volts fall beside the strong way."""

from dataclasses import replace
from typing import Final

from witnessmark.networks import Circuit
from witnessmark.papers.circuit.branches import Node
from witnessmark.papers.circuit.drawing import drawn
from witnessmark.papers.circuit.focus import Focus
from witnessmark.papers.circuit.layout import laid_out
from witnessmark.papers.circuit.overlay import Overlay, Reading
from witnessmark.papers.circuit.places import Layout
from witnessmark.papers.circuit.shapes import MORE_PX, more_px
from witnessmark.papers.circuit.sketch import sketch_of
from witnessmark.papers.circuit.volts import Row, Strip, strip_svg
from witnessmark.papers.svg import framed

WIDE_PX: Final = 1340.0  # what a wide screen has room for
_SCALE_PX: Final = (280.0, 420.0)  # least and most length of the scale of volts
_BESIDE_PX: Final = 176.0  # of the strip, beside that scale
_MOST_TIMES: Final = 1.2


def focus_layout(circuit: Circuit, focus: Focus) -> Layout:
    """Return where everything in a focus stands: from left to right as in the whole circuit.

    Words of points stand where there is room for them.

    Parameters
    ----------
    circuit
        The circuit.
    focus
        What is drawn of it.
    """
    whole = laid_out(sketch_of(circuit), has_bars=True, has_words=False)  # as pages draw it
    across = {one.branch.key: one.x for one in whole.branches}
    sketch = sketch_of(circuit, focus.branches, focus.main.pieces, across)
    layout = laid_out(sketch, has_bars=True, has_words=True)
    if layout.width + _SCALE_PX[0] + _BESIDE_PX <= WIDE_PX:
        return layout
    return laid_out(sketch, has_bars=True)


def draw_focus(
    circuit: Circuit, focus: Focus, overlay: Overlay, *, title: str = "Circuit", name: str = "h0"
) -> str:
    """Return the wide drawing of a focus as SVG: the circuit left, the volts fall right.

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
        Name of the hatch pattern, another one for each drawing on a page.
    """
    layout = focus_layout(circuit, focus)
    rows = _rows(layout, focus, overlay)
    supply_v = overlay.supply_v or circuit.supply_v
    left = layout.width + 34.0
    room = WIDE_PX / _MOST_TIMES - layout.width - _BESIDE_PX
    scale = min(max(room, _SCALE_PX[0]), _SCALE_PX[1])
    strip = Strip(
        left=left,
        scale=scale / (1.05 * supply_v),
        top=layout.top,
        bottom=layout.bottom,
        supply_v=supply_v,
        healthy_x=left + scale + 62.0,
        read_x=left + scale + 122.0,
        name=name,
    )
    width = layout.width + scale + _BESIDE_PX
    body = drawn(layout, replace(overlay, in_strip=frozenset(focus.main.points)))
    body += strip_svg(strip, rows, overlay.why)
    times = min(_MOST_TIMES, max(1.0, WIDE_PX / width))
    return framed(title, width, layout.height, "cct wd", body, times)


def _rows(layout: Layout, focus: Focus, overlay: Overlay) -> list[Row]:
    """Return the rows of the strip, one for each point of the strong way that has a height."""
    main = [run.x for run in layout.runs if set(run.branches) & layout.sketch.main]
    is_right = bool(main) and max(main) == max(run.x for run in layout.runs)
    at = {point.node.key: point for point in layout.points}
    rows: list[Row] = []
    for key in focus.main.points:
        point = at.get(key)
        if point is None or (rows and point.y < rows[-1].y + 16.0):
            continue
        is_end = key == focus.main.points[-1]
        reading = overlay.points.get(key, Reading(healthy_v=0.0 if is_end else None))
        if not point.node.letter and not is_end:
            continue
        rows.append(
            Row(
                letter=point.node.letter,
                x=_from_x(point.node, point.x) if is_right and not point.is_rail else 0.0,
                y=point.y,
                reading=reading,
                is_probed=overlay.probe == key,
            )
        )
    return rows


def _from_x(node: Node, x: float) -> float:
    return x + (more_px(node) + 6.0 if node.more else MORE_PX)
