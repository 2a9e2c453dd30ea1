"""What the Fit screen shows of a job, put together from its record. No verdict is made here."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString

from witnessmark.fitting.assembly import Characteristic
from witnessmark.fitting.report import FitRow, uncertainty_in_words
from witnessmark.fitting.turned_bushes import HoleRow
from witnessmark.metrology import Judgement, Verdict, chance_in_words
from witnessmark.papers.block import BlockLine, block_svg, block_table
from witnessmark.papers.gauge import Axis, axis_for, axis_svg, gauge_svg, gauge_table
from witnessmark.papers.oil_clock import HoleLine, hole_words, oil_clock_svg, oil_clock_table
from witnessmark.quantities import convert, parse, show
from witnessmark.record.core import JobRecord
from witnessmark.record.fits import JobFit, shown_hole, shown_size
from witnessmark.record.models import Reading, Step
from witnessmark.record.verdicts import Shown
from witnessmark.shop.models import Instrument, Shop
from witnessmark.web.drawn import drawn
from witnessmark.web.job_facts import earlier

_WORST_FIRST = (Verdict.OUTSIDE, Verdict.TOO_CLOSE, Verdict.WITHIN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What was read at one place: its mean, how often, and what was corrected."""

    head: str
    text: str = ""
    count: int = 0
    before: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One position of a size table; without `word` it is not read yet."""

    position: str
    title: str
    cells: tuple[Cell, ...]
    number: str = ""
    plus_minus: str = ""
    bar: str = ""  # a drawing, safe to print
    chance: str = ""
    word: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeTable:
    """One judged characteristic with all its positions."""

    title: str
    under: str
    heads: tuple[str, ...]
    size_head: str
    axis: str  # a drawing, safe to print
    lines: tuple[Line, ...]
    budget: str
    rule: str
    advice: tuple[tuple[str, str], ...]  # what it is about, what to do


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleFacts:
    """The oil hole of one bush, and the way to the others."""

    hole: HoleRow
    drawing: SafeString
    words: str
    word: str
    table: tuple[HoleLine, ...]
    others: tuple[tuple[str, bool], ...]  # position, whether it is the one shown


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockFacts:
    """The block from the side, wide and for a phone."""

    wide: SafeString
    narrow: SafeString
    table: tuple[BlockLine, ...]


def fit_step(record: JobRecord, found: JobFit, asked: str) -> Step | None:
    """Return the step that the next reading belongs to.

    The one asked for; else the first that is not finished; else the last that was read in.
    """
    work = [step for step in record.steps if step.kind != "find"]
    by_position = [step for step in work if str(step.position) == asked]
    unfinished = [step for step in work if not record.is_finished(step)]
    read_in = {row.step_id for row in found.rows}
    last = [step for step in reversed(work) if step.pk in read_in]
    return next(iter([*by_position, *unfinished, *last, *work]), None)


def size_tables(found: JobFit, record: JobRecord, shop: Shop) -> list[SizeTable]:
    """Return a table for each judged characteristic."""
    return [
        _size_table(found, characteristic, record, shop)
        for characteristic in found.assembly.judged()
    ]


def hole_facts(found: JobFit, record: JobRecord, asked: str) -> HoleFacts | None:
    """Return the oil hole of the bush asked for, else of the one that needs it most."""
    holes = found.report.holes
    if not holes:
        return None
    worst = min(holes, key=lambda hole: (_WORST_FIRST.index(hole.judgement.verdict), hole.share))
    hole = next((one for one in holes if one.position == asked), worst)
    feed = min(
        hole.bearing.feeds, key=lambda one: one.open_at(hole.bearing.radius_mm, hole.turn_deg)
    )
    line = next(one for one in oil_clock_table(hole) if one.name == feed.name)
    stored = _stored(record, shown_hole(hole, found))
    return HoleFacts(
        hole=hole,
        drawing=drawn(oil_clock_svg(hole)),
        words=(
            f"Solid ring: drilling in the block, {line.drilling}. "
            f"Dashed ring: hole in the bush, {hole_words(feed.bush)}."
        ),
        word=stored.word,
        table=tuple(line for one in holes for line in oil_clock_table(one)),
        others=tuple((one.position, one is hole) for one in holes),
    )


def block_facts(found: JobFit) -> BlockFacts | None:
    """Return the block from the side, where the sheet describes bearings."""
    if not found.assembly.bearings:
        return None
    lying = found.report.lying
    return BlockFacts(
        wide=drawn(block_svg(found.assembly, lying)),
        narrow=drawn(block_svg(found.assembly, lying, is_narrow=True)),
        table=block_table(found.assembly, lying),
    )


def instruments_words(found: JobFit) -> str:
    """Say which instrument was set in which: it is why a zero may cancel."""
    known: dict[str, Instrument] = {
        row.instrument.name: row.instrument for row in found.rows if row.instrument is not None
    }
    return " ".join(
        f"{name[0].upper()}{name[1:]} set in the {one.set_in.name}."
        for name, one in known.items()
        if one.set_in is not None
    )


def places_to_read(found: JobFit) -> list[tuple[str, str, int]]:
    """Return every place: its address in the form, its name, how often it was read."""
    names = found.assembly.place_names()
    counts: dict[str, int] = {}
    for row in found.rows:
        place = f"{row.key}:{row.position}"
        counts[place] = counts.get(place, 0) + 1
    return [(str(place), name, counts.get(str(place), 0)) for place, name in names.items()]


def next_place(found: JobFit) -> str:
    """Return the place to read next: one not read yet, else one that would settle a verdict."""
    unread = [place for place, _, count in places_to_read(found) if not count]
    open_rows = [row for row in found.report.rows if row.judgement.verdict is Verdict.TOO_CLOSE]
    settling = [
        str(place) for row in open_rows for place in row.characteristic.weights(row.position)
    ]
    return next(iter([*unread, *settling]), "")


def with_names(sentence: str, rows: Sequence[Reading]) -> str:
    """Return a sentence with the readers' names where it has their ids."""
    for row in rows:
        sentence = sentence.replace(str(row.by_id), row.by.name)
    return sentence


