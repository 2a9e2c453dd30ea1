"""The stage on which the demo is played: people, places and the acts they do, in their order."""

import heapq
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from witnessmark.demo.photos import photo
from witnessmark.people.models import Device, Person, Section
from witnessmark.record.acts.by import By
from witnessmark.record.acts.evidence import keep_reading
from witnessmark.record.acts.handover import take_over
from witnessmark.record.acts.ledger import move, take_off
from witnessmark.record.acts.marks import mark_cause, mark_step, sign_release
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.steps import call_teacher, finish_step, start_step, tick_cautions
from witnessmark.record.core import load
from witnessmark.record.handover import handover_of
from witnessmark.record.models import Job, LedgerLine, Photo, Reading, Step
from witnessmark.shop import clock
from witnessmark.shop.models import Bay, Instrument, LibraryItem
from witnessmark.work import digest as forms

ZONE = ZoneInfo("Atlantic/Faroe")
YEAR = 2026
MONTHS = {"Nov": 11, "Dec": 12}
TEACHER_PIN = "4826"
Script = Iterator[str]  # each item is the time of what comes next: "17 Nov 10:45"


def moment(text: str) -> datetime:
    """Return the moment of "17 Nov 10:45" at Skerry Point."""
    day, month, time = text.split()
    hour, minute = time.split(":")
    local = datetime(YEAR, MONTHS[month], int(day), int(hour), int(minute), tzinfo=ZONE)
    return local.astimezone(UTC)


class Stage:
    """Who and what is there, by the names the scripts use; and short forms of the acts."""

    def __init__(self) -> None:
        self.people: dict[str, Person] = {}
        self.sections: dict[str, Section] = {}
        self.bays: dict[str, Bay] = {}
        self.instruments: dict[str, Instrument] = {}
        self.library: dict[str, LibraryItem] = {}
        self.devices: dict[str, Device] = {}
        self.pins: dict[str, str] = {}
        self._random = Random(20261124)  # noqa: S311 - ids of a demo, the same in every shop

    def play(self, *scripts: Script) -> datetime:
        """Play scripts side by side, each act at its own time; return the time of the last."""
        waiting: list[tuple[datetime, int, Script]] = []
        for number, script in enumerate(scripts):
            heapq.heappush(waiting, (moment(next(script)), number, script))
        last = waiting[0][0]
        while waiting:
            now, number, script = heapq.heappop(waiting)
            last = max(now, last + timedelta(seconds=1))
            with clock.at(last):
                following = next(script, None)
            if following is not None:
                heapq.heappush(waiting, (moment(following), number, script))
        return last

    def id(self) -> UUID:
        """Return a new id."""
        return UUID(int=self._random.getrandbits(128), version=4)

    def by(self, name: str, device: str = "") -> By:
        """Return someone as the one who acts."""
        return By(person=self.people[name], device=self.devices.get(device))

    @property
    def teacher(self) -> Person:
        """Return the teacher."""
        return self.people["R. Aldane"]

    def step(self, job: Job, key: str) -> Step:
        """Return a step of a job by its key."""
        return Step.objects.select_related("job").get(job=job, key=key, dropped_at=None)

    # what a crew does -----------------------------------------------------------------------

    def start(self, who: str, step: Step) -> None:
        """Tick the step's cautions and start it."""
        cautions = load(step.job).spec(step).cautions
        if cautions:
            tick_cautions(self.by(who), self.id(), step=step, cautions=cautions)
        start_step(self.by(who), self.id(), step=step)

    def finish(self, who: str, step: Step) -> None:
        """Finish a step."""
        finish_step(self.by(who), self.id(), step=step)

    def read(self, who: str, step: Step, key: str, text: str, **more: Any) -> Reading:
        """Keep a reading; `text` is typed with its unit, `with_` names the instrument."""
        number, _, unit = text.partition(" ")
        instrument = self.instruments[more.pop("with_")] if "with_" in more else None
        return keep_reading(
            self.by(who),
            self.id(),
            step=step,
            key=key,
            text=number,
            unit=unit,
            instrument=instrument,
            **more,
        )

    def picture(self, who: str, step: Step, subject: str, key: str = "") -> Photo:
        """Keep one of the drawn pictures as a photo."""
        return keep_photo(
            self.by(who), self.id(), step=step, content=photo(subject), key=key, caption=subject
        )

    def off(self, who: str, step: Step, key: str, place: str) -> LedgerLine:
        """Take off, or undo, what the step lists under a key."""
        item = next(one for one in load(step.job).spec(step).off if one.key == key)
        return take_off(
            self.by(who),
            self.id(),
            step=step,
            what=item.what,
            quantity=item.quantity,
            unit=item.unit,
            place=place,
            how=item.how.value,
            key=key,
        )

    def on(self, who: str, step: Step, *keys: str, old: str = "scrapped") -> None:
        """Close the ledger lines that the step lists under these keys."""
        for key in keys:
            item = next(one for one in load(step.job).spec(step).on if one.key == key)
            line = LedgerLine.objects.get(job=step.job, key=key, replaced_by=None)
            move(
                self.by(who),
                self.id(),
                line=line,
                kind=item.kind.value,
                old=old if item.kind.value == "new fitted" else "",
                step=step,
            )

    def take_over(self, who: str, job: Job) -> None:
        """Read the handover card at the vehicle, tick all of it, confirm it."""
        now = handover_of(load(job))
        take_over(
            self.by(who),
            self.id(),
            job=job,
            shown_digest=now.digest,
            looked_at=[check.key for check in now.card.checks],
            pin=self.pins[who],
        )

    def call(self, who: str, step: Step) -> None:
        """Call the teacher to mark a step."""
        call_teacher(self.by(who), self.id(), job=step.job, what="mark", step=step)

    def mark(self, step: Step, accepted: str = "") -> None:
        """Let the teacher look at a step and mark it."""
        shown = forms.digest(load(step.job).form(step))
        mark_step(
            By(person=self.teacher),
            self.id(),
            step=step,
            shown_digest=shown,
            teacher=self.teacher,
            pin=TEACHER_PIN,
            accepted=accepted,
        )

    def mark_cause(self, job: Job) -> None:
        """Let the teacher look at the proof of the cause and mark it."""
        record = load(job)
        assert record.cause is not None, "no cause to mark"
        mark_cause(
            By(person=self.teacher),
            self.id(),
            cause=record.cause,
            shown_digest=forms.digest(record.cause_form(record.cause)),
            teacher=self.teacher,
            pin=TEACHER_PIN,
        )

    def release(self, job: Job, kind: str) -> None:
        """Let the teacher sign a release."""
        sign_release(
            By(person=self.teacher),
            self.id(),
            job=job,
            kind=kind,
            shown_digest=forms.digest(load(job).release_form(kind)),
            teacher=self.teacher,
            pin=TEACHER_PIN,
        )


Play = Callable[[Stage], Script]
