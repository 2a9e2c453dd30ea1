"""Every kind of part: its terminals, the sizes it is told in, and what it may be set to.

One table serves the sheet's reader, its schema, the form in the browser and the solver.
"""

from collections.abc import Mapping
from enum import StrEnum
from typing import Final

from witnessmark.networks.forms import WIRE_SIZE, Choice, Form, Size, Terminal


class Kind(StrEnum):
    """What a part is."""

    BATTERY = "battery"
    WIRE = "wire"
    CONNECTOR = "connector"
    SPLICE = "splice"
    GROUND = "ground"
    FUSE = "fuse"
    LINK = "fusible link"
    SWITCH = "switch"
    SELECTOR = "selector"
    RELAY = "relay"
    SOLENOID = "solenoid"
    LAMP = "lamp"
    LED = "LED"
    DIODE = "diode"
    RESISTOR = "resistor"
    HEATER = "heater"
    SENDER = "sender"
    MOTOR = "motor"
    ALTERNATOR = "alternator"
    MODULE = "module"
    SUPPLY = "supply"
    PULL_UP = "pull-up"
    OUTPUT = "output"


LEAST_OHM: Final = 1e-6
MOST_OHM: Final = 1e8
MOST_V: Final = 1000.0
MOST_A: Final = 5000.0
MOST_W: Final = 10_000.0
MOST_M: Final = 200.0
COLDEST_C: Final = -60.0
HOTTEST_C: Final = 200.0
CLOSED, OPEN_POSITION = "closed", "open"
TURNING, STILL = "turning", "still"
ON, OFF = "on", "off"


def _ohms(key: str = "ohms", words: str = "resistance", usual: float | None = None) -> Size:
    return Size(key=key, words=words, unit="Ω", least=LEAST_OHM, most=MOST_OHM, usual=usual)


def _volts(key: str, words: str, usual: float | None = None) -> Size:
    return Size(key=key, words=words, unit="V", least=0.01, most=MOST_V, usual=usual)


def _amps(key: str, words: str, usual: float | None = None) -> Size:
    return Size(key=key, words=words, unit="A", least=1e-6, most=MOST_A, usual=usual)


def _temperature(words: str, usual: float) -> Size:
    return Size(
        key="temperature", words=words, unit="°C", least=COLDEST_C, most=HOTTEST_C, usual=usual
    )


_FROM: Final = Terminal(key="from", words="from")
_TO: Final = Terminal(key="to", words="to")
_ENDS: Final = (_FROM, _TO)
_OHMS: Final = (_ohms(),)
_LENGTH: Final = Size(key="length", words="length", unit="m", least=0.01, most=MOST_M)
_AREA: Final = Size(key="size", words="size", unit=WIRE_SIZE, least=0.01, most=500.0)
_COIL: Final = (
    Terminal(key="coil_from", words="coil, first end"),
    Terminal(key="coil_to", words="coil, second end"),
)
_POWER_AT: Final = (
    Size(key="power", words="power", unit="W", least=0.01, most=MOST_W),
    _volts("volts", "at"),
)
_PULLS_IN: Final = _volts("pulls_in", "pulls in at")
_DROPS_OUT: Final = _volts("drops_out", "drops out at")

