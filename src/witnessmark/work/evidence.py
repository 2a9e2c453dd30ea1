"""What the teacher saw, as it enters the digest: ids, values as typed, digests of free text.

A person is an id here and never a name, and free text (notes, reasons, captions, what lies where)
enters by its salted digest, so that a person can be erased and every mark still verifies.
"""

from dataclasses import dataclass, field
from datetime import datetime

from witnessmark.work.steps import How, Phase, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What every piece of evidence says of itself."""

    id: str
    who: str  # id of the person
    done_at: datetime  # with its time zone
    replaces: str | None = None  # id of the entry that this one corrects
    reason_digest: str = ""

    def __post_init__(self) -> None:
        assert self.done_at.tzinfo is not None, "a time without its zone"
        assert self.replaces != self.id, "an entry that replaces itself"


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentSeen:
    """The instrument of a reading."""

    id: str
    name: str
    resolution: str = ""  # as typed: "0.01 mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSeen(Entry):
    """One value as typed. A lamp has an outcome and no text; a look has words of its own."""

    key: str
    what_digest: str = ""  # of a look: its words, which no sheet has
    position: str = ""
    text: str = ""  # the number as typed
    unit: str = ""
    outcome: str = ""  # of a lamp
    seen_digest: str = ""  # of a look
    phase: Phase = Phase.AS_LEFT
    present: str = "unknown"  # was the complaint there during the test
    instrument: InstrumentSeen | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSeen(Entry):
    """A picture, by the salted digest of its file."""

    digest: str
    key: str = ""  # which photo of the step it is
    caption_digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteSeen(Entry):
    """What someone wrote, by its salted digest."""

    digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TickSeen(Entry):
    """A caution that was read and ticked."""

    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictSeen:
    """A verdict as it was shown; it is stored and never computed again."""

    id: str
    key: str
    position: str = ""
    phase: Phase = Phase.AS_LEFT
    value: str  # everything as shown, with its unit
    expanded: str = ""  # "± 0.8 mm"
    limit: str
    source: str
    chance: str = ""
    word: str  # within, outside, too close to call
    readings: tuple[str, ...] = ()  # ids of the readings it is made from


@dataclass(frozen=True, slots=True, kw_only=True)
class OffSeen(Entry):
    """A thing that was taken off or undone in this step, and where it lies."""

    key: str = ""
    what_digest: str
    how: How = How.TAKEN_OFF
    quantity: str
    unit: str = ""
    place_digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedSeen(Entry):
    """What this step put back, fitted, filled or undone, or took back of that again."""

    line: str  # id of the ledger line
    what_digest: str
    kind: str  # how it was closed, or "taken back"
    quantity: str
    unit: str = ""
    old: str = ""  # kept, returned, scrapped
    answered_digest: str = ""  # of what was asked about it, and is right


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSeen:
    """Everything on the page when a step is marked."""

    id: str
    number: int
    step: Step
    readings: tuple[ReadingSeen, ...] = ()
    photos: tuple[PhotoSeen, ...] = ()
    notes: tuple[NoteSeen, ...] = ()
    verdicts: tuple[VerdictSeen, ...] = ()
    off: tuple[OffSeen, ...] = ()
    moved: tuple[MovedSeen, ...] = ()
    ticks: tuple[TickSeen, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectSeen:
    """One row of the belief, as shown: "G7, bad joint", "97%"."""

    suspect: str
    share: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseSeen:
    """Everything on the page when a cause is marked.

    `readings` and `photos` are all entries of the step that proves it, or the named ones where
    the cause is proved by evidence; with their corrections.
    """

    id: str
    how: str  # find, evidence
    statement_digest: str
    complaints: tuple[str, ...]  # salted digests of the complaints' words
    suspect: str = ""
    belief: tuple[SuspectSeen, ...] = ()
    proof: tuple[str, ...] = ()  # which readings would prove the repair, as shown
    sheet_digest: str = ""  # of the circuit sheet that the belief was computed with
    who: str
    done_at: datetime
    replaces: str | None = None
    readings: tuple[ReadingSeen, ...] = ()
    photos: tuple[PhotoSeen, ...] = ()
    verdicts: tuple[VerdictSeen, ...] = ()
    measurements: tuple[tuple[str, str], ...] = ()  # key of a reading, its name in words


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSeen:
    """A mark that stood when a release was signed."""

    subject: str  # "Step 4, Fit strap and lead"
    subject_id: str
    state: str
    digest: str
    same_person: bool = False
    accepted_digest: str = ""  # of the reason why 'too close to call' was accepted


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseSeen:
    """Everything on the page when a vehicle is released."""

    id: str  # the subject: job and kind of release have one id of their own
    kind: str  # road test, owner
    job: str  # "J-114"
    vehicle: str  # id: its name can be erased
    complaints: tuple[str, ...]
    cause_digest: str = ""
    correction_digest: str = ""
    odometer_out: str = ""
    marks: tuple[MarkSeen, ...] = ()
    checks: tuple[VerdictSeen, ...] = ()
    ledger_off: tuple[OffSeen, ...] = ()
    ledger_moved: tuple[MovedSeen, ...] = ()
    said: tuple[str, ...] = field(default=())  # the advice that was read out, as written
