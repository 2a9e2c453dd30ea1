"""Everything that the readings of an assembly say: clearances, oil holes, order, what is open."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from witnessmark.fitting.assembly import Assembly, Characteristic
from witnessmark.fitting.bushes import Way, bores_in_words, shaft_way, wrong_places
from witnessmark.fitting.turned_bushes import HoleRow, judge_holes
from witnessmark.metrology import (
    OUTSIDE_TO,
    WITHIN_FROM,
    Estimate,
    Judgement,
    Limit,
    Misread,
    Place,
    Reading,
    Verdict,
    chance_in_words,
    estimate,
    misreads,
    sure_range,
    verdict,
    what_to_measure_again,
    wider_than_stated,
)
from witnessmark.quantities import show


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRow:
    """One characteristic at one position, judged. Ends of `sure` are None where open."""

    characteristic: Characteristic
    position: str
    title: str
    limit: Limit
    readings: tuple[Reading, ...]
    estimate: Estimate
    judgement: Judgement
    sure: tuple[float | None, float | None] | None
    advice: str  # empty where nothing is open
    is_questioned: bool = False  # its readings cannot all be right

    def number(self) -> str:
        """Return the size as a page prints it, without its unit."""
        return show(self.estimate.value, "", self.estimate.step)

    def chance(self) -> str:
        """Return the chance as a page prints it; none where the readings are in doubt."""
        return "read again" if self.is_questioned else chance_in_words(self.judgement.chance)

    def plus_minus(self) -> str:
        """Return the expanded uncertainty (k = 2) as a page prints it, without its unit."""
        return show(2 * self.estimate.u, "", self.estimate.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class FitReport:
    """What the readings of one assembly say.

    `unread` are sentences for what has not been read yet; `lying` says which bush was seen at
    which position, and `order` what is wrong with that;
    `remarks` for readings in doubt and instruments that scatter more than their record says.
    """

    assembly: Assembly
    rows: tuple[FitRow, ...]
    holes: tuple[HoleRow, ...]
    misreads: tuple[Misread, ...]
    unread: tuple[str, ...]
    lying: Mapping[str, str]
    order: tuple[str, ...]
    along: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def is_all_within(self) -> bool:
        """Return whether everything was read, judged within, and lies in its place."""
        judged = [row.judgement for row in self.rows] + [row.judgement for row in self.holes]
        return (
            bool(judged)
            and all(judgement.verdict is Verdict.WITHIN for judgement in judged)
            and not (self.unread or self.order or self.misreads)
        )

    @property
    def advice(self) -> tuple[str, ...]:
        """Return what to do next, a sentence each, in the order of the block."""
        rows = tuple(row.advice for row in self.rows if row.advice)
        holes = tuple(
            f"{hole.title}: {hole.sentence}"
            for hole in self.holes
            if hole.judgement.verdict is not Verdict.WITHIN
        )
        return (*self.order, *rows, *holes)


def judge_fit(
    assembly: Assembly,
    readings: Sequence[Reading],
    within_from: float = WITHIN_FROM,
    outside_to: float = OUTSIDE_TO,
) -> FitReport:
    """Judge every characteristic of an assembly by its readings.

    Parameters
    ----------
    assembly
        The assembly as its sheet describes it.
    readings
        All readings of the job, corrections already applied.
    within_from
        The least chance of conforming that is called within. [0 to 1]
    outside_to
        The greatest chance of conforming that is called outside. [0 to 1]

    Returns
    -------
    FitReport
        Rows, oil holes, order, advice and what is not read yet.

    Raises
    ------
    BenchError
        If a reading is of something the sheet does not have, or has no known instrument.

    Notes
    -----
    A place whose readings cannot all be right is too close to call whatever its mean says;
    nothing is dropped from the mean.
    """
    for reading in readings:
        assembly.characteristic(reading.place.characteristic)
    names = assembly.place_names()
    sizes = [reading for reading in readings if not _is_look(assembly, reading)]
    doubts = misreads(sizes, assembly.bench(), names)
    rows: list[FitRow] = []
    unread: list[str] = []
    for characteristic in assembly.judged():
        for position in assembly.positions:
            places = characteristic.weights(position)
            missing = [place for place in places if not _at(readings, place)]
            if missing:
                parts = " and ".join(
                    assembly.characteristic(p.characteristic).short for p in missing
                )
                unread.append(f"{assembly.title(position)}: {parts} not read yet.")
            else:
                row = _row(assembly, characteristic, position, readings, within_from, outside_to)
                crossed = _larger_than_its_bore(assembly, characteristic, position, readings)
                if crossed:
                    doubts = (*doubts, crossed)
                rows.append(_with_doubt(row, [d for d in doubts if d.place in places]))
    lying = _lying(assembly, readings)
    return FitReport(
        assembly=assembly,
        rows=tuple(rows),
        holes=judge_holes(assembly, readings, within_from, outside_to),
        misreads=doubts,
        unread=tuple(unread),
        lying=lying,
        order=(
            wrong_places(assembly.bearings, lying, assembly.order.press)
            if lying and assembly.order
            else ()
        ),
        along=_along(assembly),
        remarks=(
            *(doubt.sentence for doubt in doubts),
            *wider_than_stated(sizes, assembly.bench()),
        ),
    )


def uncertainty_in_words(row: FitRow, assembly: Assembly) -> str:
    """Say where the uncertainty of a row comes from, and what cancels.

    Parameters
    ----------
    row
        A judged characteristic.
    assembly
        The assembly that it belongs to.

    Returns
    -------
    str
        Expanded uncertainty with k = 2, then each source as a standard uncertainty.
    """
    found = row.estimate
    short = {
        f"reading of {place}": f"{assembly.characteristic(place.characteristic).short} reading"
        for place in row.characteristic.weights(row.position)
    }
    parts = ", ".join(
        f"{short.get(source.name, source.name)}: {_plain(source.u, found.step / 10)} {found.unit}"
        for source in found.sources
    )
    text = f"± {row.plus_minus()} {found.unit} (k = 2), from {parts}."
    if found.cancelled:
        both = " and ".join(found.cancelled)
        text += f" The {both} is in both readings and cancels."
    return text


def _plain(value: float, step: float) -> str:
    """Return a size to a step, without the zeros that the step would print."""
    return show(round(value / step) * step, "")


def _at(readings: Sequence[Reading], place: Place) -> tuple[Reading, ...]:
    return tuple(reading for reading in readings if reading.place == place)


def _row(
    assembly: Assembly,
    characteristic: Characteristic,
    position: str,
    readings: Sequence[Reading],
    within_from: float,
    outside_to: float,
) -> FitRow:
    assert characteristic.limit is not None, "only what has a limit is judged"
    limit = characteristic.limit.to(characteristic.unit)
    weights = characteristic.weights(position)
    found = estimate(weights, readings, assembly.bench(), limit.unit)
    short = {place: assembly.characteristic(place.characteristic).short for place in weights}
    advice = what_to_measure_again(
        assembly.title(position),
        weights,
        short,
        readings,
        assembly.bench(),
        limit,
        within_from,
        outside_to,
    )
    return FitRow(
        characteristic=characteristic,
        position=position,
        title=assembly.title(position),
        limit=limit,
        readings=tuple(reading for reading in readings if reading.place in weights),
        estimate=found,
        judgement=verdict(found.value, found.u, limit, within_from, outside_to),
        sure=sure_range(found.u, limit, within_from),
        advice=advice.sentence if advice else _outside(assembly.title(position), found, limit),
    )


def _outside(title: str, found: Estimate, limit: Limit) -> str:
    """Say how far a size lies past its limit; empty where it does not."""
    for end, gap in [
        ("over", 0.0 if limit.upper is None else found.value - limit.upper),
        ("under", 0.0 if limit.lower is None else limit.lower - found.value),
    ]:
        if gap > 0:
            by = show(gap, limit.unit, found.step)
            return f"{title}: {by} {end} the limit. Stop: the teacher chooses what is changed."
    return ""


def _larger_than_its_bore(
    assembly: Assembly, characteristic: Characteristic, position: str, readings: Sequence[Reading]
) -> Misread | None:
    """Name a pair of readings that would make a running clearance less than nothing."""
    limit = characteristic.limit
    if not characteristic.is_derived or limit is None:
        return None
    if limit.lower is None or limit.lower < 0:  # a fit that may be an interference
        return None
    weights = characteristic.weights(position)
    found = estimate(weights, readings, assembly.bench(), characteristic.unit)
    if found.value >= 0:
        return None
    outer, inner = (assembly.characteristic(place.characteristic) for place in weights)
    sizes = {
        place: show(sum(r.quantity.to(outer.unit) for r in several) / len(several), outer.unit)
        for place in weights
        if (several := _at(readings, place))
    }
    large, small = sizes.values()
    outer_place = next(iter(weights))
    return Misread(
        place=outer_place,
        suspects=tuple(reading.id for reading in readings if reading.place in weights),
        sentence=(
            f"{assembly.title(position)}: {inner.short} reads {small} and {outer.short} {large}. "
            f"The {inner.short} cannot be larger than the {outer.short}. Check that both were "
            f"read on the same scale, then measure again."
        ),
    )


def _with_doubt(row: FitRow, doubts: Sequence[Misread]) -> FitRow:
    if not doubts:
        return row
    return replace(
        row,
        is_questioned=True,
        judgement=Judgement(verdict=Verdict.TOO_CLOSE, chance=row.judgement.chance),
        advice=" ".join(doubt.sentence for doubt in doubts),
    )


def _is_look(assembly: Assembly, reading: Reading) -> bool:
    """Return whether a reading names a bush instead of measuring something."""
    order = assembly.order
    return order is not None and reading.place.characteristic == order.bush


def _lying(assembly: Assembly, readings: Sequence[Reading]) -> dict[str, str]:
    """Return which bush was seen where; the last look counts."""
    if assembly.order is None:
        return {}
    return {
        reading.place.position: show(reading.quantity.value, "")
        for reading in readings
        if reading.place.characteristic == assembly.order.bush
    }


def _along(assembly: Assembly) -> tuple[str, ...]:
    """Say what the sizes along the block mean for putting it together."""
    if not assembly.bearings:
        return ()
    first, last = (end.lower() for end in assembly.ends)
    ways: Mapping[Way, str] = {
        Way.FIRST: f"The shaft goes in at the {first} end, its smallest journal leads.",
        Way.LAST: f"The shaft goes in at the {last} end, its smallest journal leads.",
        Way.EITHER: "The shaft goes in from either end.",
        Way.NEITHER: "No end lets every journal through: check the sizes before you press in.",
    }
    sentences = [ways[shaft_way(assembly.bearings)]]
    if assembly.order is not None:
        sentences.insert(0, bores_in_words(assembly.bearings, assembly.order.press))
    return tuple(sentences)
