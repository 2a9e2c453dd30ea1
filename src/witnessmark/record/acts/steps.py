"""Acts of a crew on a step: crew, cautions, start, finish, calling and telling the teacher."""

from collections.abc import Sequence
from uuid import UUID, uuid4

from witnessmark.errors import BenchError
from witnessmark.log.act import Act
from witnessmark.people import permits
from witnessmark.people.models import Person
from witnessmark.record.acts.by import By, NotAllowed
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.core import JobRecord, load
from witnessmark.record.models import Call, Cause, Crew, Job, Note, Step, StepEvent
from witnessmark.record.specs import spec_of
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Hold


def assign_crew(
    by: By, id: UUID, *, job: Job, people: Sequence[Person], step: Step | None = None
) -> list[Crew]:
    """Put a crew on a job, or on one of its steps; who is not named is off it from now on."""
    by.must_be_teacher("put a crew on a job")
    wanted = {person.pk: person for person in people}
    asked = {"job": job.pk, "step": step, "people": sorted(str(pk) for pk in wanted)}
    with by.act("crew set", id, job=job, subject=step or job, asked=asked) as doing:
        standing = list(Crew.objects.filter(job=job, step=step, until=None))
        if doing.is_repeated:
            return standing
        must_be_open(job)
        if step is not None:
            for person in people:
                _must_have_permits(person, step)
        for row in standing:
            if row.person_id not in wanted:
                doing.change(row, until=doing.at)
        there = {row.person_id for row in standing}
        for pk, person in wanted.items():
            if pk not in there:
                doing.add(Crew(job=job, step=step, person=person, since=doing.at))
        doing.say(people=asked["people"])
        return list(Crew.objects.filter(job=job, step=step, until=None))


def tick_cautions(by: By, id: UUID, *, step: Step, cautions: Sequence[str]) -> list[StepEvent]:
    """Tick the cautions that were read, before the step starts."""
    by.must_work_on(step.job)
    known = spec_of(step).cautions
    unknown = [caution for caution in cautions if caution not in known]
    if unknown:
        raise BenchError(
            f"Step {step.position} has no caution {unknown[0]}.",
            "Only what is shown can be ticked.",
            "Open the step again.",
        )
    asked = {"step": step.pk, "cautions": sorted(cautions)}
    with by.act("cautions ticked", id, job=step.job, subject=step, asked=asked) as doing:
        if not doing.is_repeated:
            must_be_open(step.job)
            done = set(step.events.filter(what="ticked").values_list("detail", flat=True))
            for caution in cautions:
                if caution not in done:
                    _event(by, doing, step, "ticked", detail=caution)
            doing.say(cautions=list(cautions))
        return list(step.events.filter(what="ticked"))


def start_step(by: By, id: UUID, *, step: Step) -> StepEvent:
    """Start a step: cautions ticked, holds before it marked, permits there."""
    by.must_work_on(step.job)
    with by.act("step started", id, job=step.job, subject=step, asked={"step": step.pk}) as doing:
        if doing.is_repeated:
            return StepEvent.objects.get(pk=id)
        must_be_open(step.job)
        _must_stand(step)
        record = load(step.job)
        if record.is_started(step):
            raise BenchError(
                f"Step {step.position} was started already.",
                "A step starts once.",
                "Go on with it, or call the teacher.",
            )
        if step.kind != "find" and step.job.work_started_at is None:
            raise BenchError(
                f"Work on {step.job.shown_number} is not open yet.",
                "The teacher opens it when the steps are checked.",
                "Call the teacher.",
            )
        _must_be_ticked(record, step)
        _must_be_free(record, step)
        if by.person.is_learner:
            _must_have_permits(by.person, step)
        return _event(by, doing, step, "started", id=id)


def finish_step(by: By, id: UUID, *, step: Step) -> StepEvent:
    """Finish a step: everything it asks to be read and photographed is there."""
    by.must_work_on(step.job)
    with by.act("step finished", id, job=step.job, subject=step, asked={"step": step.pk}) as doing:
        if doing.is_repeated:
            return StepEvent.objects.get(pk=id)
        must_be_open(step.job)
        _must_stand(step)
        record = load(step.job)
        if not record.is_started(step):
            raise BenchError(
                f"Step {step.position} was not started.",
                "Its cautions come first.",
                "Read them, tick them, start the step.",
            )
        if any(e.what == "finished" for e in record.of_step(record.events, step)):
            raise BenchError(
                f"Step {step.position} is finished already.", "A step ends once.", "Go on."
            )
        must_be_complete(record, step)
        return _event(by, doing, step, "finished", id=id)


def call_teacher(
    by: By, id: UUID, *, job: Job, what: str = "help", step: Step | None = None
) -> Call:
    """Call the teacher: to mark a step or the cause, or for help at any time."""
    by.must_work_on(job)
    asked = {"job": job.pk, "step": step, "what": what}
    with by.act("teacher called", id, job=job, subject=step or job, asked=asked) as doing:
        if doing.is_repeated:
            return Call.objects.get(pk=id)
        must_be_open(job)
        if what not in {"help", "mark", "cause"} or (what == "mark" and step is None):
            raise BenchError(
                f"A call '{what}'.",
                "The teacher is called to mark a step or the cause, or for help.",
                "Choose one of them.",
            )
        if what == "mark" and step is not None:
            must_be_complete(load(job), step)
        if what == "cause" and not Cause.objects.filter(job=job, replaced_by=None).exists():
            raise BenchError(
                "No cause is named yet.", "The teacher marks a cause that is named.", "Name it."
            )
        doing.say(what=what)
        return doing.add(Call(id=id, job=job, step=step, what=what, **by.entry(doing)))


