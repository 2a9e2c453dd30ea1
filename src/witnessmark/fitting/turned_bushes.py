"""Bushes that lie turned: how far their oil holes are open, and how far back to turn them."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.fitting.assembly import Assembly
from witnessmark.fitting.bushes import Bearing
from witnessmark.fitting.oil_holes import allowed_turn, least_open
from witnessmark.metrology import (
    OUTSIDE_TO,
    WITHIN_FROM,
    Judgement,
    Limit,
    Place,
    Reading,
    Verdict,
    estimate,
    verdict,
)
from witnessmark.quantities import show


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleRow:
    """The oil holes of one bush, judged by how far it is turned."""

    position: str
    title: str
    bearing: Bearing
    turn_deg: float
    u_deg: float
    share: float
    allowed: tuple[float, float] | None  # degrees, either way
    judgement: Judgement
    sentence: str


def judge_holes(
    assembly: Assembly,
    readings: Sequence[Reading],
    within_from: float = WITHIN_FROM,
    outside_to: float = OUTSIDE_TO,
) -> tuple[HoleRow, ...]:
    """Judge the oil holes of every bush whose turn was read.

    Parameters
    ----------
    assembly
        The assembly as its sheet describes it.
    readings
        All readings of the job.
    within_from
        The least chance of conforming that is called within. [0 to 1]
    outside_to
        The greatest chance of conforming that is called outside. [0 to 1]

    Returns
    -------
    tuple of HoleRow
        In the order of the block; none where the sheet has no rule for oil holes.
    """
    rule = assembly.oil_holes
    if rule is None:
        return ()
    rows = []
    for bearing in assembly.bearings:
        place = Place(characteristic=rule.turn, position=bearing.position)
        if not bearing.feeds or all(reading.place != place for reading in readings):
            continue
        turn = estimate({place: 1.0}, readings, assembly.bench(), "°")
        share = least_open(bearing.feeds, bearing.radius_mm, turn.value)
        allowed = allowed_turn(bearing.feeds, bearing.radius_mm, rule.share)
        if allowed is None:
            judgement = Judgement(verdict=Verdict.OUTSIDE, chance=0.0)
        else:
            limit = Limit(lower=allowed[0], upper=allowed[1], unit="°", source=rule.source)
            judgement = verdict(turn.value, turn.u, limit, within_from, outside_to)
        rows.append(
            HoleRow(
                position=bearing.position,
                title=assembly.title(bearing.position),
                bearing=bearing,
                turn_deg=turn.value,
                u_deg=turn.u,
                share=share,
                allowed=allowed,
                judgement=judgement,
                sentence=_turn_back(share, rule.share, turn.value, allowed, judgement.verdict),
            )
        )
    return tuple(rows)


def _turn_back(
    share: float,
    wanted: float,
    turn_deg: float,
    allowed: tuple[float, float] | None,
    said: Verdict,
) -> str:
    rule = f"{open_in_words(share).capitalize()} open, shop rule {100 * wanted:.0f}%."
    if allowed is None:
        return f"{rule} No turn opens that much: check the hole of the bush against the block."
    middle = (allowed[0] + allowed[1]) / 2
    by = turn_deg - middle
    # down to half degrees, so that the sentence never allows more than the rule
    play = int(2 * (allowed[1] - middle)) / 2
    room = f"Up to {show(play, '°')} either way stays at {100 * wanted:.0f}%."
    back = f"Turn it {show(abs(by), '°', 1)} {'back' if by > 0 else 'on'} before pressing in."
    if said is Verdict.WITHIN:
        return f"{rule} {room}"
    if said is Verdict.TOO_CLOSE:
        return f"{rule} Too near the edge for one reading of the turn: read it again. {room}"
    return f"{rule} {back} {room}"


def open_in_words(share: float) -> str:
    """Return an open share as a page prints it.

    Parameters
    ----------
    share
        Open area over the area of the drilling. [0 to 1]

    Returns
    -------
    str
        Percent, "all", "under 1%" or "0".

    Examples
    --------
    >>> [open_in_words(share) for share in (1, 0.757, 0.004, 0)]
    ['all', '76%', 'under 1%', '0']
    """
    if share > 0.995:
        return "all"
    if share <= 0:
        return "0"
    return "under 1%" if share < 0.01 else f"{100 * share:.0f}%"
