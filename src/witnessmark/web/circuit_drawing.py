"""A drawn circuit as pages show it: in its own size or larger, in a box that scrolls by itself.

One call for any page that has a circuit, whole or half finished. The page links drawn.css.
"""

from dataclasses import replace

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from witnessmark.networks import Circuit
from witnessmark.papers.circuit import Overlay, draw, layout_of
from witnessmark.web.drawn import drawn

MOST_DRAWN = 120  # parts; above it laying out takes longer than a person waits while typing
SIZES = (("fit", "Whole width"), ("own", "Own size"), ("larger", "Larger"))


def whole_drawing(
    circuit: Circuit,
    overlay: Overlay | None = None,
    *,
    main: frozenset[str] = frozenset(),
    name: str = "circuit",
) -> SafeString:
    """Return the drawing of a whole circuit, with buttons for its size.

    `overlay` says what is drawn over it: `Overlay()` draws it at rest. `main` is drawn strong, and
    moves nothing: a circuit is one picture on every page, and room for belief, or for a person's
    own order of suspects, is kept on all of them. `name` tells two drawings on one page apart.
    """
    layout = layout_of(circuit, has_bars=True)
    layout = replace(layout, sketch=replace(layout.sketch, main=main))
    title = f"Circuit {circuit.name}: supply at the top, ground at the bottom"
    return in_box(draw(layout, overlay or Overlay(), title=title), title, name)


def drawing_beside(circuit: Circuit) -> SafeString:
    """Return a circuit that is being typed, at most as wide as its place; '' if it is too large."""
    if len(circuit.parts) > MOST_DRAWN:
        return SafeString("")
    title = f"Drawing of {circuit.name or 'the circuit so far'}"
    return drawn(draw(layout_of(circuit, has_words=True), title=title))


def in_box(svg: str, title: str, name: str) -> SafeString:
    """Return a drawing in its box, with buttons for its size that need no script and no reload."""
    # The buttons belong to no form, even where a page puts the drawing inside one.
    sizes = format_html_join(
        "",
        '<label><input type="radio" name="size-{}" value="{}" form="none"{}><span>{}</span>'
        "</label>",
        (
            (name, value, mark_safe(" checked") if value == "own" else "", words)
            for value, words in SIZES
        ),
    )
    return format_html(
        '<div class="cfig"><fieldset class="csize"><legend class="sr">Size of the drawing</legend>'
        '{}</fieldset><div class="cbox" tabindex="0" role="region" aria-label="{}">{}</div></div>',
        sizes,
        title,
        drawn(svg),
    )