FORMS: Final[Mapping[Kind, Form]] = {
    Kind.BATTERY: Form(
        words="a battery with its inner resistance",
        terminals=(
            Terminal(key="plus", words="plus post"),
            Terminal(key="minus", words="minus post"),
        ),
        ways=(
            (_volts("emf", "volts at rest"), _ohms("inside", "inner resistance")),
            (
                Size(key="charge", words="state of charge", unit="%", least=0.0, most=100.0),
                Size(key="cca", words="cold-cranking amps", unit="A", least=1.0, most=MOST_A),
            ),
        ),
        options=(_temperature("its temperature", 20.0),),
    ),
    Kind.WIRE: Form(
        words="a wire",
        terminals=_ENDS,
        ways=((_AREA, _LENGTH), _OHMS),
        options=(_temperature("temperature of its copper", 20.0),),
    ),
    Kind.CONNECTOR: Form(words="a plug, pin or terminal", terminals=_ENDS, ways=(_OHMS,)),
    Kind.SPLICE: Form(words="a splice", terminals=_ENDS, ways=(_OHMS,)),
    Kind.GROUND: Form(words="a ground joint", terminals=_ENDS, ways=(_OHMS,)),
    Kind.FUSE: Form(
        words="a fuse",
        terminals=_ENDS,
        ways=((Size(key="rating", words="rating", unit="A", least=0.1, most=MOST_A), _ohms()),),
        choices=(Choice(key="band", words="shape", values=("blade", "large")),),
    ),
    Kind.LINK: Form(
        words="a fusible link, a short thin wire that melts first",
        terminals=_ENDS,
        ways=((_AREA, _LENGTH),),
    ),
    Kind.SWITCH: Form(
        words="a switch of two terminals",
        terminals=_ENDS,
        ways=(_OHMS,),
        is_steered=True,
        stands=(OPEN_POSITION, CLOSED),
    ),
    Kind.SELECTOR: Form(
        words="a switch of several positions",
        terminals=(),
        ways=(_OHMS,),
        is_steered=True,
    ),
    Kind.RELAY: Form(
        words="a relay",
        terminals=(
            Terminal(key="from", words="contact, from"),
            Terminal(key="to", words="contact, to"),
            Terminal(key="rest", words="contact at rest", is_optional=True),
            *_COIL,
        ),
        ways=((_ohms("ohms", "contact"), _ohms("coil_ohms", "coil"), _PULLS_IN, _DROPS_OUT),),
        options=(_ohms("across_ohms", "resistor over the coil", 680.0),),
        choices=(
            Choice(key="rests", words="contact at rest", values=(OPEN_POSITION, CLOSED)),
            Choice(key="across", words="over the coil", values=("none", "diode", "resistor")),
        ),
    ),
    Kind.SOLENOID: Form(
        words="a starter solenoid with pull-in and hold-in winding",
        terminals=(
            Terminal(key="from", words="battery stud"),
            Terminal(key="to", words="motor stud"),
            Terminal(key="control", words="control terminal"),
            Terminal(key="body", words="its body"),
        ),
        ways=(
            (
                _ohms("ohms", "contact"),
                _ohms("pull_ohms", "pull-in winding"),
                _ohms("hold_ohms", "hold-in winding"),
                _PULLS_IN,
                _DROPS_OUT,
            ),
        ),
    ),
    Kind.LAMP: Form(
        words="a lamp with a filament",
        terminals=_ENDS,
        ways=(_POWER_AT,),
        is_load=True,
    ),
    Kind.LED: Form(
        words="an LED lamp with its resistor",
        terminals=_ENDS,
        ways=((_volts("drop", "volts over the LED", 2.0), _ohms("ohms", "resistor")),),
        is_load=True,
    ),
    Kind.DIODE: Form(
        words="a diode; current flows from its first terminal to its second",
        terminals=_ENDS,
        ways=(
            (
                _volts("drop", "volts over it", 0.7),
                _amps("at", "at", 1.0),
                Size(
                    key="per_decade",
                    words="more for ten times the current",
                    unit="V",
                    least=0.01,
                    most=1.0,
                    usual=0.1,
                ),
            ),
        ),
    ),
    Kind.RESISTOR: Form(
        words="a load of plain resistance", terminals=_ENDS, ways=(_OHMS, _POWER_AT), is_load=True
    ),
    Kind.HEATER: Form(words="a heater", terminals=_ENDS, ways=(_POWER_AT, _OHMS), is_load=True),
    Kind.SENDER: Form(words="a sender", terminals=_ENDS, ways=(_OHMS,)),
    Kind.MOTOR: Form(
        words="a motor",
        terminals=_ENDS,
        ways=(
            (_ohms("ohms", "resistance as it runs"),),
            (
                _ohms("armature", "resistance held still"),
                _volts("volts", "runs at"),
                _amps("amps", "drawing"),
            ),
        ),
        choices=(Choice(key="load", words="what it turns", values=("steady", "fan")),),
        is_load=True,
    ),
    Kind.ALTERNATOR: Form(
        words="an alternator with its regulator",
        terminals=(
            Terminal(key="from", words="its body"),
            Terminal(key="to", words="output stud"),
            Terminal(key="lamp", words="lamp terminal", is_optional=True),
        ),
        ways=((_volts("volts", "regulated volts"), _amps("limit", "most amps")),),
        options=(_ohms("inside", "inner resistance", 0.01), _ohms("lamp_ohms", "lamp driver", 1.0)),
        is_steered=True,
        stands=(STILL, TURNING),
    ),
    Kind.MODULE: Form(
        words="a control module as a load",
        terminals=_ENDS,
        ways=((_amps("draws", "draws"), _volts("volts", "at", 12.0)), _OHMS),
        is_load=True,
    ),
    Kind.SUPPLY: Form(
        words="a regulated feed of a module, from its ground to its pin",
        terminals=_ENDS,
        ways=((_volts("volts", "volts", 5.0), _amps("limit", "most amps")),),
        options=(_ohms("inside", "inner resistance", 0.05),),
        is_steered=True,
        stands=(ON, OFF),
    ),
    Kind.PULL_UP: Form(
        words="a module's input that pulls its pin up, from its ground to its pin",
        terminals=_ENDS,
        ways=((_volts("volts", "volts", 5.0), _ohms("ohms", "pull-up resistor")),),
    ),
    Kind.OUTPUT: Form(
        words="a module's switched output with a limit",
        terminals=_ENDS,
        ways=((_ohms(), _amps("limit", "cuts out above")),),
        is_steered=True,
        stands=(OFF, ON),
    ),
}
LOADS: Final = frozenset(kind for kind, form in FORMS.items() if form.is_load)
STEERED: Final = frozenset(kind for kind, form in FORMS.items() if form.is_steered)
SOURCES: Final = frozenset({Kind.BATTERY, Kind.ALTERNATOR, Kind.SUPPLY, Kind.PULL_UP})
