"""Readings of an assembly as a table that a spreadsheet writes."""

import csv
import io
from datetime import datetime

from witnessmark.errors import BenchError, Mistake, SheetError
from witnessmark.fitting.assembly import Assembly
from witnessmark.metrology import Place, Reading
from witnessmark.quantities import parse

COLUMNS = ("characteristic", "position", "reading", "instrument", "reader", "when")


def read_readings(text: str, name: str, assembly: Assembly) -> tuple[Reading, ...]:
    """Return the readings that a table holds.

    Parameters
    ----------
    text
        The table, values parted by commas or semicolons, with a head line.
    name
        Name of the table, for the sentences.
    assembly
        What was measured: its characteristics, positions and instruments.

    Returns
    -------
    tuple of Reading
        In the order of the table; the id of each names its line.

    Raises
    ------
    SheetError
        With every mistake and its line.

    Notes
    -----
    A reading with a decimal comma needs semicolons between the columns, or quotes.
    """
    lines = text.lstrip("\ufeff").splitlines()
    mark = ";" if lines and ";" in lines[0] else ","
    table = csv.reader(io.StringIO("\n".join(lines)), delimiter=mark, skipinitialspace=True)
    head = [cell.strip().lower() for cell in next(table, [])]
    needed = COLUMNS[:4]
    if not set(needed) <= set(head) or not set(head) <= set(COLUMNS):
        raise SheetError(
            name,
            [
                Mistake(
                    line=1,
                    found=f"The head line is “{', '.join(head)}”.",
                    needed=f"It must name {', '.join(needed)}, and may name reader and when.",
                    do="Copy the head line of the example.",
                )
            ],
        )
    readings: list[Reading] = []
    mistakes: list[Mistake] = []
    for cells in table:
        if not any(cell.strip() for cell in cells):
            continue
        line = table.line_num
        if len(cells) != len(head):
            mistakes.append(
                Mistake(
                    line=line,
                    found=f"There are {len(cells)} values under {len(head)} headings.",
                    needed="Each line needs one value for each heading.",
                    do="Put semicolons between the columns if readings have a comma.",
                )
            )
            continue
        row = {key: cell.strip() for key, cell in zip(head, cells, strict=True)}
        try:
            readings.append(_reading(row, line, assembly))
        except BenchError as error:
            mistakes.append(Mistake(line=line, found=error.found, needed=error.needed, do=error.do))
    if not readings and not mistakes:
        mistakes.append(
            Mistake(
                line=0,
                found="The table has no readings.",
                needed="Each line below the head line is one reading.",
                do="Enter what was read.",
            )
        )
    if mistakes:
        raise SheetError(name, mistakes)
    return tuple(readings)


def _reading(row: dict[str, str], line: int, assembly: Assembly) -> Reading:
    characteristic = assembly.characteristic(row["characteristic"])
    if characteristic.is_derived:
        raise BenchError(
            f"“{characteristic.key}” is computed from {characteristic.plus} and "
            f"{characteristic.minus}.",
            "Only what was read is entered.",
            "Enter those two instead.",
        )
    if row["position"] not in assembly.positions:
        raise BenchError(
            f"There is no {assembly.title(row['position']).lower()}.",
            f"{assembly.name} has {', '.join(assembly.positions)}.",
            f"Count from the {assembly.ends[0].lower()} and enter it again.",
        )
    known = [instrument.id for instrument in assembly.instruments]
    if row["instrument"] not in known:
        raise BenchError(
            f"The instrument is “{row['instrument']}”.",
            f"The sheet has {', '.join(known)}.",
            "Choose one of these, or add it to the sheet.",
        )
    when = row.get("when", "")
    try:
        at = datetime.fromisoformat(when) if when else None
    except ValueError:
        raise BenchError(
            f"“{when}” is not a date with a time.",
            "It is written as 2026-11-24 11:12.",
            "Write it so, or leave it empty.",
        ) from None
    return Reading(
        id=f"line {line}",
        place=Place(characteristic=characteristic.key, position=row["position"]),
        quantity=parse(row["reading"], characteristic.unit),
        instrument=row["instrument"],
        reader=row.get("reader", ""),
        when=at,
    )
