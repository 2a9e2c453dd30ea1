"""The dictionary of a circuit: what every test would show for every suspect in every state."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from witnessmark.diagnosis.belief import Flags, Floats, Indices
from witnessmark.diagnosis.graded import Graded
from witnessmark.diagnosis.reaching import UNKNOWN, Reach

SOMETHING_ELSE: Final = "something else"
HEALTHY: Final = 0  # the scenario without a fault


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One way in which one part fails, or two parts at once.

    Attributes
    ----------
    key
        "G7:high", as a fault is written, without its severity; "G7:high + F3:blown" for two.
    parts
        Names of the parts at fault; none for 'something else'.
    part_words
        What the part is, in the author's words or by its kind.
    mode
        Fault mode.
    words
        The mode in words.
    repair
        What puts it right; suspects of one repair need no telling apart.
    comes_and_goes
        Chance that this fault is not there all the time. [1]
    singles
        Of two at once, the keys of each.
    """

    key: str
    parts: tuple[str, ...]
    part_words: str
    mode: str
    words: str
    repair: str
    comes_and_goes: float = 0.0
    singles: tuple[str, ...] = ()

    @property
    def part(self) -> str:
        """The part, or the first of two; empty for 'something else'."""
        return self.parts[0] if self.parts else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A point where a probe can reach.

    Attributes
    ----------
    letter, words
        The point.
    minutes
        Minutes of access. [min]
    no_lamp
        Why a test lamp must not touch it; empty where it may.
    """

    letter: str
    words: str
    minutes: float
    no_lamp: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPlace:
    """A part as a crew meets it: what it is, how to get at it, what may be done to it.

    Attributes
    ----------
    name, words, kind
        The part.
    letters
        Letters of its terminals that a probe can reach.
    minutes
        Minutes of access. [min]
    ohm
        Resistance with the part by itself; NaN where an ohmmeter says nothing of it. [Ω]
    may_clamp, may_wiggle, may_swap, may_watch
        Whether a clamp goes round it; whether it is a joint; whether good ones are at hand; whether
        one sees or hears at once that it works.
    no_jumper
        Why a jumper must not bridge it; empty where it may.
    """

    name: str
    words: str
    kind: str
    letters: tuple[str, ...]
    minutes: float
    ohm: float = float("nan")
    may_clamp: bool = False
    may_wiggle: bool = False
    may_swap: bool = False
    may_watch: bool = False
    no_jumper: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """An operating state: name, words ("the fan running") and minutes to set it up."""

    name: str
    words: str
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """A complaint of the sheet: which load looks how, in which state."""

    key: str
    words: str
    load: str
    state: str
    look: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Predictions:
    """What each scenario would show; the first one is the circuit without a fault.

    Attributes
    ----------
    volts
        Scenario, state, point: volts to the battery's negative post. [V]
    unsteady
        Scenario, state: a relay chatters, so that readings wander.
    lamp
        By tool and reference letter: scenario, state, point: volts across a test lamp there. [V]
    power
        Scenario, state, load: power of each load. [W]
    amps, watts
        Scenario, state, part: current through each part, and heat in it. [A], [W]
    ohms
        Scenario, part: resistance of each part by itself; infinite where it is open. [Ω]
    jumped
        By part and state: scenario, load: power of each load with a jumper round the part. [W]
    """

    volts: Floats
    unsteady: Flags
    power: Floats
    lamp: Mapping[tuple[str, str], Floats] = field(default_factory=dict)
    amps: Floats = field(default_factory=lambda: np.zeros((0, 0, 0)))
    watts: Floats = field(default_factory=lambda: np.zeros((0, 0, 0)))
    ohms: Floats = field(default_factory=lambda: np.zeros((0, 0)))
    jumped: Mapping[tuple[str, str], Floats] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.volts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """Samples between scenarios that were solved, so that none falls into a gap.

    Changing one resistance moves all voltages of a linear circuit along a straight line, so a
    sample between two solved severities is their mixture; a lamp bends the line a little.

    Attributes
    ----------
    corner
        Sample by corner: number of a scenario.
    weight
        Sample by corner: its weight; each row adds up to 1.
    """

    corner: Indices
    weight: Floats

    def of(self, solved: NDArray[Any]) -> Floats:
        """Return by sample what was solved by scenario."""
        shape = (len(self.weight), *([1] * (solved.ndim - 1)))
        mixed = self.weight[:, 0].reshape(shape) * solved[self.corner[:, 0]]
        for corner in range(1, self.corner.shape[1]):
            weight = self.weight[:, corner]
            if weight.any():
                mixed += weight.reshape(shape) * solved[self.corner[:, corner]]
        return np.asarray(mixed, dtype=np.float64)

    def most(self, solved: Flags) -> Flags:
        """Return by sample whether more than half of its corners' weight has a flag."""
        return np.asarray(self.of(solved) > 0.5, dtype=np.bool_)

    def rows(self, chosen: Indices | Flags) -> "Mixture":
        """Return the same for some of the samples."""
        return Mixture(corner=self.corner[chosen], weight=self.weight[chosen])


