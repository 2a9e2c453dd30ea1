"""The handover card: what a crew reads first, looks at on the vehicle, and confirms."""

from dataclasses import dataclass
from enum import StrEnum

from witnessmark.quantities import listed
from witnessmark.work.digest import FORM, Form
from witnessmark.work.ledger import LineBalance
from witnessmark.work.steps import How

# What is not as it was, although nothing is missing to the eye.
UNSAFE = (How.DISCONNECTED, How.DRAINED, How.LOOSENED, How.JUMPERED, How.CAPPED)
PLACES = "places"  # key of the check that everything lies where the card says


class Stands(StrEnum):
    """How a step stands when a vehicle changes hands."""

    BROKEN = "broken"
    WAITS = "waits"  # for the mark
    DONE = "done"
    TO_DO = "to do"


@dataclass(frozen=True, slots=True, kw_only=True)
class CardStep:
    """One step as the card counts it; `left` are the readings and photos that it still needs."""

    id: str
    number: int
    stands: Stands
    left: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One thing that the new crew looks at before it says that it has the vehicle."""

    key: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The card of a job as it stands; notes by their salted digests."""

    job: str
    off: tuple[LineBalance, ...]
    steps: tuple[CardStep, ...]
    notes: tuple[str, ...] = ()

    @property
    def unsafe(self) -> tuple[LineBalance, ...]:
        """Return what is not as it was, although nothing is missing to the eye."""
        return tuple(one for one in self.off if one.line.how in UNSAFE)

    @property
    def has_begun(self) -> bool:
        """Return whether there is anything to hand over: something off, or a step done."""
        return bool(self.off) or any(one.stands is not Stands.TO_DO for one in self.steps)

    @property
    def checks(self) -> tuple[Check, ...]:
        """Return what is looked at: the places where things lie, then each unsafe thing."""
        places = sorted({one.line.place for one in self.off if one.line.how is How.TAKEN_OFF})
        lie = "is here" if len(places) == 1 else "are here"
        there = [Check(key=PLACES, words=f"{listed(places, 'and')} {lie}")] if places else []
        return (
            *there,
            *(
                Check(key=one.line.id, words=f"{one.line.what}: {one.line.how}, {one.line.place}")
                for one in self.unsafe
            ),
        )


def card_form(card: Card) -> Form:
    """Return everything that a crew confirms when it takes a vehicle over.

    Parameters
    ----------
    card
        The card as it stands.

    Returns
    -------
    dict
        Ids, digests and amounts; no text that a person typed. A line that is corrected has a new
        id, so what it says is in it.
    """
    return {
        "form": FORM,
        "subject": "handover",
        "id": card.job,
        "off": [
            {"line": one.line.id, "still_off": f"{one.still_off.normalize():f}"}
            for one in sorted(card.off, key=lambda one: one.line.id)
        ],
        "steps": [
            {"id": one.id, "number": one.number, "stands": str(one.stands), "left": one.left}
            for one in card.steps
        ],
        "notes": sorted(card.notes),
    }


def changed_parts(seen: Form, now: Form) -> tuple[str, ...]:
    """Return which parts of the card are no longer as they were confirmed.

    Parameters
    ----------
    seen
        The form that was confirmed.
    now
        The form of the card as it is.

    Returns
    -------
    tuple
        In words: "what is off", "step 5", "the notes"; nothing if all is as it was.

    Examples
    --------
    >>> confirmed = {"off": [], "steps": [], "notes": ["aa"]}
    >>> changed_parts(confirmed, {"off": [], "steps": [], "notes": ["aa", "bb"]})
    ('the notes',)
    """
    before = {one["id"]: one for one in seen["steps"]}
    steps = [str(one["number"]) for one in now["steps"] if before.get(one["id"]) != one]
    parts = (
        ("what is off", seen["off"] != now["off"]),
        (f"step{'s' if len(steps) > 1 else ''} {listed(steps, 'and')}", bool(steps)),
        ("the list of steps", len(before) != len(now["steps"]) and not steps),
        ("the notes", seen["notes"] != now["notes"]),
    )
    return tuple(words for words, is_changed in parts if is_changed)
