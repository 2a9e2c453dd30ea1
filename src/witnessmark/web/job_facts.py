"""What the Work stage shows of a job, put together from its record. No verdict is made here."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils import timezone

from witnessmark.log.models import Entry
from witnessmark.people.models import Person
from witnessmark.record.circuits import test_words
from witnessmark.record.core import JobRecord
from witnessmark.record.fits import assembly_of
from witnessmark.record.models import (
    Crew,
    Mark,
    Photo,
    PlannedSitting,
    Reading,
    Step,
    StoredVerdict,
)
from witnessmark.record.names import names_for
from witnessmark.web import places
from witnessmark.web.job_head import listed
from witnessmark.work.changes import Change, changes
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Step as StepValue

READS_SHOWN = 6  # in one join


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One thing that was read, or is to be read: its standing reading and what it replaced."""

    key: str
    position: str
    name: str
    unit: str
    limit: str
    source: str
    instrument: str
    phase: str
    reading: Reading | None = None
    before: tuple[Reading, ...] = ()
    verdict: StoredVerdict | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """One step of the Work stage: what was asked, its mark, what proves it."""

    step: Step
    spec: StepValue
    state: str
    who: str
    mark: Mark | None
    changed: tuple[tuple[Change, str], ...]  # each change with its sentence
    digest_now: str
    called_at: datetime | None
    told_at: datetime | None
    reads: tuple[Read, ...]
    off: tuple[Any, ...]
    photo: Photo | None
    missing: tuple[str, ...]
    is_started: bool
    is_finished: bool
    finished_at: datetime | None
    url: str

    @property
    def is_broken(self) -> bool:
        return self.state == MarkState.BROKEN

    @property
    def is_open_hold(self) -> bool:
        """Return whether the step waits for the teacher, the first time or again."""
        return self.state in (MarkState.HOLD, MarkState.CALLED, MarkState.BROKEN)

    @property
    def needs(self) -> str:
        """Return what is still to be entered, in one line."""
        if self.is_finished or self.mark or not self.missing:
            return ""
        return "Needs " + "; ".join(self.missing)

    @property
    def read_so_far(self) -> tuple[Read, ...]:
        """Return what has been read."""
        return tuple(one for one in self.reads if one.reading is not None)

    @property
    def only_read(self) -> Read | None:
        """Return the reading of a step that has one: it is printed large."""
        return self.read_so_far[0] if len(self.read_so_far) == 1 else None

    @property
    def shown_reads(self) -> tuple[Read, ...]:
        """Return the readings that a join shows: after a break those that were corrected."""
        corrected = tuple(one for one in self.read_so_far if one.before)
        return (corrected if self.is_broken and corrected else self.read_so_far)[:READS_SHOWN]

    @property
    def reads_not_shown(self) -> int:
        """Return how many readings of the step are not in its join."""
        return len(self.read_so_far) - len(self.shown_reads)

    @property
    def places(self) -> str:
        """Return where the step's things lie: Bag 31, Bin B."""
        return ", ".join(sorted({row.place for row in self.off}))


def joins(record: JobRecord, with_find: bool = False) -> list[Join]:
    """Return the steps in order: those of the Work stage, for Find has a stage of its own."""
    names, given = names_in(record), crews(record)
    return [
        join(record, step, names, given.get(step.pk, []))
        for step in record.steps
        if with_find or step.kind != "find"
    ]


def join(record: JobRecord, step: Step, names: dict[str, str], crew: list[Person]) -> Join:
    """Return one step with its mark and evidence."""
    spec = record.spec(step)
    state = record.states[step.pk]
    rows = record.mark_rows(step.pk)
    calls = [row for row in record.of_step(record.calls, step) if row.what == "mark"]
    events = record.of_step(record.events, step)
    told = [row for row in events if row.what == "told"]
    finished = [row for row in events if row.what == "finished"]
    photos = [row for row in record.of_step(record.photos, step) if row.is_standing]
    changed, digest_now = (), ""
    if state is MarkState.BROKEN:
        changed, digest_now = what_changed(rows[-1], record.form(step), names, record.texts)
    return Join(
        step=step,
        spec=spec,
        state=state.value,
        who=listed(_who(record, step, crew)),
        mark=rows[-1] if rows else None,
        changed=changed,
        digest_now=digest_now,
        called_at=calls[-1].done_at if calls else None,
        told_at=told[-1].done_at if told else None,
        reads=tuple(reads(record, step)),
        off=tuple(row for row in record.of_step(record.lines, step) if row.is_standing),
        photo=photos[-1] if photos else None,
        missing=record.missing(step),
        is_started=record.is_started(step),
        is_finished=record.is_finished(step),
        finished_at=finished[-1].done_at if finished else None,
        url=places.step(record.job.number, step.position),
    )