@dataclass(frozen=True, slots=True, kw_only=True)
class Dictionary:
    """Predictions for all samples; a sample is a suspect at one severity.

    Attributes
    ----------
    suspects
        The suspects; the last one is 'something else'.
    suspect
        For every sample, the number of its suspect; samples of a suspect stand together.
    log_prior
        For every sample, the logarithm of its weight before any reading.
    supply_v
        Voltage of the source as the sheet has it. [V]
    settings, places, troubles, loads, parts
        States, points, complaints, loads and parts, in the order of the axes below.
    spans
        Pairs of letters across which volts are worth measuring under load.
    supply_letter
        Letter of the battery's plus post; empty where it has none.
    solved
        What each scenario would show.
    mix
        The samples as mixtures of scenarios.
    graded
        The fault modes with their severities, as they stand in `solved` after the healthy circuit.
    reach
        What each of these scenarios reaches.
    lamp_works
        By letter, letter of the clip and state: the relay or solenoid that a bulb there would
        switch over; only where it would.
    node_v
        By state, then by key of the point, lettered or not: healthy volts. [V]
    """

    suspects: tuple[Suspect, ...]
    suspect: Indices
    log_prior: Floats
    supply_v: float
    settings: tuple[Setting, ...]
    places: tuple[Place, ...]
    troubles: tuple[Trouble, ...]
    loads: tuple[str, ...]
    solved: Predictions
    mix: Mixture
    parts: tuple[PartPlace, ...] = ()
    spans: tuple[tuple[str, str], ...] = ()
    supply_letter: str = ""
    graded: tuple[Graded, ...] = ()
    reach: Reach = UNKNOWN
    lamp_works: Mapping[tuple[str, str, str], str] = field(default_factory=dict)
    node_v: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    repairs: tuple[str, ...] = field(init=False)
    repair_of: Indices = field(init=False)
    repair: Indices = field(init=False)
    known: Flags = field(init=False)
    starts: Indices = field(init=False)
    comes_and_goes: Floats = field(init=False)
    faulted: Mapping[str, tuple[tuple[int, str], ...]] = field(init=False)

    def __post_init__(self) -> None:
        faulted: dict[str, list[tuple[int, str]]] = {}
        for number, suspect in enumerate(self.suspects):
            for key in suspect.singles or (suspect.key,):
                name, _, mode = key.partition(":")
                faulted.setdefault(name.partition(".")[0], []).append((number, mode))
        repairs = tuple(dict.fromkeys(suspect.repair for suspect in self.suspects))
        numbers = {repair: number for number, repair in enumerate(repairs)}
        of_suspect = np.array([numbers[suspect.repair] for suspect in self.suspects], dtype=np.intp)
        starts = np.searchsorted(self.suspect, np.arange(len(self.suspects) + 1))
        shares = np.array([suspect.comes_and_goes for suspect in self.suspects])
        for name, value in (
            ("repairs", repairs),
            ("repair_of", of_suspect),
            ("repair", of_suspect[self.suspect]),
            ("known", self.suspect != len(self.suspects) - 1),
            ("starts", starts),
            ("comes_and_goes", shares[self.suspect]),
            ("faulted", {part: tuple(found) for part, found in faulted.items()}),
        ):
            object.__setattr__(self, name, value)
        assert (np.diff(self.suspect) >= 0).all(), "the samples of a suspect stand together"
        assert self.suspects[-1].key == SOMETHING_ELSE, "something else stands last"
        assert self.solved.volts.shape[1:] == (len(self.settings), len(self.places))
        assert len(self.mix.weight) == len(self.suspect)

    @property
    def span_v(self) -> float:
        """Width of the range over which a senseless reading is spread. [V]"""
        return self.supply_v + 0.4

    def samples(self, suspect: int) -> slice:
        """Return where the samples of a suspect stand."""
        return slice(int(self.starts[suspect]), int(self.starts[suspect + 1]))

    def state(self, name: str) -> int:
        """Return the number of a state."""
        return [setting.name for setting in self.settings].index(name)

    def point(self, letter: str) -> int:
        """Return the number of a point."""
        return [place.letter for place in self.places].index(letter)

    def part(self, name: str) -> int:
        """Return the number of a part."""
        return [part.name for part in self.parts].index(name)
