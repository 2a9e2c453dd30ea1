"""What is drawn over a circuit: how it stands, what is believed, what was read, where to probe."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a point shows.

    Attributes
    ----------
    healthy_v
        Volts when nothing is wrong; None where nobody is to see it. [V]
    read
        What was read, as typed; empty if nothing.
    read_v
        The reading as a number. [V]
    span_v
        Lowest and highest volts that the suspects predict, where they disagree. [V]
    """

    healthy_v: float | None = None
    read: str = ""
    read_v: float | None = None
    span_v: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlay:
    """All that is drawn over a layout. Every field may be left out.

    Attributes
    ----------
    conducts
        Keys of the branches that conduct in the state that is shown; None for the state at rest.
    belief
        Belief that a part is at fault, by its name, 0 to 1.
    ranks
        A person's own order of suspects, by part: 1 for the first.
    points
        What points show, by key.
    probe
        Key of the point where the next test is; empty for none.
    part
        Name of the part that the next test is on; empty where it is at a point.
    supply_v
        Volts of the source, for the rail and the scale. [V]
    why
        What the suspects would read at the probe, in short lines.
    in_strip
        Keys of points whose readings stand in a strip of volts beside the drawing.
    """

    conducts: frozenset[str] | None = None
    belief: Mapping[str, float] = field(default_factory=dict)
    ranks: Mapping[str, int] = field(default_factory=dict)
    points: Mapping[str, Reading] = field(default_factory=dict)
    probe: str = ""
    part: str = ""
    supply_v: float | None = None
    why: tuple[str, ...] = ()
    in_strip: frozenset[str] = frozenset()


PLAIN = Overlay()
