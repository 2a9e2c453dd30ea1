"""What a crew can do to a circuit: each kind of test with its tool, permit, unit and outcomes."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError

VOLTS: Final = "volts"
LAMP: Final = "lamp"
LED: Final = "led"
OHMS: Final = "ohms"
CLAMP: Final = "clamp"
WIGGLE: Final = "wiggle"
LOOK: Final = "look"
HEAT: Final = "heat"
SWAP: Final = "swap"
JUMPER: Final = "jumper"
WATCH: Final = "watch"
LAMPS: Final = (LAMP, LED)
SHOW_ANYWAY: Final = (LOOK, OHMS, WIGGLE)  # a bad joint, whether it plays up just then or not

METER, TEST_LAMP, LED_TESTER = "meter", "test lamp", "LED tester"
EYES: Final = "eyes and hands"
CLAMP_METER, JUMPER_LEAD, GOOD_PART = "clamp meter", "fused jumper lead", "known-good part"
LIVE_WORK: Final = "live circuits"

LAMP_OUTCOMES: Final = ("dark", "dim", "lit")


@dataclass(frozen=True, slots=True, kw_only=True)
class KindOfTest:
    """One kind of test.

    Attributes
    ----------
    name
        As a stored reading names it.
    words
        As a list of choices names it.
    tool
        What it takes.
    permit
        Permit that the learner must hold; empty where none is asked.
    unit
        Unit of its reading; empty where the outcome is a word.
    outcomes
        The words its outcome may have.
    saying
        What each of these words stands for in a sentence.
    at_point
        Whether it is done at a lettered point; else at a part.
    in_state
        Whether the circuit is in an operating state; else the part is off and by itself.
    changes_complaint
        Whether what it shows is the complaint gone; whether that was there is then asked of before.
    minutes
        To do it and write it down, without set-up and access. [min]
    """

    name: str
    words: str
    tool: str
    permit: str = ""
    unit: str = ""
    outcomes: tuple[str, ...] = ()
    saying: tuple[str, ...] = ()
    at_point: bool = False
    in_state: bool = True
    changes_complaint: bool = False
    minutes: float = 1.0


# The minutes are the program's own, from shop habit; no published source.
KINDS: Final = {
    kind.name: kind
    for kind in (
        KindOfTest(name=VOLTS, words="Measure volts", tool=METER, unit="V", at_point=True),
        KindOfTest(
            name=LAMP,
            words="Hold a test lamp",
            tool=TEST_LAMP,
            outcomes=LAMP_OUTCOMES,
            saying=LAMP_OUTCOMES,
            at_point=True,
        ),
        KindOfTest(
            name=LED,
            words="Hold an LED tester",
            tool=LED_TESTER,
            outcomes=LAMP_OUTCOMES,
            saying=LAMP_OUTCOMES,
            at_point=True,
        ),
        KindOfTest(
            name=OHMS,
            words="Measure ohms, the part by itself",
            tool=METER,
            unit="Ω",
            outcomes=("open",),
            saying=("open (OL)",),
            in_state=False,
            minutes=6.0,
        ),
        KindOfTest(name=CLAMP, words="Clamp the current", tool=CLAMP_METER, unit="A"),
        KindOfTest(
            name=WIGGLE,
            words="Wiggle it",
            tool=EYES,
            outcomes=("changes", "steady"),
            saying=("a change when it is wiggled", "no change when it is wiggled"),
        ),
        KindOfTest(
            name=WATCH,
            words="Watch whether it works",
            tool=EYES,
            outcomes=("not as it should", "as it should"),
            saying=("not as it should", "as it should"),
        ),
        KindOfTest(
            name=LOOK,
            words="Look at it",
            tool=EYES,
            outcomes=("bad", "sound"),
            saying=("burnt, green, loose or broken", "sound to the eye"),
            in_state=False,
        ),
        KindOfTest(
            name=HEAT,
            words="Feel for heat, smell",
            tool=EYES,
            outcomes=("hot", "cool"),
            saying=("hot or smelling burnt", "no hotter than its neighbours"),
            minutes=2.0,
        ),
        KindOfTest(
            name=SWAP,
            words="Swap it with a known-good part",
            tool=GOOD_PART,
            outcomes=("works", "no change"),
            saying=("the complaint gone with the good part", "no change with the good part"),
            changes_complaint=True,
            minutes=4.0,
        ),
        KindOfTest(
            name=JUMPER,
            words="Bridge it with a fused jumper lead",
            tool=JUMPER_LEAD,
            permit=LIVE_WORK,
            outcomes=("works", "no change"),
            saying=("the load working over the jumper", "no change over the jumper"),
            changes_complaint=True,
            minutes=2.0,
        ),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What a crew has in hand and may do.

    Attributes
    ----------
    tools
        Tools at hand.
    permits
        Permits that a learner of the crew holds.
    """

    tools: frozenset[str] = frozenset({METER, TEST_LAMP})
    permits: frozenset[str] = frozenset()

    def allow(self, kind: KindOfTest) -> bool:
        """Return whether tool and permit for a kind of test are there."""
        return kind.tool in self.tools and (not kind.permit or kind.permit in self.permits)


METER_AND_LAMP: Final = Means()
EVERYTHING: Final = Means(
    tools=frozenset(kind.tool for kind in KINDS.values()),
    permits=frozenset(kind.permit for kind in KINDS.values() if kind.permit),
)


def means(tools: Collection[str], permits: Collection[str] = ()) -> Means:
    """Return the means of a crew from what its shop lists.

    Parameters
    ----------
    tools
        Tools at hand, by their names here.
    permits
        Permits that a learner of the crew holds.

    Raises
    ------
    BenchError
        If a tool or permit is none that a test of Find needs.

    Examples
    --------
    >>> means(["meter"]).allow(KINDS["lamp"])
    False
    """
    for given, known, what in (
        (tools, EVERYTHING.tools, "tool"),
        (permits, EVERYTHING.permits, "permit"),
    ):
        for name in given:
            if name not in known:
                raise BenchError(
                    f'The {what} "{name}" is asked for.',
                    f"Find knows {', '.join(sorted(known))}.",
                    "Choose from these.",
                )
    return Means(tools=frozenset(tools), permits=frozenset(permits))


def has_size(kind: str) -> bool:
    """Return whether a kind of test shows a size: a meter's, or a lamp's that is dim or lit.

    Parameters
    ----------
    kind
        Name of the kind.
    """
    return kind in LAMPS or bool(KINDS[kind].unit)


def kind_named(name: str) -> KindOfTest:
    """Return the kind of test of a name.

    Parameters
    ----------
    name
        "volts", "lamp" or another of `KINDS`.

    Raises
    ------
    BenchError
        If there is none of that name.
    """
    if name in KINDS:
        return KINDS[name]
    raise BenchError(
        f'The test is called "{name}".',
        f"It must be one of {', '.join(KINDS)}.",
        "Choose one of these.",
    )
