"""An assembly as its sheet describes it: what is measured where, and what it must keep."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from witnessmark.errors import BenchError
from witnessmark.fitting.bushes import Bearing
from witnessmark.fitting.oil_holes import SHOP_SHARE
from witnessmark.metrology import Bench, Instrument, Limit, Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Characteristic:
    """Something with a size at each position: read with an instrument, or one minus another.

    `plus` and `minus` name the characteristics that a derived one is made from.
    """

    key: str
    title: str
    short: str  # as a crew says it: "bore"
    unit: str
    plus: str | None = None
    minus: str | None = None
    limit: Limit | None = None

    @property
    def is_derived(self) -> bool:
        """Return whether it is computed from others."""
        return self.plus is not None and self.minus is not None

    def weights(self, position: str) -> dict[Place, float]:
        """Return the places that make its size, each with its weight."""
        if self.plus is not None and self.minus is not None:
            return {
                Place(characteristic=self.plus, position=position): 1.0,
                Place(characteristic=self.minus, position=position): -1.0,
            }
        return {Place(characteristic=self.key, position=position): 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class OilHoles:
    """The rule for oil holes: which reading is the turn, and the share that must stay open."""

    turn: str  # key of the characteristic
    share: float = SHOP_SHARE
    source: str

    def __post_init__(self) -> None:
        if not 0 < self.share <= 1:
            raise BenchError(
                f"The open share of an oil hole is set to {self.share:g}.",
                "It is a share between 0 and 1.",
                "Write 0.75 for three quarters.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The rule for the order of bushes: which reading names the bush, and how it is pressed."""

    bush: str  # key of the characteristic
    press: Limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """An engine, brake or axle with its characteristics, from the first end to the last."""

    name: str
    source: str
    position_word: str  # "Bearing"
    positions: tuple[str, ...]
    ends: tuple[str, str]  # "Front", "Flywheel"
    characteristics: tuple[Characteristic, ...]
    instruments: tuple[Instrument, ...]
    bearings: tuple[Bearing, ...] = ()
    oil_holes: OilHoles | None = None
    order: Order | None = None
    cautions: tuple[str, ...] = ()
    hand_u_mm: float = 0.0

    def characteristic(self, key: str) -> Characteristic:
        """Return the characteristic with a key."""
        for found in self.characteristics:
            if found.key == key:
                return found
        raise BenchError(
            f"“{key}” is not measured on {self.name}.",
            f"Its sheet has {', '.join(found.key for found in self.characteristics)}.",
            "Choose one of these, or add it to the sheet.",
        )

    def bearing(self, position: str) -> Bearing | None:
        """Return the bearing at a position, None where the sheet describes none."""
        return next((found for found in self.bearings if found.position == position), None)

    def bench(self) -> Bench:
        """Return the instruments as readings are judged with them."""
        return Bench(
            instruments={instrument.id: instrument for instrument in self.instruments},
            hand_u=self.hand_u_mm,
            unit="mm",
        )

    def title(self, position: str) -> str:
        """Return a position as a sentence begins with it: "Bearing 3"."""
        return f"{self.position_word} {position}"

    def places(self) -> Iterator[Place]:
        """Yield every place that is read with an instrument."""
        for position in self.positions:
            for characteristic in self.characteristics:
                if not characteristic.is_derived:
                    yield Place(characteristic=characteristic.key, position=position)

    def place_names(self) -> Mapping[Place, str]:
        """Return what people call each place, whole: "Bearing 3, bore"."""
        short = {found.key: found.short for found in self.characteristics}
        return {
            place: f"{self.title(place.position)}, {short[place.characteristic]}"
            for place in self.places()
        }

    def judged(self) -> tuple[Characteristic, ...]:
        """Return the characteristics that have a limit, in the order of the sheet."""
        return tuple(found for found in self.characteristics if found.limit is not None)
