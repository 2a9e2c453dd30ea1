"""Fusible links: a short piece of thinner wire that melts before the wire it protects burns."""

from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.fusing import melting_a2s, preece_a
from witnessmark.networks.wire_sizes import gauge_name
from witnessmark.wiring.heating import adiabatic_k
from witnessmark.wiring.insulation import Insulation
from witnessmark.wiring.sizes import System, WireSize, awg, sae
from witnessmark.wiring.sources import Known, Source

FOUR: Final = 4
LENGTH_MM: Final = 150.0  # about 6 in
RULE: Final = Source(
    words="three trade pages: four gauge numbers smaller than the wire, about 6 in long, "
    "replaced by the same gauge and length",
    known=Known.SEEN,
)
_COLD_C: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkCheck:
    """A link against the wire it protects, both cold at the start of a short circuit.

    Attributes
    ----------
    link, wire
        Both sizes.
    melts_a2s
        Current squared times time that melts the link. [A²s]
    hurts_a2s
        The same, that hurts the wire's insulation. [A²s]
    holds_a
        Steady current that a bare link of this size still carries. [A]
    """

    link: WireSize
    wire: WireSize
    melts_a2s: float
    hurts_a2s: float
    holds_a: float

    @property
    def is_first(self) -> bool:
        """Whether the link melts before the wire's insulation is hurt."""
        return self.melts_a2s < self.hurts_a2s

    @property
    def sentence(self) -> str:
        """What a short circuit does, and what the link does not do."""
        order = "melts before" if self.is_first else "melts only after"
        return (
            f"In a dead short the {self.link.label} link {order} the insulation of the "
            f"{self.wire.label} wire is hurt ({self.melts_a2s / 1000:.0f} against "
            f"{self.hurts_a2s / 1000:.0f} thousand A²s). It is no guard against an overload: "
            f"bare, it carries {self.holds_a:.0f} A for good."
        )


def link_for(wire: WireSize) -> WireSize:
    """Return the size of a fusible link: four gauge numbers smaller than the wire.

    Parameters
    ----------
    wire
        The wire to protect, an AWG or SAE size.

    Returns
    -------
    WireSize
        The link, of the same system.

    Raises
    ------
    BenchError
        If the wire has no gauge number, or none that is four smaller.

    Notes
    -----
    Some pages say "two sizes smaller": two even sizes, which is the same.

    Examples
    --------
    >>> link_for(awg(10)).label
    '14 AWG'
    """
    if wire.gauge is None:
        raise BenchError(
            f"{wire.label} has no gauge number.",
            "The rule of four gauge numbers is for AWG and SAE wire.",
            "Take the link that the vehicle's maker names for this wire.",
        )
    number = wire.gauge + FOUR
    try:
        return sae(number) if wire.system is System.SAE else awg(number)
    except BenchError as error:
        raise BenchError(
            f"A link for {wire.label} would be {gauge_name(number)}.",
            "Links are made for wire of 18 gauge and thicker.",
            "Protect this wire by a fuse.",
        ) from error


def check_link(link: WireSize, wire: WireSize, cover: Insulation) -> LinkCheck:
    """Return whether a link melts before the insulation of its wire is hurt.

    Parameters
    ----------
    link
        The link.
    wire
        The wire it protects.
    cover
        The wire's insulation.

    Returns
    -------
    LinkCheck
        In a short circuit, both at 25 °C at the start and no heat lost.

    References
    ----------
    [1] Onderdonk for the link, IEC 60364-5-54 for the wire, Preece for what it carries. Seen.

    Examples
    --------
    >>> from witnessmark.wiring.insulation import insulation
    >>> check_link(awg(14), awg(10), insulation("pvc-105")).is_first
    True
    """
    k = adiabatic_k(_COLD_C, cover.short_c)
    return LinkCheck(
        link=link,
        wire=wire,
        melts_a2s=melting_a2s(link.area_mm2, _COLD_C),
        hurts_a2s=(k * wire.area_mm2) ** 2,
        holds_a=preece_a(link.area_mm2),
    )