def tell_teacher(by: By, id: UUID, *, step: Step) -> StepEvent:
    """Tell the teacher at a witness point: work may go on, and the notice is on record."""
    by.must_work_on(step.job)
    if spec_of(step).hold is not Hold.WITNESS:
        raise BenchError(
            f"Step {step.position} is no witness point.",
            "Only there is the teacher told while work goes on.",
            "Call the teacher instead.",
        )
    with by.act("teacher told", id, job=step.job, subject=step, asked={"step": step.pk}) as doing:
        if doing.is_repeated:
            return StepEvent.objects.get(pk=id)
        must_be_open(step.job)
        return _event(by, doing, step, "told", id=id)


def not_yet(by: By, id: UUID, *, step: Step, words: str) -> StepEvent:
    """Answer a call without a mark: the teacher says what is missing."""
    by.must_be_teacher("say what is missing")
    if not words.strip():
        raise BenchError(
            "Nothing is said.", "The crew must know what is missing.", "Write it in a few words."
        )
    asked = {"step": step.pk, "words": words}
    with by.act("not marked yet", id, job=step.job, subject=step, asked=asked) as doing:
        if doing.is_repeated:
            return StepEvent.objects.get(pk=id)
        must_be_open(step.job)
        doing.add(
            Note(
                id=uuid4(),
                job=step.job,
                step=step,
                words_aside=doing.words("note", words),
                **by.entry(doing),
            )
        )
        return _event(by, doing, step, "not yet", id=id)


def must_be_begun(step: Step) -> None:
    """Refuse evidence on a step that was not started: its cautions and holds come first."""
    if step.kind != "find" and not StepEvent.objects.filter(step=step, what="started").exists():
        raise BenchError(
            f"Step {step.position} was not started.",
            "Its cautions are read first, and what it waits for is done.",
            "Open the step, tick its cautions and start it.",
        )


def must_be_complete(record: JobRecord, step: Step) -> None:
    """Refuse while a reading or photo that the step asks for is missing."""
    missing = record.missing(step)
    if not missing:
        return
    more = f" and {len(missing) - 2} more" if len(missing) > 2 else ""
    raise BenchError(
        f"Step {step.position} still lacks {' and '.join(missing[:2])}{more}.",
        "The teacher marks what is there to be seen.",
        "Enter what is missing, or call for help.",
    )


def blocking(record: JobRecord, step: Step) -> list[Step]:
    """Return the steps that must be done, and at a hold marked, before this one starts."""
    needed = set(record.spec(step).needs)
    return [other for other in record.steps if other.key in needed and _blocks(record, other)]


def warnings(record: JobRecord, step: Step) -> list[Step]:
    """Return the holds before this step whose mark broke later: they warn and do not stop."""
    needed = set(record.spec(step).needs)
    return [
        other
        for other in record.steps
        if other.key in needed and record.states[other.pk] is MarkState.BROKEN
    ]


def _blocks(record: JobRecord, other: Step) -> bool:
    if record.spec(other).hold is Hold.HOLD:
        return record.states[other.pk] in (MarkState.HOLD, MarkState.CALLED)
    return not record.is_finished(other)


def _must_be_free(record: JobRecord, step: Step) -> None:
    for other in blocking(record, step):
        if record.spec(other).hold is Hold.HOLD:
            raise BenchError(
                f"Step {other.position}, {other.title}, is not marked.",
                f"It is a hold point: step {step.position} waits for the teacher's mark.",
                "Call the teacher to step " + str(other.position) + ".",
            )
        raise BenchError(
            f"Step {other.position}, {other.title}, is not finished.",
            f"Step {step.position} needs it.",
            f"Finish step {other.position} first.",
        )


def _must_be_ticked(record: JobRecord, step: Step) -> None:
    left = [c for c in record.spec(step).cautions if c not in record.ticked(step)]
    if left:
        raise BenchError(
            f"{len(left)} caution{'s are' if len(left) > 1 else ' is'} not ticked.",
            "Each is read before the step starts.",
            "Read and tick it.",
        )


def _must_have_permits(person: Person, step: Step) -> None:
    for kind in spec_of(step).permits:
        if person.is_learner and permits.level(person.pk, kind) == "none":
            raise NotAllowed(
                f"A permit is missing: {permits.KINDS.get(kind, kind)}.",
                f"Step {step.position} needs it from everyone on it.",
                "A teacher gives it under People.",
            )


def _must_stand(step: Step) -> None:
    if Step.objects.filter(pk=step.pk, dropped_at__isnull=False).exists():
        raise BenchError(
            f"Step {step.position} was replaced by another procedure.",
            "Work is entered on the steps that stand.",
            "Open the job again.",
        )


def _event(
    by: By, doing: Act, step: Step, what: str, *, detail: str = "", id: UUID | None = None
) -> StepEvent:
    return doing.add(
        StepEvent(
            id=id or uuid4(),
            job_id=step.job_id,
            step=step,
            what=what,
            detail=detail,
            **by.entry(doing),
        )
    )
