"""How many volts a run may lose: sourced sets of limits, and the trade's own formula."""

from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.wiring.sources import Known, Source

K_TRADE: Final = 10.75  # Ω·cmil/ft in CM = K I L / E; copper at 29.3 °C
OWN: Final = "own"


@dataclass(frozen=True, slots=True, kw_only=True)
class DropLimits:
    """What a circuit may lose, by one source.

    Attributes
    ----------
    key
        What the command and forms call it.
    words
        For which circuits.
    source
        Who says so.
    total_v
        Feed, load's connections and return together; None where it is a share. [V]
    total_share
        The same as a share of the supply. [1]
    feed_v, ground_v, connection_v
        One side, or one joint, where the source names it. [V]
    """

    key: str
    words: str
    source: Source
    total_v: float | None = None
    total_share: float | None = None
    feed_v: float | None = None
    ground_v: float | None = None
    connection_v: float | None = None

    def allowed_v(self, supply_v: float) -> float:
        """Return the volts a run may lose, there and back. [V]"""
        if self.total_v is not None:
            return self.total_v
        assert self.total_share is not None, "a set of limits without a total"
        return self.total_share * supply_v


_BATTERY_SCHOOL: Final = Source(words="a battery school's page that credits SAE", known=Known.SEEN)
# Sources disagree by three times: each limit is kept with who says it, and the teacher chooses.
LIMIT_SETS: Final = (
    DropLimits(
        key="accessory",
        words="any accessory circuit, 0.5 V in all",
        source=Source(words="a voltage-drop calculator's note", known=Known.SEEN),
        total_v=0.5,
    ),
    DropLimits(
        key="computer",
        words="small wire to a computer, 16 to 20 AWG, up to 0.09 V",
        source=_BATTERY_SCHOOL,
        total_v=0.09,
    ),
    DropLimits(
        key="alternator",
        words="alternator or heavy accessory, up to 0.2 V",
        source=_BATTERY_SCHOOL,
        total_v=0.2,
    ),
    DropLimits(
        key="battery-cable",
        words="battery or starter cable, 0.2 V a side",
        source=Source(
            words="a battery school's page and a service manual, 0.2 V each side",
            known=Known.SEEN,
        ),
        total_v=0.4,
        feed_v=0.2,
        ground_v=0.2,
    ),
    DropLimits(
        key="starter",
        words="starter circuit, feed 0.5 V and ground 0.3 V",
        source=Source(
            words="a load tester's manual; the feed in a service manual too", known=Known.SEEN
        ),
        total_v=0.8,
        feed_v=0.5,
        ground_v=0.3,
    ),
    DropLimits(
        key="classroom",
        words="classroom set: feed 0.2 V, ground 0.1 V, each joint 0.1 V",
        source=Source(words="a classroom rule", known=Known.MEMORY),
        total_v=0.3,
        feed_v=0.2,
        ground_v=0.1,
        connection_v=0.1,
    ),
    DropLimits(
        key="boat-critical",
        words="boats, what must not fail: 3 % of the supply",
        source=Source(words="ABYC as quoted in a marine catalogue", known=Known.SEEN),
        total_share=0.03,
    ),
    DropLimits(
        key="boat-other",
        words="boats, all else: 10 % of the supply",
        source=Source(words="ABYC as quoted in a marine catalogue", known=Known.SEEN),
        total_share=0.10,
    ),
    DropLimits(
        key="aircraft",
        words="aircraft on 14 V, running for long: 0.5 V",
        source=Source(
            words="AC 43.13-1B, worked rows; that they are for 14 V is from memory",
            known=Known.MEMORY,
        ),
        total_v=0.5,
    ),
    DropLimits(
        key="aircraft-short",
        words="aircraft on 14 V, for a short time: 1 V",
        source=Source(
            words="AC 43.13-1B, worked rows; that they are for 14 V is from memory",
            known=Known.MEMORY,
        ),
        total_v=1.0,
    ),
)
_BY_KEY: Final = {one.key: one for one in LIMIT_SETS}


def drop_limits(key: str) -> DropLimits:
    """Return a set of limits by its key.

    Parameters
    ----------
    key
        For example "accessory".

    Returns
    -------
    DropLimits
        The set.

    Raises
    ------
    BenchError
        If there is no such key.

    Examples
    --------
    >>> drop_limits("boat-critical").allowed_v(12.0)
    0.36
    """
    if key in _BY_KEY:
        return _BY_KEY[key]
    raise BenchError(
        f"There is no set of limits “{key}”.",
        f"Known: {', '.join(_BY_KEY)}.",
        "Choose one of them, or give the volts yourself.",
    )


def own_limits(total_v: float) -> DropLimits:
    """Return the shop's own limit as a set.

    Parameters
    ----------
    total_v
        What a circuit may lose in all. [V]

    Returns
    -------
    DropLimits
        A set with that total.

    Raises
    ------
    BenchError
        If it is not above zero.

    Examples
    --------
    >>> own_limits(0.3).words
    "the shop's own, 0.3 V in all"
    """
    if not 0 < total_v <= 24.0:
        raise BenchError(
            f"The allowed drop is {total_v:g} V.",
            "It must be more than 0 V, and less than the supply.",
            "Usual limits are from 0.1 to 0.5 V.",
        )
    return DropLimits(
        key=OWN,
        words=f"the shop's own, {total_v:g} V in all",
        source=Source(words="the shop", known=Known.OWN),
        total_v=total_v,
    )


def circular_mils(current_a: float, length_ft: float, drop_v: float) -> float:
    """Return the area that the trade's formula asks for: CM = K I L / E.

    Parameters
    ----------
    current_a
        The current. [A]
    length_ft
        Length of the wire out and back. [ft]
    drop_v
        What it may lose. [V]

    Returns
    -------
    float
        Area in circular mils, with K = 10.75.

    References
    ----------
    [1] Two wire sellers' pages with one worked example: 10 A, 21 ft, 3 % of 12 V. Seen.

    Examples
    --------
    >>> round(circular_mils(10, 21, 0.36))
    6271
    """
    return K_TRADE * current_a * length_ft / drop_v
