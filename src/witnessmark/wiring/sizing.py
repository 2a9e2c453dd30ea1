"""Which sizes of wire will do for a run, each test with its number, and the thinnest of them."""

from dataclasses import dataclass, field
from typing import Final

from witnessmark.errors import BenchError
from witnessmark.networks.copper import wire_resistance
from witnessmark.wiring.ampacity import TABLE, Place, thin_wall_a
from witnessmark.wiring.drop import DropLimits
from witnessmark.wiring.fuses import Fuse
from witnessmark.wiring.heating import Heating, heating_of
from witnessmark.wiring.held import ROOM, Held
from witnessmark.wiring.insulation import Insulation
from witnessmark.wiring.protection import Guard, Protection, check_protection
from witnessmark.wiring.sentences import amps_words, volts_words
from witnessmark.wiring.sizes import System, WireSize, next_larger, sizes_of
from witnessmark.wiring.sources import Known, Source

MOST_A: Final = 2000.0
MOST_M: Final = 200.0
MOST_V: Final = 60.0  # above it no learner repairs wiring
_REPLACED: Final = Source(
    words="service manuals on wiring repairs: same or next larger size", known=Known.SEEN
)
_AS_WAS: Final = 1.02  # areas this near are one size


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a wire must do.

    Attributes
    ----------
    current_a
        Current that flows for long. [A]
    length_m
        Length of wire, there and back where a wire leads back. [m]
    supply_v
        Of the system, for limits that are shares. [V]
    limits
        What it may lose.
    cover
        Its insulation.
    place
        Where it lies.
    system
        Which sizes the shop buys.
    replaces
        The wire that was there; None for a new run.
    fuse
        The fuse that feeds it; None where none was chosen yet.
    held
        Limits that it keeps together with the rest of its way; without any, the wire alone is
        held to `limits`.
    """

    current_a: float
    length_m: float
    limits: DropLimits
    cover: Insulation
    place: Place = field(default_factory=Place)
    supply_v: float = 12.0
    system: System = System.METRIC
    replaces: WireSize | None = None
    fuse: Fuse | None = None
    held: tuple[Held, ...] = ()

    def __post_init__(self) -> None:
        for value, most, what, unit, do in (
            (self.current_a, MOST_A, "current", "A", "Read it from the load or measure it"),
            (self.length_m, MOST_M, "length", "m", "Measure the run, there and back"),
            (self.supply_v, MOST_V, "supply", "V", "Systems here have 6, 12, 24 or 48 V"),
        ):
            if not 0 < value <= most:
                raise BenchError(
                    f"The {what} is {value:g} {unit}.",
                    f"It must be more than 0 and at most {most:g} {unit}.",
                    f"{do}, and enter it again.",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One test of one size: what it found, in a sentence, and by whose rule."""

    name: str
    passed: bool
    sentence: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRow:
    """One size with its tests.

    Attributes
    ----------
    size
        The size.
    heating
        It in its place.
    drop_v
        Volts it loses, its metal as warm as the current makes it. [V]
    metal_c
        That warm. [°C]
    checks
        Drop, current, and where they apply the wire that was there and the fuse.
    note
        What else to know: another source that prints less.
    """

    size: WireSize
    heating: Heating
    drop_v: float
    metal_c: float
    checks: tuple[Check, ...]
    note: str = ""

    @property
    def metal_words(self) -> str:
        """With which copper its volts are counted, in words."""
        return metal_words(self.metal_c)

    @property
    def passed(self) -> bool:
        """Whether it passes every test."""
        return all(check.passed for check in self.checks)

    @property
    def words(self) -> tuple[str, str, str]:
        """What it loses, what it carries, and whether it passes, in words."""
        carries = amps_words(self.heating.amps.allowed_a)
        fails = ", ".join(check.name.lower() for check in self.failed)
        return volts_words(self.drop_v), carries, f"no: {fails}" if fails else "passes"

    @property
    def failed(self) -> tuple[Check, ...]:
        """The tests it does not pass."""
        return tuple(check for check in self.checks if not check.passed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """Every size of the system with its tests, thin to thick."""

    run: Run
    rows: tuple[SizeRow, ...]

    @property
    def answer(self) -> SizeRow | None:
        """The thinnest size that passes every test; None if there is none."""
        return next((row for row in self.rows if row.passed), None)

    @property
    def thinner(self) -> SizeRow | None:
        """The next thinner size, which does not pass."""
        if self.answer is None:
            return None
        at = self.rows.index(self.answer)
        return self.rows[at - 1] if at else None

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        if self.answer is not None:
            return f"{self.answer.size.label} is the thinnest that passes every test."
        able = next((row for row in self.rows if _only_not_the_same(row)), None)
        if able is not None and self.run.replaces is not None:
            return (
                f"The wire that was there, {self.run.replaces.label}, is too thin for this: it "
                f"would take {able.size.label}. Find out why the current, the run or the fuse "
                "has grown before a thicker wire is fitted."
            )
        return "No size here passes every test. Shorten the run, or take it out of the heat."

    @property
    def why_not_thinner(self) -> tuple[str, ...]:
        """Why the next thinner size does not do."""
        thinner = self.thinner
        return () if thinner is None else tuple(check.sentence for check in thinner.failed)


def size_wire(run: Run) -> Sizing:
    """Return every size of a system with its tests for a run.

    Parameters
    ----------
    run
        What the wire must do.

    Returns
    -------
    Sizing
        Thin to thick; the answer is the thinnest that passes all.

    Raises
    ------
    BenchError
        If the place is as hot as the insulation may be.

    Notes
    -----
    The metal is taken as warm as the current makes it in that place, by the same body that the
    steady amps come from; a wire that is overloaded as warm as its insulation allows.

    References
    ----------
    [1] Current: 33 CFR 183.425 table 5. Drop: the chosen set. Replacement wire "same or next
        larger size": service manuals. All seen.

    Examples
    --------
    >>> from witnessmark.wiring.drop import drop_limits
    >>> from witnessmark.wiring.insulation import insulation
    >>> run = Run(
    ...     current_a=10, length_m=6.4, limits=drop_limits("boat-critical"),
    ...     cover=insulation("pvc-105"), system=System.AWG,
    ... )
    >>> size_wire(run).sentence
    '12 AWG is the thinnest that passes every test.'
    """
    return Sizing(run=run, rows=tuple(_row(size, run) for size in sizes_of(run.system)))


def is_one_size(one: WireSize, other: WireSize) -> bool:
    """Return whether two sizes have as much copper, whosever they are.

    Parameters
    ----------
    one
        The one size.
    other
        The other size.
    """
    small, large = sorted([one.area_mm2, other.area_mm2])
    return large <= small * _AS_WAS


def _row(size: WireSize, run: Run) -> SizeRow:
    heating = heating_of(size, run.cover, run.place)
    bears = run.current_a <= heating.amps.allowed_a * ROOM
    warm_c = heating.steady_c(run.current_a) if bears else None
    metal_c = heating.start_c if warm_c is None else warm_c
    drop_v = run.current_a * size.resistance_ohm(run.length_m, metal_c)
    checks = [_drop_check(size, run, drop_v, metal_c), _current_check(size, run, heating, bears)]
    if run.replaces is not None:
        checks.append(_replacement_check(size, run.replaces))
    if run.fuse is not None:
        checks.append(_fuse_check(check_protection(run.fuse, heating)))
    maker_a = thin_wall_a(size.area_mm2) if size.system is System.METRIC else None
    note = ""
    if maker_a is not None and run.current_a > maker_a:
        note = (
            f"A maker of thin-wall vehicle cable prints only {amps_words(maker_a)} for "
            f"{size.label}: take the next larger size if the wire is thin-wall."
        )
    return SizeRow(
        size=size,
        heating=heating,
        drop_v=drop_v,
        metal_c=metal_c,
        checks=tuple(checks),
        note=note,
    )


def metal_words(metal_c: float) -> str:
    """Return with which copper the volts of a new wire are counted, in words.

    Parameters
    ----------
    metal_c
        Temperature of its copper. [°C]
    """
    return f"stranded cable, its copper at {metal_c:.0f} °C"


def _drop_check(size: WireSize, run: Run, drop_v: float, metal_c: float) -> Check:
    if not run.held:
        return _drop_alone(size, run, drop_v)
    told = [_drop_with_rest(size, run, drop_v, metal_c, held) for held in run.held]
    return next((check for check in told if not check.passed), told[0])


def _drop_alone(size: WireSize, run: Run, drop_v: float) -> Check:
    allowed_v = run.limits.allowed_v(run.supply_v)
    passed = drop_v <= allowed_v * ROOM
    word = "of" if passed else "and may lose"
    return Check(
        name="Drop",
        passed=passed,
        sentence=f"{size.label} loses {volts_words(drop_v)} {word} {volts_words(allowed_v)}.",
        source=run.limits.source,
    )


def _drop_with_rest(size: WireSize, run: Run, drop_v: float, metal_c: float, held: Held) -> Check:
    if held.is_past:
        # like with like: the sheet's wire is bare copper at 20 °C
        copper_v = run.current_a * wire_resistance(run.length_m, size.area_mm2)
        passed = copper_v <= held.was_v * _AS_WAS
        word = "no more" if passed else "more"
        sentence = f"{held.past} {size.label} loses {word} than that."
    else:
        sum_v = held.rest_v + drop_v
        passed = sum_v <= held.allowed_v * ROOM
        word = "of" if passed else "and may lose"
        sentence = (
            f"{held.words}, with {size.label}: {volts_words(sum_v)} {word} "
            f"{volts_words(held.allowed_v)}. This wire loses {volts_words(drop_v)} "
            f"({metal_words(metal_c)}), the rest of the way {volts_words(held.rest_v)}."
        )
    return Check(name="Drop", passed=passed, sentence=sentence, source=run.limits.source)


def _current_check(size: WireSize, run: Run, heating: Heating, bears: bool) -> Check:
    found = "carries" if bears else "carries only"
    return Check(
        name="Current",
        passed=bears,
        sentence=(
            f"{size.label} {found} {heating.amps.words}, and {amps_words(run.current_a)} flow."
        ),
        source=TABLE,
    )


def _replacement_check(size: WireSize, replaced: WireSize) -> Check:
    same = next(
        (one for one in sizes_of(size.system) if one.area_mm2 >= replaced.area_mm2 * (1 - 1e-6)),
        None,
    )
    larger = None if same is None else next_larger(same)
    if size.area_mm2 < replaced.area_mm2 * (1 - 1e-6):
        passed, sentence = False, f"{size.label} is thinner than the {replaced.label} it replaces."
    elif size in (same, larger):
        word = "the same size as" if size.label == replaced.label else "the next size to"
        passed, sentence = True, f"{size.label} is {word} the {replaced.label} that was there."
    else:
        passed = False
        sentence = (
            f"{size.label} is more than the next size to {replaced.label}: it may not fit the "
            "terminal and the seal."
        )
    return Check(name="Wire that was there", passed=passed, sentence=sentence, source=_REPLACED)


def _fuse_check(found: Protection) -> Check:
    return Check(
        name="Fuse",
        passed=found.guard is not Guard.DOES_NOT,
        sentence=" ".join(found.sentences),
        source=found.fuse.band.source,
    )


def _only_not_the_same(row: SizeRow) -> bool:
    return [check.name for check in row.failed] == ["Wire that was there"]