def _size_table(
    found: JobFit, characteristic: Characteristic, record: JobRecord, shop: Shop
) -> SizeTable:
    assembly = found.assembly
    rows = {row.position: row for row in found.report.rows if row.characteristic is characteristic}
    stored = {position: _stored(record, shown_size(row)) for position, row in rows.items()}
    parts = [
        assembly.characteristic(place.characteristic)
        for place in characteristic.weights(assembly.positions[0])
    ]
    axis = axis_for(list(rows.values())) if rows else None
    limit = characteristic.limit
    assert limit is not None, "only what has a limit is judged"
    first = next(iter(rows.values()), None)
    return SizeTable(
        title=characteristic.title,
        under=f"limit {limit}, {limit.source}",
        heads=tuple(_head(part, found.rows) for part in parts),
        size_head=f"{characteristic.short.capitalize()}, {characteristic.unit}",
        axis=drawn(axis_svg(axis)) if axis else "",
        lines=tuple(
            _line(position, parts, rows.get(position), stored.get(position), found, record, axis)
            for position in assembly.positions
        ),
        budget=uncertainty_in_words(first, assembly) if first else "",
        rule=_rule_words(first, shop),
        advice=tuple(
            _parted(with_names(row.advice, found.rows)) for row in rows.values() if row.advice
        ),
    )


def _line(
    position: str,
    parts: Sequence[Characteristic],
    row: FitRow | None,
    stored: Shown | None,
    found: JobFit,
    record: JobRecord,
    axis: Axis | None,
) -> Line:
    cells = tuple(_cell(part, position, found, record) for part in parts)
    title = found.assembly.title(position)
    if row is None or stored is None or axis is None:
        return Line(position=position, title=title, cells=cells)
    said = Judgement(verdict=Verdict(stored.word), chance=row.judgement.chance)
    return Line(
        position=position,
        title=title,
        cells=cells,
        number=row.number(),
        plus_minus=row.plus_minus(),
        bar=drawn(gauge_svg(replace(row, judgement=said), axis)),
        chance=stored.chance,
        word=stored.word,
    )


def _cell(part: Characteristic, position: str, found: JobFit, record: JobRecord) -> Cell:
    rows = [row for row in found.rows if (row.key, row.position) == (part.key, position)]
    head = part.short.capitalize()
    if not rows:
        return Cell(head=head)
    before = tuple(old.shown for row in rows for old in earlier(record.readings, row))
    if len(rows) == 1:
        return Cell(head=head, text=_typed(rows[0], part), count=1, before=before)
    values = [_value(row, part) for row in rows]
    mean, step = sum(values) / len(values), _step(rows, part)
    return Cell(head=head, text=show(mean, "", step / 10), count=len(rows), before=before)


def _typed(row: Reading, part: Characteristic) -> str:
    """Return a single reading as typed; its unit only where it is not the column's."""
    return row.text if row.unit == part.unit else row.shown


def _value(row: Reading, part: Characteristic) -> float:
    return parse(row.text, row.unit).to(part.unit)


def _step(rows: Sequence[Reading], part: Characteristic) -> float:
    steps = [parse(row.text, row.unit) for row in rows]
    return max(abs(convert(one.resolution, one.unit, part.unit)) for one in steps)


def _head(part: Characteristic, rows: Sequence[Reading]) -> str:
    """Return the head of a column, with the reader where all are by one."""
    readers = {row.by.name for row in rows if row.key == part.key}
    who = f", {readers.pop()}" if len(readers) == 1 else ""
    return f"{part.short.capitalize()}{who}"


def _rule_words(row: FitRow | None, shop: Shop) -> str:
    within, outside = chance_in_words(shop.within_at), chance_in_words(shop.outside_at)
    text = f"Within from {within}, outside from {outside} down. Between: too close to call."
    if row is None:
        return text
    sure = gauge_table([row])[0].sure
    return f"{text} Dashed: where {within} lies, {sure}."


def _stored(record: JobRecord, now: Shown) -> Shown:
    """Return the verdict as it was stored, if it was made from these same readings."""
    for row in reversed(record.verdicts):
        same = (row.key, row.position) == (now.key, now.position)
        if same and row.is_standing and set(row.reading_ids) == set(now.reading_ids):
            return replace(now, word=row.word, chance=row.chance)
    return now


def _parted(sentence: str) -> tuple[str, str]:
    """Part "Bearing 3: read again." into what it is about and what to do."""
    about, colon, rest = sentence.partition(": ")
    return (about + colon.rstrip(), rest) if colon else ("", sentence)
