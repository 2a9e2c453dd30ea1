"""A circuit drawn: any sheet, the whole of it or what matters for a complaint.

Two steps. `layout_of(circuit)` says where everything stands; it hangs on the parts, their terminals
and names alone, so that a picture a class has learnt stays as it is while readings come in.
`draw(layout, overlay)` gives the SVG, with what is believed, read and asked drawn into room that is
kept for it. A circuit need not be finished: open ends, parts that nothing joins, no battery, no
ground are drawn as they are.

For a complaint, `focus_of` finds the parts that matter, `draw_focus` draws them wide with the volts
beside them, `draw_narrow` for a phone. `conducting` says how contacts stand in a state.

    layout = layout_of(circuit)
    svg = draw(layout, Overlay(ranks={"G7": 1, "S9": 2}), title=circuit.name)

How it is laid out, and what was measured: docs/drawing.md.
"""

from collections.abc import Collection

from witnessmark.networks import Circuit
from witnessmark.papers.circuit.drawing import draw
from witnessmark.papers.circuit.focus import Focus, focus_of
from witnessmark.papers.circuit.focus_drawing import draw_focus
from witnessmark.papers.circuit.layout import laid_out
from witnessmark.papers.circuit.overlay import Overlay, Reading
from witnessmark.papers.circuit.phone import draw_narrow
from witnessmark.papers.circuit.places import Layout
from witnessmark.papers.circuit.sketch import sketch_of
from witnessmark.papers.circuit.states import conducting

__all__ = [
    "Focus",
    "Layout",
    "Overlay",
    "Reading",
    "conducting",
    "draw",
    "draw_focus",
    "draw_narrow",
    "focus_of",
    "layout_of",
]


def layout_of(
    circuit: Circuit,
    focus: Focus | None = None,
    *,
    main: Collection[str] = (),
    has_bars: bool = False,
    has_words: bool = False,
) -> Layout:
    """Return where everything in the drawing of a circuit stands.

    Parameters
    ----------
    circuit
        The circuit; it may be half finished.
    focus
        What to draw of it; None for the whole.
    main
        Of the whole, keys of the branches to draw strong; a focus brings its own.
    has_bars
        Whether room is kept for belief bars or rank numbers under the names.
    has_words
        Whether points show the author's words beside their letters.

    Returns
    -------
    Layout
        The same for equal circuits, and kept: a second call costs next to nothing.
    """
    if focus is None:
        return laid_out(sketch_of(circuit, None, main), has_bars=has_bars, has_words=has_words)
    sketch = sketch_of(circuit, focus.branches, focus.main.pieces)
    return laid_out(sketch, has_bars=has_bars, has_words=has_words)
