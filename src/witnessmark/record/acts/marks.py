"""Acts of the teacher: mark a step, mark a cause, release the vehicle.

A mark is bound to the digest that was shown. If it no longer fits when the PIN arrives,
nothing is signed and the change is shown; the PIN is not used.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict
from uuid import UUID, uuid4

from witnessmark.errors import BenchError
from witnessmark.log.act import Act
from witnessmark.log.kept import json_text
from witnessmark.log.models import Entry
from witnessmark.people.models import Person
from witnessmark.people.sign_in import Result, check_pin
from witnessmark.record.acts.by import By, Conflict, NotAllowed
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.steps import must_be_complete
from witnessmark.record.core import JobRecord, load, release_subject
from witnessmark.record.gate import gate_of
from witnessmark.record.models import Cause, Job, Mark, Refusal, Release, Step
from witnessmark.shop import clock
from witnessmark.shop.periods import zone
from witnessmark.work import digest as forms
from witnessmark.work.changes import Change, changes
from witnessmark.work.marks import mark_state as state_of

MOST_LOOKS_BACK = 40  # entries that are taken away one by one to find what the page showed


class ChangedSinceShown(BenchError):  # noqa: N818 - reads as a sentence
    """Something changed between the teacher's look and the PIN: nothing was signed."""

    def __init__(self, changed: tuple[Change, ...], *, shown: str, now: str) -> None:
        super().__init__(
            "Something changed after this page was opened.",
            "A mark is bound to what was seen, so nothing was signed.",
            "Look at it again, then mark.",
        )
        self.changes, self.shown_digest, self.digest = changed, shown, now


def mark_step(
    by: By,
    id: UUID,
    *,
    step: Step,
    shown_digest: str,
    teacher: Person,
    pin: str,
    accepted: str = "",
) -> Mark:
    """Mark a step. `by` holds the device in hand; `teacher` signs with their own PIN.

    `accepted` is the written reason why 'too close to call' is accepted.
    """

    def ready(record: JobRecord) -> None:
        if step.pk not in {one.pk for one in record.steps}:
            raise BenchError(
                f"Step {step.position} was replaced.",
                "A mark is made on a step that stands.",
                "Open the job again.",
            )
        must_be_complete(record, step)

    return _sign(
        by,
        id,
        "step marked",
        job=step.job,
        subject=("step", step.pk),
        teacher=teacher,
        pin=pin,
        shown_digest=shown_digest,
        form_of=lambda record: record.form(step),
        ready=ready,
        worked=lambda record: teacher.pk in record.who_worked(step),
        accepted=accepted,
    )


def mark_cause(
    by: By, id: UUID, *, cause: Cause, shown_digest: str, teacher: Person, pin: str
) -> Mark:
    """Mark the cause: it is proved by what was read or seen."""

    def ready(record: JobRecord) -> None:
        if record.cause is None or record.cause.pk != cause.pk:
            raise Conflict(
                "Another cause was named in the meantime.",
                "The cause that stands is the one to mark.",
                "Open the job again.",
                theirs=record.cause,
                yours=cause,
            )

    return _sign(
        by,
        id,
        "cause marked",
        job=cause.job,
        subject=("cause", cause.pk),
        teacher=teacher,
        pin=pin,
        shown_digest=shown_digest,
        form_of=lambda record: record.cause_form(cause),
        ready=ready,
        worked=lambda record: teacher.pk == cause.by_id,
    )


def sign_release(
    by: By, id: UUID, *, job: Job, kind: str, shown_digest: str, teacher: Person, pin: str
) -> Release:
    """Release the vehicle for a road test, or to its owner; the gate must be open."""
    if kind not in dict(Release._meta.get_field("kind").choices):
        raise BenchError(
            f"A release of kind '{kind}'.", "It is for road test or to the owner.", "Choose one."
        )

    def ready(record: JobRecord) -> None:
        gate = gate_of(record, kind)
        if not gate.is_open:
            first = gate.reasons[0]
            more = len(gate.reasons) - 1
            raise BenchError(
                f"The gate is shut: {first.what}" + (f" And {more} more." if more else ""),
                "A vehicle leaves when nothing is left to mend.",
                f"{first.mend}.",
            )

    def also(doing: Act, record: JobRecord, mark: Mark) -> None:
        gate = gate_of(record, kind)
        doing.add(
            Release(
                id=id,
                job=job,
                kind=kind,
                mark=mark,
                gate_json=json_text(asdict(gate)),
                by=mark.by,
                device=mark.device,
                done_at=mark.done_at,
                received_at=mark.received_at,
            )
        )
        doing.say(kind=kind)
        if kind == "owner":
            doing.change(job, closed_at=doing.at)

    _sign(
        by,
        id,
        "released",
        job=job,
        subject=("release", release_subject(job, kind)),
        teacher=teacher,
        pin=pin,
        shown_digest=shown_digest,
        form_of=lambda record: record.release_form(kind),
        ready=ready,
        worked=lambda record: any(teacher.pk in record.who_worked(s) for s in record.steps),
        also=also,
    )
    return Release.objects.get(pk=id)


