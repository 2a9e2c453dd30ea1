"""A layout with its overlay as SVG. Only classes and attributes: the colours are the page's."""

from collections.abc import Collection, Iterator
from typing import Final

from witnessmark.papers.circuit.branches import Branch, Symbol
from witnessmark.papers.circuit.marks import believed, ground_sign, label, point
from witnessmark.papers.circuit.overlay import PLAIN, Overlay
from witnessmark.papers.circuit.places import Layout, PlacedBar, PlacedBranch, PlacedRun
from witnessmark.papers.circuit.shapes import BAR_ROW_PX, NAME_PX, SHAPES
from witnessmark.papers.circuit.symbols import symbol
from witnessmark.papers.glyph_widths import text_width
from witnessmark.papers.svg import framed, px, text_at

_STRONG: Final = 'stroke-width="3.2"'
_PROBE_PX: Final = 34.0
_FINE: Final = 'class="edg" stroke-width="1.8"'


def draw(
    layout: Layout, overlay: Overlay = PLAIN, *, title: str = "Circuit", times: float = 1.0
) -> str:
    """Return the drawing of a circuit as SVG.

    Parameters
    ----------
    layout
        Where everything stands.
    overlay
        What is drawn over it.
    title
        What the drawing is, for a reader who cannot see it.
    times
        Size on the page, in times of its own; 0 where the page says it. [1]
    """
    body = drawn(layout, overlay)
    return framed(title, layout.width, layout.height, "cct", body, times)


def drawn(layout: Layout, overlay: Overlay) -> str:
    """Return what is inside the frame.

    Parameters
    ----------
    layout
        Where everything stands.
    overlay
        What is drawn over it.
    """
    main = layout.sketch.main
    parts = [*_rails(layout, overlay)]
    fine = [run for run in layout.runs if not set(run.branches) & main]
    strong = [run for run in layout.runs if set(run.branches) & main]
    lit = {key for run in strong for key in run.ends}
    # With no strong way, the whole is drawn in ink.
    plain = _STRONG if main else 'stroke-width="2"'
    parts.append(f"<g {_FINE if main else plain}>{_wires(layout, fine)}</g>")
    for bar in layout.bars:
        if bar.right > bar.left and bar.key not in (layout.sketch.supply, layout.sketch.ground):
            parts.append(_bar(bar, strong if bar.key in lit else (), bool(main)))
    parts.append(f"<g {_STRONG}>{_wires(layout, strong)}</g>")
    parts.extend(_ties(layout))
    for placed in layout.branches:
        is_strong = not main or placed.branch.key in main
        weight = 'stroke-width="2.6"' if placed.branch.key in main else 'stroke-width="1.9"'
        classes = "" if is_strong else ' class="edg"'
        drawn_symbol = symbol(placed, conducts(placed.branch, overlay))
        parts.append(f"<g {weight}{classes}>{drawn_symbol}</g>")
    parts.extend(_dots(layout))
    for placed in layout.branches:
        parts.append(label(placed, overlay, layout.has_bars))
    parts.extend(point(placed, overlay, layout.has_words) for placed in layout.points)
    return "".join(parts)


def conducts(branch: Branch, overlay: Overlay) -> bool:
    """Return whether a switch or contact is drawn closed.

    Parameters
    ----------
    branch
        The branch.
    overlay
        Says which conduct; where it does not, the branch is drawn at rest.
    """
    return branch.rests if overlay.conducts is None else branch.key in overlay.conducts


def _rails(layout: Layout, overlay: Overlay) -> Iterator[str]:
    left = min([one.x for one in layout.points if one.is_rail], default=14.0)
    right = layout.width - 14.0
    if layout.sketch.supply:
        words = "Supply" if overlay.supply_v is None else f"Supply {overlay.supply_v:g} V"
        yield f'<path d="M{px(left)} {px(layout.top)}H{px(right)}" stroke-width="5"/>'
        start = left + _PROBE_PX  # clear of the probe's handle on the rail's own point
        yield text_at(start, layout.top - 16, words, "f15 b")
        x = start + text_width(words, NAME_PX, "bold") + 22.0
        for name in layout.sketch.sources:
            if name in overlay.belief:
                yield text_at(x, layout.top - 16, name, "f15 b nr")
                x += text_width(name, NAME_PX, "narrow_bold") + 8.0
                yield believed(x, layout.top - 26.0, overlay.belief[name])
                x += BAR_ROW_PX + 16.0
    if layout.sketch.ground:
        yield f'<path d="M{px(left)} {px(layout.bottom)}H{px(right)}" stroke-width="5"/>'
        yield ground_sign(left + 22, layout.bottom)
        yield text_at(left + 50, layout.bottom + 24, "Ground 0 V", "f15 b")


def _wires(layout: Layout, runs: Collection[PlacedRun]) -> str:
    at = {placed.branch.key: placed for placed in layout.branches}
    path = []
    for run in runs:
        path.append(f"M{px(run.x)} {px(run.top)}")
        for key in run.branches:
            half = SHAPES[at[key].branch.symbol].half
            path.append(f"V{px(at[key].y - half)}M{px(run.x)} {px(at[key].y + half)}")
        path.append(f"V{px(run.bottom)}")
    return f'<path class="wire" d="{"".join(path)}"/>' if path else ""


def _bar(bar: PlacedBar, strong: Collection[PlacedRun], has_main: bool) -> str:
    line = 'class="wire edg" stroke-width="1.8"' if has_main else 'class="wire" stroke-width="2"'
    parts = [f'<path {line} d="M{px(bar.left)} {px(bar.y)}H{px(bar.right)}"/>']
    lit = [run.x for run in strong if bar.key in run.ends]
    if lit and max(lit) > min(lit):
        parts.append(
            f'<path class="wire" {_STRONG} d="M{px(min(lit))} {px(bar.y)}H{px(max(lit))}"/>'
        )
    return "".join(parts)


def _ties(layout: Layout) -> Iterator[str]:
    for tie in layout.ties:
        start = tie.left.x + _reach(tie.left, to_right=True)
        end = tie.right.x - _reach(tie.right, to_right=False)
        path = f"M{px(start)} {px(tie.left.y)}H{px(end)}"
        if tie.upright_x is not None:
            path = f"M{px(start)} {px(tie.left.y)}H{px(tie.upright_x)}V{px(tie.right.y)}H{px(end)}"
        yield (
            f'<path class="tie" d="{path}" stroke-dasharray="6 5" stroke-width="1.6" '
            'stroke-linecap="butt"/>'
        )


def _reach(placed: PlacedBranch, to_right: bool) -> float:
    """Return how far from a symbol's middle a tie ends: at the side of a coil, at an arm."""
    shape = SHAPES[placed.branch.symbol]
    if placed.branch.symbol in (Symbol.SWITCH, Symbol.CONTACT):
        return 3.0 if to_right else 9.0
    return shape.right if to_right else shape.left


def _dots(layout: Layout) -> Iterator[str]:
    """A dot where three wires meet; a corner and a plain crossing have none."""
    rails = (layout.sketch.supply, layout.sketch.ground)
    for bar in layout.bars:
        for x, count in bar.taps:
            if bar.key in rails:
                continue
            sides = (x > bar.left) + (x < bar.right)
            if sides + count > 2:
                yield (
                    f'<circle class="dot" cx="{px(x)}" cy="{px(bar.y)}" r="3.6" '
                    'fill="currentColor" stroke="none"/>'
                )
