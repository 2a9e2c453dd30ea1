"""One part of a circuit as a value, checked against the form of its kind."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from witnessmark.errors import BenchError
from witnessmark.networks.battery import rest_voltage
from witnessmark.networks.kinds import FORMS, Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a circuit, between points named by their keys; `make_part` builds it.

    Attributes
    ----------
    name
        The author's name for it, "F12".
    kind
        What it is.
    ends
        Each terminal of its form and the key of the point it is on.
    sizes
        Each size of its form, in the unit of the form.
    choices
        Each choice of its form and the word chosen; of a wire also "standard", how its size was
        typed: "mm²", "AWG" or "SAE".
    positions
        Of a selector: each position and the pairs of terminals it joins, "B-L"; the first is
        where it stands when no state says otherwise.
    words
        The author's words for it, "fan motor"; empty where the kind says it all.
    rate
        Weight of this part among the suspects; None for its kind's own.
    """

    name: str
    kind: Kind
    ends: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, float], ...]
    choices: tuple[tuple[str, str], ...] = ()
    positions: tuple[tuple[str, tuple[str, ...]], ...] = ()
    words: str = ""
    rate: float | None = None

    def end(self, key: str) -> str:
        """Return the key of the point that a terminal is on; empty where it has none."""
        return next((point for terminal, point in self.ends if terminal == key), "")

    def has(self, key: str) -> bool:
        """Return whether the part is told in this size."""
        return any(name == key for name, _ in self.sizes)

    def size(self, key: str) -> float:
        """Return a size, in the unit of the form. [as named]"""
        return next(value for name, value in self.sizes if name == key)

    def choice(self, key: str) -> str:
        """Return the word chosen; empty where there is nothing to choose."""
        return next((word for name, word in self.choices if name == key), "")

    @property
    def first(self) -> str:
        """Key of the point of its first terminal; of a battery the plus post."""
        return self.ends[0][1]

    @property
    def second(self) -> str:
        """Key of the point of its second terminal; of a battery the minus post."""
        return self.ends[1][1]

    @property
    def stands(self) -> tuple[str, ...]:
        """Where a state can set it, the first at rest; empty where no state does."""
        if self.kind is Kind.SELECTOR:
            return tuple(name for name, _ in self.positions)
        return FORMS[self.kind].stands

    @property
    def label(self) -> str:
        """Name and words, as a sentence names the part."""
        return f"{self.name} {self.words}" if self.words else self.name


def make_part(
    name: str,
    kind: Kind,
    ends: Mapping[str, str],
    sizes: Mapping[str, float],
    *,
    choices: Mapping[str, str] | None = None,
    positions: Mapping[str, Sequence[str]] | None = None,
    words: str = "",
    rate: float | None = None,
) -> Part:
    """Return a part, checked against the form of its kind; usual sizes and choices filled in.

    Parameters
    ----------
    name
        The author's name for it.
    kind
        What it is.
    ends
        Terminal to point.
    sizes
        Size to value, in the units of the form. [as named there]
    choices
        Choice to word; the usual ones where nothing is said.
    positions
        Of a selector, position to the pairs of terminals it joins.
    words
        The author's words for it.
    rate
        Weight of this part among the suspects.

    Returns
    -------
    Part
        The part.

    Raises
    ------
    BenchError
        If a size is missing or out of its range, both ends are one point, or a relay or a
        selector contradicts itself.
    """
    form = FORMS[kind]
    chosen = {choice.key: choice.values[0] for choice in form.choices} | dict(choices or {})
    way = next(
        (way for way in form.ways if all(one.key in sizes or one.usual is not None for one in way)),
        None,
    )
    if way is None:
        ways = " or ".join(" and ".join(size.words for size in way) for way in form.ways)
        raise BenchError(
            f"{name} has no sizes that tell what it is.",
            f"A {kind} is told by {ways}.",
            "Enter what it measures or what the maker's sheet says.",
        )
    known = {}
    for size in (*way, *form.options):
        value = sizes.get(size.key, size.usual)
        if value is None:
            continue
        if not size.least <= value <= size.most:
            raise BenchError(
                f"{name} has {value:g} for '{size.words}'.",
                f"It must be from {size.least:g} to {size.most:g} {size.unit}.",
                "Enter what it measures or what the maker's sheet says.",
            )
        known[size.key] = value
    part = Part(
        name=name,
        kind=kind,
        ends=tuple(ends.items())
        if kind is Kind.SELECTOR
        else tuple((t.key, ends[t.key]) for t in form.terminals if ends.get(t.key)),
        sizes=tuple(known.items()),
        choices=tuple(chosen.items()),
        positions=tuple((where, tuple(pairs)) for where, pairs in (positions or {}).items()),
        words=words,
        rate=rate,
    )
    _check(part)
    return part


def _check(part: Part) -> None:
    if part.kind is Kind.SELECTOR:
        _check_selector(part)
    elif part.first == part.second:
        raise BenchError(
            f"Both ends of {part.name} are at '{part.first}'.",
            "A part lies between two points.",
            "Name the point at its other end.",
        )
    if part.has("pulls_in") and not part.size("drops_out") < part.size("pulls_in"):
        raise BenchError(
            f"{part.name} drops out at {part.size('drops_out'):g} V and pulls in at "
            f"{part.size('pulls_in'):g} V.",
            "It drops out at fewer volts than it pulls in.",
            "Check which is which.",
        )
    if part.has("armature") and not part.size("armature") * part.size("amps") < part.size("volts"):
        raise BenchError(
            f"{part.name} would take {part.size('volts') / part.size('armature'):.3g} A held "
            f"still, and {part.size('amps'):g} A running.",
            "A motor takes more current held still than running.",
            "Measure its resistance again while it is held still.",
        )


def _check_selector(part: Part) -> None:
    terminals = dict(part.ends)
    if len(terminals) < 2 or len(part.positions) < 2:
        raise BenchError(
            f"{part.name} has {len(terminals)} terminals and {len(part.positions)} positions.",
            "A selector has two of each at the least.",
            "Name its terminals, and for each position which of them it joins.",
        )
    for position, pairs in part.positions:
        for pair in pairs:
            one, dash, other = pair.partition("-")
            if not dash or one not in terminals or other not in terminals or one == other:
                raise BenchError(
                    f"Position '{position}' of {part.name} joins '{pair}'.",
                    f"It must be two of its terminals, {', '.join(terminals)}, with a dash.",
                    f"Write for example {'-'.join(list(terminals)[:2])}.",
                )


def battery_volts(part: Part) -> float:
    """Return the volts of a battery at rest. [V]

    Parameters
    ----------
    part
        The battery.
    """
    return part.size("emf") if part.has("emf") else rest_voltage(part.size("charge"))
