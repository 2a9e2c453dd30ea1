"""Readings of one place judged against a limit, and the verdict as it is shown."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from witnessmark.metrology import (
    Bench,
    Limit,
    Place,
    chance_in_words,
    estimate,
    verdict,
)
from witnessmark.metrology import Instrument as InstrumentValue
from witnessmark.metrology import Reading as ReadingValue
from witnessmark.quantities import convert, parse, show
from witnessmark.record.models import Reading
from witnessmark.shop.models import Instrument, Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A verdict with its value and limit, each as text with its unit."""

    reading_ids: tuple[UUID, ...]
    value: str
    expanded: str
    limit: str
    source: str
    chance: str
    word: str
    key: str = ""  # of a derived value; else the reading's own
    position: str = ""


def judged(reading: Reading, limit: Limit) -> Shown:
    """Judge all standing readings of the reading's place together against a limit."""
    rows = list(
        Reading.objects.select_related("instrument").filter(
            step_id=reading.step_id,
            key=reading.key,
            position=reading.position,
            phase=reading.phase,
            word="",
            replaced_by=None,
        )
    )
    place = Place(characteristic=reading.key, position=reading.position)
    values = [reading_value(row) for row in rows]
    found = estimate({place: 1.0}, values, bench_of(rows, limit.unit), limit.unit)
    judgement = verdict(found.value, found.u, limit, **shop_rule())
    step = _decade(found.step / len(rows)) if len(rows) > 1 else found.step
    return Shown(
        reading_ids=tuple(row.pk for row in rows),
        # one reading is shown as typed; a mean to the step of the instrument
        value=rows[0].shown if len(rows) == 1 else show(found.value, limit.unit, step),
        expanded="± " + show(2 * found.u, limit.unit, _decade(found.u / 5) if found.u else step),
        limit=str(limit),
        source=limit.source,
        chance=chance_in_words(judgement.chance),
        word=judgement.verdict.value,
    )


def _decade(size: float) -> float:
    """Return the power of ten at or below a size: digits are cut there, as people round.

    >>> _decade(0.23), _decade(12.0)
    (0.1, 10.0)
    """
    return float(f"1e{math.floor(math.log10(size))}")


def reading_value(row: Reading) -> ReadingValue:
    """Return a kept reading as metrology knows it."""
    return ReadingValue(
        id=str(row.pk),
        place=Place(characteristic=row.key, position=row.position),
        quantity=parse(row.text, row.unit),
        instrument=instrument_key(row),
        reader=str(row.by_id),
        when=row.done_at,
    )


def instrument_key(row: Reading) -> str:
    """Return the id of the reading's instrument; of one that was not named, its digits."""
    if row.instrument_id is not None:
        return str(row.instrument_id)
    typed = parse(row.text, row.unit)
    return f"not named, read to {show(typed.resolution, typed.unit)}"


def bench_of(rows: Sequence[Reading], unit: str) -> Bench:
    """Return the instruments of some readings, each with those it was set in."""
    known: dict[str, InstrumentValue] = {}
    every = {row.pk: row for row in Instrument.objects.all()}
    for row in rows:
        if row.instrument_id is None:
            typed = parse(row.text, row.unit)
            known[instrument_key(row)] = InstrumentValue(
                id=instrument_key(row),
                name="an instrument that was not named",
                unit=typed.unit,
                resolution=typed.resolution,
                repeat_u=0.0,
            )
            continue
        link: Instrument | None = every[row.instrument_id]
        while link is not None and str(link.pk) not in known:
            known[str(link.pk)] = instrument_value(link)
            link = every[link.set_in_id] if link.set_in_id is not None else None
    return Bench(instruments=known, unit=unit)


def instrument_value(row: Instrument) -> InstrumentValue:
    """Return an instrument as metrology knows it; its texts were checked when typed."""
    resolution = parse(row.resolution)

    def u(text: str) -> float:
        """A standard uncertainty in the instrument's unit; a difference, so no offset."""
        if not text:
            return 0.0
        typed = parse(text, resolution.unit)
        return convert(typed.value, typed.unit, resolution.unit) - convert(
            0.0, typed.unit, resolution.unit
        )

    return InstrumentValue(
        id=str(row.pk),
        name=row.name,
        unit=resolution.unit,
        resolution=resolution.value,
        repeat_u=u(row.u_repeat),
        zero_u=u(row.u_zero),
        calibration_u=u(row.u_calibration),
        set_in=None if row.set_in_id is None else str(row.set_in_id),
    )


def shop_rule() -> dict[str, float]:
    """Return from which chance on this shop says within, and up to which it says outside."""
    shop = Shop.objects.filter(pk=1).first()
    return {} if shop is None else {"within_from": shop.within_at, "outside_to": shop.outside_at}
