"""The four stages of a job, derived from what is there and never signed."""

from dataclasses import dataclass

from witnessmark.record.core import JobRecord
from witnessmark.record.models import Step
from witnessmark.work.marks import MarkState
from witnessmark.work.steps import Hold


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One of the four stages: what it shows, and whether it is passed."""

    key: str  # find, steps, work, release
    title: str
    words: str
    is_passed: bool
    is_broken: bool = False


def stages(record: JobRecord) -> tuple[Stage, ...]:
    """Return the four stages. They are derived from what is there, and never signed."""
    work = [step for step in record.steps if step.kind != "find"]
    done = [step for step in work if _is_done(record, step)]
    broken = [step for step in record.steps if record.states[step.pk] is MarkState.BROKEN]
    started = record.job.work_started_at is not None
    cause = record.cause_state
    cause_words = {
        MarkState.HOLD: "cause not marked" if record.cause else "cause not named",
        MarkState.CALLED: "called",
        MarkState.BROKEN: "mark broken",
    }.get(cause, "cause marked")
    has_cause = record.needs_cause or record.cause is not None
    count = f"{len(work)} step{'' if len(work) == 1 else 's'}"
    released = {row.kind for row in record.releases}
    return (
        Stage(
            key="find",
            title="Find",
            words=cause_words if has_cause else "no complaint",
            is_passed=cause.is_seen or not has_cause,
            is_broken=cause is MarkState.BROKEN,
        ),
        Stage(
            key="steps",
            title="Steps",
            words=f"{count}, checked" if started else (count if work else "no steps yet"),
            is_passed=started,
        ),
        Stage(
            key="work",
            title="Work",
            words=f"{len(done)} of {len(work)} done" if work else "not begun",
            is_passed=bool(work) and len(done) == len(work),
            is_broken=bool(broken),
        ),
        Stage(
            key="release",
            title="Release",
            words="handed back"
            if "owner" in released
            else ("released for road test" if "road test" in released else "not released"),
            is_passed="owner" in released,
        ),
    )


def _is_done(record: JobRecord, step: Step) -> bool:
    """A step is done when it is finished and, at a hold point, its mark stands."""
    if not record.is_finished(step):
        return False
    return record.spec(step).hold is not Hold.HOLD or record.states[step.pk].is_seen
