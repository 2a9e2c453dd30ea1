"""Acts on a job's own copies of sheets, and on the steps made from them."""

from uuid import UUID, uuid4

from witnessmark.errors import BenchError
from witnessmark.log.act import Act
from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.core import load
from witnessmark.record.library import read_sheet
from witnessmark.record.models import Job, PinnedSheet, Reading, Step
from witnessmark.record.steps_check import problems_of
from witnessmark.shop.models import LibraryItem
from witnessmark.work.step_json import step_to_json
from witnessmark.work.steps import Procedure, StepKind
from witnessmark.work.steps import Step as StepValue

FIND_MINUTES = 40


def pin_sheet(by: By, id: UUID, *, job: Job, item: LibraryItem) -> PinnedSheet:
    """Give the job its own copy of a sheet; one of the same kind is replaced and kept.

    A circuit on which something was read stays: there its letters are other points.
    """
    by.must_work_on(job)
    if item.kind not in {"circuit", "assembly"}:
        raise BenchError(
            f"{item.title} is a {item.get_kind_display()}.",
            "A job uses circuit sheets and assembly sheets.",
            "A procedure is chosen under Steps.",
        )
    asked = {"job": job.pk, "item": item.pk}
    with by.act("sheet pinned", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return PinnedSheet.objects.get(pk=id)
        must_be_open(job)
        if item.kind == "circuit":
            _must_not_be_read_on(job)
        return _pin(by, doing, job, item, id)


def start_find(by: By, id: UUID, *, job: Job, minutes: int = FIND_MINUTES) -> Step:
    """Make the step 'Find the cause', the first of every job that needs it."""
    by.must_work_on(job)
    asked = {"job": job.pk, "minutes": minutes}
    with by.act("find opened", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return Step.objects.get(pk=id)
        must_be_open(job)
        found = job.steps.filter(kind="find", dropped_at=None).first()
        if found is not None:
            raise BenchError(
                f"{job.shown_number} has its step 'Find the cause' already.",
                "A job has one.",
                "Open that step and go on there.",
            )
        value = StepValue(
            key="find-the-cause", title="Find the cause", minutes=minutes, kind=StepKind.FIND
        )
        _must_have_room_for_find(job)
        later = list(job.steps.filter(dropped_at=None).order_by("position"))
        for step in later:
            doing.change(step, dropped_at=doing.at)
        found = doing.add(_step(job, value, 1, doing, id=id))
        for position, step in enumerate(later, start=2):
            doing.add(_again(step, position, doing))
        doing.say(subject=found, dropped=[step.pk for step in later])
        return found


def why_no_find(job: Job) -> BenchError | None:
    """Return why Find can no longer be opened on a job that has none; None where it can."""
    try:
        must_be_open(job)
        _must_have_room_for_find(job)
    except BenchError as error:
        return error
    return None


def choose_procedure(by: By, id: UUID, *, job: Job, item: LibraryItem) -> list[Step]:
    """Pin a procedure and make its steps; steps of one chosen before are dropped and kept."""
    by.must_be_teacher("choose the procedure")
    if item.kind != "procedure":
        raise BenchError(
            f"{item.title} is a {item.get_kind_display()}.",
            "Steps are made from a procedure.",
            "Choose a procedure.",
        )
    procedure: Procedure = read_sheet("procedure", item.text, item.title)
    asked = {"job": job.pk, "item": item.pk}
    with by.act("procedure chosen", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return list(job.steps.filter(sheet_id=id).order_by("position"))
        must_be_open(job)
        _must_not_be_started(job)
        dropped = list(job.steps.filter(dropped_at=None).exclude(kind="find"))
        for step in dropped:
            doing.change(step, dropped_at=doing.at)
        sheet = _pin(by, doing, job, item, id)
        first = 1 + job.steps.filter(dropped_at=None).count()
        made = [
            doing.add(_step(job, value, position, doing, sheet=sheet))
            for position, value in enumerate(procedure.steps, start=first)
        ]
        doing.say(dropped=[step.pk for step in dropped], steps=len(made))
        return made


def start_work(by: By, id: UUID, *, job: Job) -> Job:
    """Open the work: the steps are checked first, and stand from then on."""
    by.must_be_teacher("start the work")
    with by.act("work opened", id, job=job, subject=job, asked={"job": job.pk}) as doing:
        if doing.is_repeated:
            return Job.objects.get(pk=job.pk)
        must_be_open(job)
        _must_not_be_started(job)
        record = load(job)
        if not any(step.kind != "find" for step in record.steps):
            raise BenchError(
                f"{job.shown_number} has no steps yet.",
                "Work is done step by step.",
                "Choose a procedure first.",
            )
        problems = problems_of(record)
        if problems:
            first = problems[0]
            more = f" And {len(problems) - 1} more." if len(problems) > 1 else ""
            raise BenchError(
                f"{first.sentence}{more}",
                "Work opens when the steps hold together.",
                f"Mend step {first.number} of the procedure and choose it again.",
            )
        return doing.change(job, work_started_at=doing.at)


def _pin(by: By, doing: Act, job: Job, item: LibraryItem, id: UUID) -> PinnedSheet:
    last = (
        PinnedSheet.objects.filter(job=job, kind=item.kind, replaced_by=None).order_by("at").last()
    )
    return doing.add(
        PinnedSheet(
            id=id,
            job=job,
            kind=item.kind,
            title=item.title,
            text=item.text,
            digest=item.digest,
            item=item,
            by=by.person,
            at=doing.at,
            replaces=last,
        )
    )


def _step(
    job: Job,
    value: StepValue,
    position: int,
    doing: Act,
    *,
    sheet: PinnedSheet | None = None,
    id: UUID | None = None,
) -> Step:
    return Step(
        id=id or uuid4(),
        job=job,
        sheet=sheet,
        position=position,
        key=value.key,
        title=value.title,
        kind=value.kind.value,
        spec=step_to_json(value),
        made_at=doing.at,
    )


def _again(step: Step, position: int, doing: Act) -> Step:
    return Step(
        job=step.job,
        sheet=step.sheet,
        position=position,
        key=step.key,
        title=step.title,
        kind=step.kind,
        spec=step.spec,
        made_at=doing.at,
    )


def _must_not_be_read_on(job: Job) -> None:
    """Refuse another circuit sheet once something is read on the one that stands."""
    circuits = PinnedSheet.objects.filter(job=job, kind="circuit", replaced_by=None)
    of_find = Reading.objects.filter(job=job, step__kind="find", replaced_by=None)
    if circuits.exists() and of_find.filter(step__dropped_at=None).exists():
        raise BenchError(
            "Readings are kept on this circuit already.",
            "On another sheet the same letters are other points.",
            "Go on with this sheet.",
        )


def _must_have_room_for_find(job: Job) -> None:
    """Refuse to put a first step before others that are being worked on."""
    if job.steps.filter(dropped_at=None).exists():
        _must_not_be_started(job)


def _must_not_be_started(job: Job) -> None:
    if Job.objects.filter(pk=job.pk, work_started_at__isnull=False).exists():
        raise BenchError(
            f"Work on {job.shown_number} has begun.",
            "From then on its steps stand as they are.",
            "Write what is different into a note on the step.",
        )
