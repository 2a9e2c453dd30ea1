"""A procedure and its steps: what a crew does, what it reads, and what the teacher looks at."""

from dataclasses import dataclass
from enum import StrEnum

from witnessmark.errors import BenchError
from witnessmark.metrology import Limit
from witnessmark.quantities import unit_named
from witnessmark.work.amounts import amount
from witnessmark.work.limit_text import limit_from_text


class StepKind(StrEnum):
    """What a step is for."""

    FIND = "find"
    WORK = "work"
    PROVE = "prove"
    ROAD_TEST = "road test"


class Hold(StrEnum):
    """Whether the teacher looks at a step before others may go on."""

    NONE = "none"
    HOLD = "hold"  # the steps that depend on it stop until it is marked
    WITNESS = "witness"  # the teacher is told and may look; work goes on


class Phase(StrEnum):
    """Before the repair or after it; only what is left counts at the gate."""

    AS_FOUND = "as found"
    AS_LEFT = "as left"


class How(StrEnum):
    """How something is no longer as it was."""

    TAKEN_OFF = "taken off"
    DISCONNECTED = "disconnected"
    DRAINED = "drained"
    LOOSENED = "loosened"
    JUMPERED = "jumpered"
    CAPPED = "capped"


class Closing(StrEnum):
    """What closes a ledger line, or a part of it."""

    BACK_ON = "back on"
    NEW_FITTED = "new fitted"
    REFILLED = "refilled"
    UNDONE = "undone"


class OldPart(StrEnum):
    """What becomes of the old part when a new one is fitted."""

    KEPT = "kept"
    RETURNED = "returned"
    SCRAPPED = "scrapped"


# What may close what. A thing that was taken off cannot be refilled.
CLOSED_BY: dict[How, tuple[Closing, ...]] = {
    How.TAKEN_OFF: (Closing.BACK_ON, Closing.NEW_FITTED),
    How.DISCONNECTED: (Closing.BACK_ON, Closing.UNDONE, Closing.NEW_FITTED),
    How.DRAINED: (Closing.REFILLED,),
    How.LOOSENED: (Closing.UNDONE, Closing.NEW_FITTED),
    How.JUMPERED: (Closing.UNDONE,),
    How.CAPPED: (Closing.UNDONE,),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """Something a step asks to be read. The limit is kept as its source prints it.

    Limit and source may be empty here, so that the check of steps can say what is missing;
    work does not open before both are written.
    """

    key: str
    what: str
    unit: str
    limit_text: str = ""  # "24 to 26 N·m", "at least 1.5 mm"
    source: str = ""
    phase: Phase = Phase.AS_LEFT
    instrument: str = ""  # its kind: "torque wrench"
    positions: tuple[str, ...] = ()  # "1", "2", "left"; none where there is only one

    def __post_init__(self) -> None:
        unit_named(self.unit)
        if self.limit_text:
            limit_from_text(self.limit_text, self.unit, self.source.strip() or "not named")

    @property
    def limit(self) -> Limit | None:
        """Return the limit, if the sheet names both the range and its source."""
        if not (self.limit_text and self.source.strip()):
            return None
        return limit_from_text(self.limit_text, self.unit, self.source)

    @property
    def places(self) -> tuple[str, ...]:
        """Return every position to be read; one empty name where there is only one."""
        return self.positions or ("",)

    def named(self, position: str) -> str:
        """Return what is read, at one of its positions: `Pump bolt 3`."""
        return f"{self.what} {position}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoNeed:
    """A picture that a step asks for."""

    key: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OffItem:
    """A thing that a step takes off or undoes: it becomes a ledger line."""

    key: str
    what: str
    how: How = How.TAKEN_OFF
    quantity: str = "1"
    unit: str = ""  # empty for a count
    one_use: bool = False  # a gasket, a split pin: it never goes back on

    def __post_init__(self) -> None:
        amount(self.quantity, self.unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnItem:
    """What a step does to close a ledger line: `key` is that of the item that was off."""

    key: str
    kind: Closing = Closing.BACK_ON
    quantity: str = ""  # empty for all of it

    def __post_init__(self) -> None:
        if self.quantity:
            amount(self.quantity, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One sitting of work for a crew.

    `covers` names the steps whose evidence can no longer be seen once this one is done.
    `operations` are the tags by which cautions are chosen, `cautions` the ids that the author
    lists; the check of steps compares the two.
    """

    key: str
    title: str
    minutes: int
    kind: StepKind = StepKind.WORK
    hold: Hold = Hold.NONE
    hold_min: int = 5  # of the teacher, for a hold point
    needs: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    instructions: tuple[str, ...] = ()
    operations: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    photos: tuple[PhotoNeed, ...] = ()
    off: tuple[OffItem, ...] = ()
    on: tuple[OnItem, ...] = ()
    people_min: int = 1
    people_max: int = 2
    skills: tuple[str, ...] = ()
    permits: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    practice: tuple[str, ...] = ()  # tasks of the programme that it lets a learner practise
    wait_after_min: int = 0  # curing, cooling: on the real clock

    def __post_init__(self) -> None:
        if not self.minutes > 0:
            raise BenchError(
                f"Step “{self.title}” takes {self.minutes} min.",
                "A step takes more than 0 min.",
                "Write how long a crew needs for it.",
            )
        if not (self.hold_min >= 0 and self.wait_after_min >= 0):
            raise BenchError(
                f"Step “{self.title}” has a hold of {self.hold_min} min and a wait of "
                f"{self.wait_after_min} min.",
                "Neither can be below 0 min.",
                "Leave them out where there is no hold and no wait.",
            )
        if not 1 <= self.people_min <= self.people_max:
            raise BenchError(
                f"Step “{self.title}” is for {self.people_min} to {self.people_max} people.",
                "A crew is at least one, and the most cannot be fewer than the least.",
                "Write the least and the most people for it again.",
            )

    @property
    def is_hold(self) -> bool:
        """Return whether the steps that depend on this one wait for its mark."""
        return self.hold is Hold.HOLD

    @property
    def as_left(self) -> tuple[Measurement, ...]:
        """Return what is read after the repair: the checks that count at the gate."""
        return tuple(one for one in self.measurements if one.phase is Phase.AS_LEFT)

    def measurement(self, key: str) -> Measurement | None:
        """Return the measurement of that key, if the step asks for it."""
        return next((one for one in self.measurements if one.key == key), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Something the owner is told, in words and on paper, when the vehicle is handed back."""

    key: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """A reusable list of steps, in the order in which they are shown."""

    key: str
    title: str
    source: str  # where it comes from, or "invented for the demo"
    about: str = ""
    steps: tuple[Step, ...]
    advice: tuple[Advice, ...] = ()

    def __post_init__(self) -> None:
        if not self.steps:
            raise BenchError(
                f"The procedure “{self.title}” has no steps.",
                "It needs at least one.",
                "Write the first thing that a crew does.",
            )
        seen: set[str] = set()
        for step in self.steps:
            if step.key in seen:
                raise BenchError(
                    f"Two steps of “{self.title}” have the key {step.key}.",
                    "Each step needs a key of its own.",
                    "Rename one of them.",
                )
            seen.add(step.key)

    @property
    def minutes(self) -> int:
        """Return the minutes of all steps together."""
        return sum(step.minutes for step in self.steps)

    def number_of(self, key: str) -> int:
        """Return the number that a step is shown with: 1, 2, 3."""
        return [step.key for step in self.steps].index(key) + 1
