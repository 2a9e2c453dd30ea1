"""The fit of a job: its assembly sheet, judged by the readings that stand."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from uuid import UUID

from witnessmark.fitting.assembly import Assembly
from witnessmark.fitting.report import FitReport, FitRow, judge_fit
from witnessmark.fitting.turned_bushes import HoleRow
from witnessmark.metrology import chance_in_words
from witnessmark.quantities import show
from witnessmark.record.models import Job, PinnedSheet, Reading
from witnessmark.record.verdicts import Shown, bench_of, reading_value, shop_rule
from witnessmark.sheets.assembly import read_assembly


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFit:
    """What the readings of a job say about its assembly, and the rows they come from."""

    assembly: Assembly
    report: FitReport
    rows: tuple[Reading, ...]


def assembly_of(job: Job) -> Assembly | None:
    """Return the assembly of the job's own sheet, if it has one."""
    sheet = (
        PinnedSheet.objects.filter(job=job, kind="assembly", replaced_by=None).order_by("at").last()
    )
    return None if sheet is None else _read(sheet.text, sheet.title)


def fit_of(assembly: Assembly, readings: Sequence[Reading]) -> JobFit:
    """Judge an assembly by those of a job's readings that are of it and stand.

    Where a place was read as left, its as-found readings no longer count.
    """
    keys = {one.key for one in assembly.characteristics if not one.is_derived}
    rows = [
        row
        for row in readings
        if row.key in keys
        and row.position in assembly.positions
        and not row.word
        and row.is_standing
    ]
    left = {(row.key, row.position) for row in rows if row.phase == "as left"}
    rows = [row for row in rows if row.phase == "as left" or (row.key, row.position) not in left]
    bench = bench_of(rows, "mm")
    report = judge_fit(
        replace(assembly, instruments=tuple(bench.instruments.values())),
        [reading_value(row) for row in rows],
        **shop_rule(),
    )
    return JobFit(assembly=assembly, report=report, rows=tuple(rows))


def derived_verdicts(reading: Reading) -> tuple[Shown, ...]:
    """Return the verdicts on whatever the assembly sheet derives from a reading just kept."""
    assembly = assembly_of(reading.job)
    if assembly is None or reading.position not in assembly.positions:
        return ()
    if reading.key not in {one.key for one in assembly.characteristics}:
        return ()
    rows = Reading.objects.filter(job_id=reading.job_id, replaced_by=None)
    found = fit_of(assembly, list(rows.select_related("instrument", "replaced_by")))
    sizes = [
        shown_size(row)
        for row in found.report.rows
        if row.position == reading.position
        and reading.key in {place.characteristic for place in row.characteristic.weights("")}
    ]
    holes = [
        shown_hole(hole, found)
        for hole in found.report.holes
        if hole.position == reading.position and reading.key == _turn_key(assembly)
    ]
    return (*sizes, *holes)


def shown_size(row: FitRow) -> Shown:
    """Return the verdict on a judged characteristic as the page shows it."""
    unit = row.estimate.unit
    return Shown(
        reading_ids=tuple(UUID(reading.id) for reading in row.readings),
        value=f"{row.number()} {unit}",
        expanded=f"± {row.plus_minus()} {unit}",
        limit=str(row.limit),
        source=row.limit.source,
        chance=row.chance(),
        word=row.judgement.verdict.value,
        key=row.characteristic.key,
        position=row.position,
    )


def shown_hole(hole: HoleRow, found: JobFit) -> Shown:
    """Return the verdict on the oil holes of a bush, by its turn, as the page shows it."""
    rule = found.assembly.oil_holes
    assert rule is not None, "oil holes judged without their rule"
    ids = [row.pk for row in found.rows if (row.key, row.position) == (rule.turn, hole.position)]
    return Shown(
        reading_ids=tuple(ids),
        value=show(hole.turn_deg, "°", 0.5),
        expanded=f"± {show(2 * hole.u_deg, '°', 0.5)}",
        limit=f"at least {100 * rule.share:.0f}% open",
        source=rule.source,
        chance=chance_in_words(hole.judgement.chance),
        word=hole.judgement.verdict.value,
        key=rule.turn,
        position=hole.position,
    )


def _turn_key(assembly: Assembly) -> str:
    return "" if assembly.oil_holes is None else assembly.oil_holes.turn


@lru_cache(maxsize=50)  # a job's own copy never changes, and a value can be shared
def _read(text: str, name: str) -> Assembly:
    return read_assembly(text, name)
