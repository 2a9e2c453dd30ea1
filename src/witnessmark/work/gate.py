"""The gate: every reason why a vehicle cannot leave, each with the place to mend it."""

from dataclasses import dataclass
from enum import StrEnum


class ReleaseKind(StrEnum):
    """Where a vehicle is released to."""

    ROAD_TEST = "road test"
    OWNER = "owner"


class Place(StrEnum):
    """Where on the job something is mended."""

    STEP = "step"
    LEDGER = "ledger"
    CAUSE = "cause"
    CORRECTION = "correction"
    RELEASE = "release"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One thing that holds the gate shut: what, where, and what mends it."""

    what: str
    where: Place
    subject: str = ""  # id of the step, ledger line or cause
    number: int = 0  # of the step, as shown
    mend: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateRow:
    """One join of the gate: what was asked, what proves it, and what is missing."""

    key: str  # ledger, marks, checks, steps, cause, correction, said, road test
    title: str
    asked: str
    shown: str
    reasons: tuple[Reason, ...] = ()

    @property
    def is_open(self) -> bool:
        """Return whether nothing is missing in this row."""
        return not self.reasons


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """The gate for one kind of release."""

    kind: ReleaseKind
    rows: tuple[GateRow, ...]

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Return every reason why not, in the order of the rows."""
        return tuple(reason for row in self.rows for reason in row.reasons)

    @property
    def is_open(self) -> bool:
        """Return whether the vehicle can be released."""
        return not self.reasons
