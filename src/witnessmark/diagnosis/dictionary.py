"""The dictionary of a circuit: what every test would show for every suspect in every state."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Flags, Floats, Indices

SOMETHING_ELSE: Final = "something else"


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One way in which one part fails.

    Attributes
    ----------
    key
        "G7:high", as a fault is written, without its severity.
    part
        Name of the part.
    part_words
        What the part is, in the author's words or by its kind.
    mode
        Fault mode.
    words
        The mode in words.
    repair
        What heals it; suspects of one repair need no telling apart.
    """

    key: str
    part: str
    part_words: str
    mode: str
    words: str
    repair: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A point where a probe can reach: letter, words and minutes of access."""

    letter: str
    words: str
    minutes: float


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
class Dictionary:
    """Predictions for all samples; a sample is a suspect at one severity.

    Attributes
    ----------
    suspects
        The suspects; the last one is 'something else'.
    suspect
        For every sample, the number of its suspect.
    value
        For every sample, its severity as text, empty where it has none.
    log_prior
        For every sample, the logarithm of its weight before any reading.
    supply_v
        Voltage of the source as the sheet has it. [V]
    settings, places, troubles, loads
        States, points, complaints and loads, in the order of the axes below.
    volts
        Sample, state, point: volts to the battery's negative post. [V]
    unsteady
        Sample, state, point: a relay chatters, so that the reading wanders.
    lamp
        By reference letter: sample, state, point: volts across a test lamp put there. [V]
    power
        Sample, state, load: power of each load. [W]
    healthy_v, healthy_lamp, healthy_power
        The same without a fault.
    node_v
        By state, then by key of the point, lettered or not: healthy volts. [V]
    """

    suspects: tuple[Suspect, ...]
    suspect: Indices
    value: tuple[str, ...]
    log_prior: Floats
    supply_v: float
    settings: tuple[Setting, ...]
    places: tuple[Place, ...]
    troubles: tuple[Trouble, ...]
    loads: tuple[str, ...]
    volts: Floats
    unsteady: Flags
    lamp: Mapping[str, Floats]
    power: Floats
    healthy_v: Floats
    healthy_lamp: Mapping[str, Floats]
    healthy_power: Floats
    node_v: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    repairs: tuple[str, ...] = field(init=False)
    repair: Indices = field(init=False)
    known: Flags = field(init=False)
    starts: Indices = field(init=False)

    def __post_init__(self) -> None:
        repairs = tuple(dict.fromkeys(suspect.repair for suspect in self.suspects))
        numbers = {repair: number for number, repair in enumerate(repairs)}
        of_suspect = np.array([numbers[suspect.repair] for suspect in self.suspects], dtype=np.intp)
        object.__setattr__(self, "repairs", repairs)
        object.__setattr__(self, "repair", of_suspect[self.suspect])
        object.__setattr__(self, "known", self.suspect != len(self.suspects) - 1)
        assert (np.diff(self.suspect) >= 0).all(), "the samples of a suspect stand together"
        starts = np.searchsorted(self.suspect, np.arange(len(self.suspects) + 1))
        object.__setattr__(self, "starts", starts)
        assert self.suspects[-1].key == SOMETHING_ELSE, "something else stands last"
        assert self.volts.shape == (len(self.suspect), len(self.settings), len(self.places))

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
