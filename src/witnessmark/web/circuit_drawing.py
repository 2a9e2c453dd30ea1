"""The drawing beside the table in which a circuit is entered."""

from witnessmark.networks import Circuit
from witnessmark.papers.circuit import draw, layout_of

MOST_DRAWN = 120  # parts; above it laying out takes longer than a person waits while typing


def drawing_of(circuit: Circuit) -> str:
    """Return a circuit as SVG, half finished or whole; '' where it is too large for this place."""
    if len(circuit.parts) > MOST_DRAWN:
        return ""
    layout = layout_of(circuit, has_words=True)
    return draw(layout, title=f"Drawing of {circuit.name or 'the circuit so far'}", times=0)
