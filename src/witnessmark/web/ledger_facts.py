"""What pages show of a ledger: lines with their old words, movements and what became of them."""

from collections.abc import Iterable
from dataclasses import dataclass

from witnessmark.record.core import JobRecord
from witnessmark.record.models import LedgerLine, Movement, Step
from witnessmark.web.job_facts import earlier
from witnessmark.work.ledger import TAKEN_BACK, LineBalance


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One movement, and the entry that took it back."""

    row: Movement
    taken: Movement | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the ledger: as it stands, as it was before, what closed it."""

    entry: LineBalance
    line: LedgerLine
    before: tuple[LedgerLine, ...]
    step: Step | None
    moved: tuple[Moved, ...]
    put_right: Step | None  # the step on which it is put back, if it is known

    @property
    def state(self) -> str:
        """Return the seam between the two halves: an ink bar where the line is closed."""
        return "passed" if self.entry.is_closed else "none"


def rows(record: JobRecord) -> list[Row]:
    """Return every line, still off first, in the order in which things came off."""
    lines = {str(row.pk): row for row in record.lines}
    steps = {step.pk: step for step in record.steps}
    found = []
    for entry in record.balance.lines:
        line = lines[entry.line.id]
        before = earlier(record.lines, line)
        ids = {line.pk, *(row.pk for row in before)}
        mine = [row for row in record.movements if row.line_id in ids]
        found.append(
            Row(
                entry=entry,
                line=line,
                before=before,
                step=steps.get(line.step_id),
                moved=tuple(movements(mine)),
                put_right=_put_right(record, line),
            )
        )
    return found


def _put_right(record: JobRecord, line: LedgerLine) -> Step | None:
    """Return the step that closes a line: the procedure's, else the one that is under way."""
    left = [step for step in record.steps if not record.is_finished(step)]
    closing = [
        step
        for step in left
        if line.key and any(item.key == line.key for item in record.spec(step).on)
    ]
    started = [step for step in left if record.is_started(step)]
    return next(iter([*closing, *reversed(started)]), None)


def movements(rows: Iterable[Movement]) -> Iterable[Moved]:
    """Give each movement with the entry that took it back, if there is one."""
    known = list(rows)
    taken = {row.replaces_id: row for row in known if row.kind == TAKEN_BACK}
    for row in known:
        if row.kind != TAKEN_BACK:
            yield Moved(row=row, taken=taken.get(row.pk))
