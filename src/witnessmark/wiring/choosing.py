"""The smallest fuse that carries a load for long, and lets it start."""

from dataclasses import dataclass
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.wiring.fuses import RATINGS_A, Fuse, FuseKind, fuse_of, warm_share
from witnessmark.wiring.sentences import amps_words, time_words
from witnessmark.wiring.sources import Known, Source

CONTINUOUS: Final = 0.80
CONTINUOUS_SOURCE: Final = Source(
    words="a fuse loaded for long carries at most 80 % of its rating, building practice",
    known=Known.SEEN,
)
# For vehicles 75 % at 25 °C is often said: from memory, to be checked. ECSS asks 65 % in space.
_WARM_SOURCE: Final = Source(
    words="warm-air figures of a 40 A large blade, taken for every blade", known=Known.SEEN
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What a fuse must carry.

    Attributes
    ----------
    current_a
        For long. [A]
    starting_a, starting_s
        What flows while it starts, and for how long; 0 where it starts as it runs. [A], [s]
    temperature_c
        Of the air round the fuse. [°C]
    share
        Share of its rating that a fuse may carry for long; a rule of the shop. [1]
    """

    current_a: float
    starting_a: float = 0.0
    starting_s: float = 0.0
    temperature_c: float = 25.0
    share: float = CONTINUOUS

    def __post_init__(self) -> None:
        if not self.current_a > 0:
            raise BenchError(
                f"The load takes {self.current_a:g} A.",
                "It must take more than 0 A.",
                "Read it from the load's plate, or measure it.",
            )
        if not 0.3 <= self.share <= 1:
            raise BenchError(
                f"A fuse would carry {self.share:.0%} of its rating.",
                "The share lies between 30 and 100 %.",
                "Usual shares are 75 and 80 %.",
            )
        if not (self.starting_a >= 0 and self.starting_s >= 0):
            raise BenchError(
                f"The load starts with {self.starting_a:g} A for {self.starting_s:g} s.",
                "Neither is below 0.",
                "Leave both out if they are not known.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseChoice:
    """The fuse for a load, and why not a smaller one.

    Attributes
    ----------
    load
        What it must carry.
    fuse
        The smallest that does; None if the kind ends below.
    sentence
        The choice with its numbers.
    why_not_smaller
        What the next smaller rating cannot do; empty for the smallest of its kind.
    sources
        Whose rules were used.
    """

    load: Load
    fuse: Fuse | None
    sentence: str
    why_not_smaller: str
    sources: tuple[Source, ...]

    def is_carried_by(self, there: Fuse | None) -> bool:
        """Return whether the fuse that is there carries the loads for long."""
        return there is not None and self.fuse is not None and there.rating_a >= self.fuse.rating_a

    def too_small(self, there: Fuse) -> str:
        """Return what to do about a fuse that is smaller than its loads ask for."""
        assert self.fuse is not None, "a fuse that is there, and none that its loads ask for"
        return (
            f"The fuse of {there.rating_a:g} A is too small for {amps_words(self.load.current_a)}: "
            f"that asks for {self.fuse.rating_a:g} A. Check first why."
        )

    def too_large(self, there: Fuse | None) -> str:
        """Return what to ask about a fuse that is larger than its loads ask for; or nothing."""
        if there is None or self.fuse is None or there.rating_a <= self.fuse.rating_a:
            return ""
        return (
            f"The fuse that is there, {there.rating_a:g} A, is larger than "
            f"{amps_words(self.load.current_a)} need: {self.fuse.rating_a:g} A would do. Look up "
            "which fuse belongs there: it may feed others that are not counted here, or someone "
            "may have fitted a larger one."
        )


def choose_fuse(load: Load, kind: FuseKind = FuseKind.STANDARD) -> FuseChoice:
    """Return the smallest fuse that carries a load for long and lets it start.

    Parameters
    ----------
    load
        What it must carry.
    kind
        The kind of fuse the holder takes.

    Returns
    -------
    FuseChoice
        Whether it also protects the wire is another question: `check_protection`.

    Raises
    ------
    BenchError
        If the fuse lies in air for which no figures were found.

    Examples
    --------
    >>> choose_fuse(Load(current_a=8)).fuse.rating_a
    10.0
    >>> choose_fuse(Load(current_a=8, starting_a=45, starting_s=0.1)).fuse.rating_a
    20.0
    """
    warm = warm_share(load.temperature_c)
    carried = load.share * warm
    ratings = RATINGS_A[kind]
    sources = (CONTINUOUS_SOURCE,) if warm == 1 else (CONTINUOUS_SOURCE, _WARM_SOURCE)
    why = ""
    for rating_a in ratings:
        fuse = fuse_of(kind, rating_a)
        small = _too_small(fuse, load, carried)
        if not small:
            return FuseChoice(
                load=load,
                fuse=fuse,
                sentence=_chosen(fuse, load, carried),
                why_not_smaller=why,
                sources=sources,
            )
        why = small
    return FuseChoice(
        load=load,
        fuse=None,
        sentence=f"No {kind} fuse carries {amps_words(load.current_a)} for long. {why}",
        why_not_smaller=why,
        sources=sources,
    )


def _too_small(fuse: Fuse, load: Load, carried: float) -> str:
    most_a = fuse.rating_a * carried
    if load.current_a > most_a * (1 + 1e-9):
        return (
            f"A fuse of {fuse.rating_a:g} A carries {amps_words(most_a)} for long "
            f"({carried:.0%} of its rating), and {amps_words(load.current_a)} flow."
        )
    if load.starting_a > 0 and fuse.least_s(load.starting_a) <= load.starting_s:
        return (
            f"A fuse of {fuse.rating_a:g} A may open after "
            f"{time_words(fuse.least_s(load.starting_a))} at {amps_words(load.starting_a)}, "
            f"before the load has started ({time_words(load.starting_s)})."
        )
    return ""


def _chosen(fuse: Fuse, load: Load, carried: float) -> str:
    most_a = amps_words(fuse.rating_a * carried)
    said = (
        f"The {fuse.label} ({fuse.colour}) is the smallest for {amps_words(load.current_a)}: "
        f"it carries {most_a} for long ({carried:.0%} of its rating)."
    )
    if load.starting_a > 0:
        said += (
            f" It holds {amps_words(load.starting_a)} for "
            f"{time_words(fuse.least_s(load.starting_a))} at least, and the load starts within "
            f"{time_words(load.starting_s)}."
        )
    return said