def _sign(
    by: By,
    id: UUID,
    verb: str,
    *,
    job: Job,
    subject: tuple[str, UUID],
    teacher: Person,
    pin: str,
    shown_digest: str,
    form_of: Callable[[JobRecord], forms.Form],
    ready: Callable[[JobRecord], None],
    worked: Callable[[JobRecord], bool],
    accepted: str = "",
    also: Callable[[Act, JobRecord, Mark], None] | None = None,
) -> Mark:
    kind, subject_id = subject
    what = {"step": "mark a step", "cause": "mark a cause", "release": "release a vehicle"}[kind]
    if not teacher.may_mark:
        log_refusal(by, job, what, subject_id)
        raise NotAllowed(
            "Only a teacher signs, with their own PIN.",
            "A learner or aide never marks.",
            "Call the teacher.",
        )
    if not Entry.objects.filter(id=id).exists():
        must_be_as_shown(job, form_of, shown_digest)
    answer = check_pin(teacher, pin, by.device, clock.now())
    if not answer.is_ok:
        if answer.result is Result.WRONG:
            log_refusal(by, job, f"{what}, wrong PIN", subject_id)
        wrong = answer.result is Result.WRONG
        raise NotAllowed(
            "That is not the PIN." if wrong else "Too many wrong PINs.",
            "Nothing was signed.",
            "Type your own PIN again." if wrong else answer.sentence,
        )
    signer = By(person=teacher, device=by.device)
    asked = {"subject": subject_id, "digest": shown_digest, "accepted": accepted}
    with signer.act(verb, id, job=job, subject=subject_id, asked=asked) as doing:
        if doing.is_repeated:
            return Mark.objects.get(subject_id=subject_id, received_at=doing.earlier.at)
        must_be_open(job)
        record = must_be_as_shown(job, form_of, shown_digest)
        ready(record)
        earlier = record.mark_rows(subject_id)
        if earlier and not accepted.strip():
            state = state_of(record.marks_on(subject_id), shown_digest)
            if state.is_seen and also is None:
                raise BenchError(
                    "This is marked already, and nothing changed since.",
                    "A mark is made once for what was seen.",
                    "Go on with the next step.",
                )
        form = forms.canonical(form_of(record))
        mark = doing.add(
            Mark(
                id=id if also is None else uuid4(),
                job=job,
                subject_kind=kind,
                subject_id=subject_id,
                digest=shown_digest,
                form=form,
                same_person=worked(record),
                accepted_aside=doing.words("accepted", accepted),
                replaces=earlier[-1] if earlier else None,
                **signer.entry(doing),
            )
        )
        doing.say(digest=shown_digest, same_person=mark.same_person, kind=kind)
        if also is not None:
            also(doing, record, mark)
        return mark


def must_be_as_shown(
    job: Job, form_of: Callable[[JobRecord], forms.Form], shown_digest: str
) -> JobRecord:
    """Return the job as it stands, or raise with what changed since the page was opened."""
    record = load(job)
    form = form_of(record)
    now = forms.digest(form)
    if now == shown_digest:
        return record
    raise ChangedSinceShown(
        _changes_since(job, record, form_of, shown_digest), shown=shown_digest, now=now
    )


def log_refusal(by: By, job: Job | None, what: str, subject_id: UUID | None) -> Refusal:
    """Write down that someone tried what they may not. It stands whatever comes after."""
    id = uuid4()
    asked = {"job": job, "what": what, "subject": subject_id}
    with by.act("mark refused", id, job=job, subject=subject_id, asked=asked) as doing:
        doing.say(what=what)
        return doing.add(
            Refusal(
                id=id,
                who=by.person,
                device=by.device,
                job=job,
                what=what,
                subject_id=subject_id,
                at=doing.at,
            )
        )


def _changes_since(
    job: Job, record: JobRecord, form_of: Callable[[JobRecord], forms.Form], shown_digest: str
) -> tuple[Change, ...]:
    """Take the latest entries away one by one until the form is the one that was shown."""
    later: set[UUID] = set()
    for entry in Entry.objects.filter(job_id=job.pk).order_by("-number")[:MOST_LOOKS_BACK]:
        if later:
            with suppress(StopIteration, KeyError, AssertionError):
                earlier = form_of(load(job, without=frozenset(later)))
                if forms.digest(earlier) == shown_digest:
                    return changes(earlier, form_of(record), zone(), entry.at)
        later |= {UUID(pk) for _, pk, _ in entry.facts().get("rows", [])}
    return ()