def reads(record: JobRecord, step: Step) -> Iterable[Read]:
    """Return what the step asks to be read, in order, and anything read besides."""
    spec = record.spec(step)
    rows = record.of_step(record.readings, step)
    verdicts = [row for row in record.of_step(record.verdicts, step) if row.is_standing]
    asked = [(one, position) for one in spec.measurements for position in one.places]
    for one, position in asked:
        standing = [
            row
            for row in rows
            if (row.key, row.position) == (one.key, position) and row.is_standing
        ]
        judged = [row for row in verdicts if (row.key, row.position) == (one.key, position)]
        last = standing[-1] if standing else None
        yield Read(
            key=one.key,
            position=position,
            name=one.named(position),
            unit=one.unit,
            limit=one.limit_text,
            source=one.source,
            instrument=one.instrument,
            phase=one.phase.value,
            reading=last,
            before=earlier(rows, last),
            verdict=judged[-1] if judged else None,
        )
    known = {(one.key, position) for one, position in asked}
    besides = [row for row in rows if row.is_standing and (row.key, row.position) not in known]
    if besides:
        names = _names_of(record, besides)
        for row in besides:
            yield Read(
                key=row.key,
                position=row.position,
                name=names[_where(row)],
                unit=row.unit,
                limit="",
                source="",
                instrument="",
                phase=row.phase,
                reading=row,
                before=earlier(rows, row),
            )


def _where(row: Reading) -> str:
    """Return where a reading was taken, as the log writes it down."""
    return f"{row.key} {row.position}".strip()


def _names_of(record: JobRecord, rows: Iterable[Reading]) -> dict[str, str]:
    """Return what people call each place of the assembly and each test of the circuit."""
    circuit = record.sheet("circuit")
    names = {
        _where(row): row.what if row.is_look else test_words(circuit, _where(row)) for row in rows
    }
    assembly = assembly_of(record.job) if record.sheet("assembly") is not None else None
    if assembly is not None:
        for place, words in assembly.place_names().items():
            names[f"{place.characteristic} {place.position}"] = words
    return names


def earlier(rows: list[Reading], last: Reading | None) -> tuple[Reading, ...]:
    """Return the readings that a standing one replaced, the newest first."""
    by_id = {row.pk: row for row in rows}
    found: list[Reading] = []
    while last is not None and last.replaces_id in by_id:
        last = by_id[last.replaces_id]
        found.append(last)
    return tuple(found)


def what_changed(
    mark: Mark, now: dict[str, Any], names: dict[str, str], texts: dict[str, str]
) -> tuple[tuple[tuple[Change, str], ...], str]:
    """Return each change since a mark with its sentence, and the digest as it is now."""
    from witnessmark.work.digest import digest

    found = changes(
        json.loads(mark.form), now, zone=timezone.get_current_timezone(), seen_at=mark.done_at
    )
    return said_of(found, names, texts), digest(now)


def said_of(
    found: Iterable[Change], names: dict[str, str], texts: dict[str, str]
) -> tuple[tuple[Change, str], ...]:
    """Return changes with the names and the typed texts in them, each with its sentence."""
    filled = [one.filled(texts, names.get(one.who, "someone")) for one in found]
    return tuple((one, one.sentence) for one in filled)


def names_in(record: JobRecord) -> dict[str, str]:
    """Return the names of everyone who gave evidence on the job, by id."""
    rows = [*record.readings, *record.photos, *record.notes, *record.lines, *record.movements]
    rows += [*record.events, *record.calls, *record.marks, *record.causes]
    return {str(row.by_id): row.by.name for row in rows}


def names_in_log(record: JobRecord, entries: list[Entry]) -> dict[str, str]:
    """Return the names that the log's sentences need, and what the job's sheets call a place."""
    return _names_of(record, record.readings) | names_for(entries)


def planned_finish(record: JobRecord) -> datetime | None:
    """Return when the published plan has the job done; none before its repair is chosen."""
    if all(step.kind == "find" for step in record.steps):
        return None
    last = (
        PlannedSitting.objects.filter(job=record.job, plan__published_at__isnull=False)
        .order_by("-plan__version", "-end")
        .first()
    )
    return last.end if last else None


def crews(record: JobRecord) -> dict[Any, list[Person]]:
    """Return who is given to each step, by name."""
    given: dict[Any, list[Person]] = {}
    rows = Crew.objects.filter(job=record.job, until=None).exclude(step=None)
    for row in rows.select_related("person").order_by("person__name"):
        given.setdefault(row.step_id, []).append(row.person)
    return given


def _who(record: JobRecord, step: Step, crew: list[Person]) -> list[Person]:
    """Return who is on a step, by name: given to it or at work; once finished, who did it."""
    events = [row for row in record.of_step(record.events, step) if row.what != "not yet"]
    worked = {row.by_id: row.by for row in (*events, *record.of_step(record.readings, step))}
    given = {} if worked and record.is_finished(step) else {one.pk: one for one in crew}
    return sorted((worked | given).values(), key=lambda one: one.name)
