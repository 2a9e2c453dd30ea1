"""Trade symbols, drawn for this project after the general practice of IEC 60617.

Each is drawn round its middle, its first end up; the line above and below it is the column's.
"""

from collections.abc import Callable, Mapping
from typing import Final

from witnessmark.papers.circuit.branches import Symbol
from witnessmark.papers.circuit.places import PlacedBranch
from witnessmark.papers.svg import px

DOT: Final = ' fill="currentColor" stroke="none"'
THIN: Final = ' stroke-width="1.4"'


def symbol(placed: PlacedBranch, is_closed: bool) -> str:
    """Return the symbol of a branch where it stands.

    Parameters
    ----------
    placed
        The branch.
    is_closed
        Whether a switch or contact conducts in the state that is shown.
    """
    kind = placed.branch.symbol
    if kind in (Symbol.SWITCH, Symbol.CONTACT):
        body = _arm(is_closed, kind is Symbol.SWITCH, placed.branch.rests)
    elif kind is Symbol.OUTPUT:
        body = _output(is_closed)
    else:
        body = _DRAWN[kind]()
    turn = " rotate(180)" if placed.is_turned and kind in _POLAR else ""
    return f'<g class="sym" transform="translate({px(placed.x)} {px(placed.y)}){turn}">{body}</g>'


_POLAR: Final = frozenset({Symbol.BATTERY, Symbol.DIODE, Symbol.LED, Symbol.SUPPLY, Symbol.PULL_UP})


def _arm(is_closed: bool, is_switch: bool, rests: bool) -> str:
    stubs = '<path d="M0 -15V-12M0 12V15"/>'
    if is_switch:
        stubs += f'<circle cy="-12" r="3"{DOT}/><circle cy="12" r="3"{DOT}/>'
        tip = "M0 12L-4 -14" if is_closed else "M0 12L-14 -10"
    elif rests:  # a break contact: its arm lies behind the fixed end and leaves it to the left
        stubs += '<path d="M0 -12H9"/>'
        tip = "M0 12L6 -12" if is_closed else "M0 12L-13 -9"
    else:
        tip = "M0 12L-4 -12M-9 -12H0" if is_closed else "M0 12L-14 -10"
    return f'{stubs}<path class="arm" d="{tip}"/>'


def _output(is_closed: bool) -> str:
    tip = "M0 10V-9" if is_closed else "M0 10L-11 -8"
    return (
        '<path class="hol" d="M-22 -18H22V18H-22z"/>'
        f'<path d="M0 -18V-9M0 10V18"/><path class="arm" d="{tip}"/>'
        f'<circle cy="-9" r="2.2"{DOT}/><path d="M22 -18L12 -18 22 -8z"{DOT}/>'
    )


def _battery() -> str:
    return '<path d="M-20 -11H20M-20 5H20"/><path d="M-10 -4H10M-10 12H10" stroke-width="4.5"/>'


def _wire() -> str:
    return '<path d="M0 -6V6M-5 5L5 -5"/>'


def _connector() -> str:
    return '<path d="M0 -9V-6M-8 -8L0 0 8 -8M-8 0L0 8 8 0M0 8V9"/>'


def _splice() -> str:
    return f'<path d="M0 -6V6"/><circle r="5.4"{DOT}/>'


def _ground() -> str:
    return '<circle class="hol" r="8.4"/><path d="M-8 0H8"/>'


def _fuse() -> str:
    return '<path class="hol" d="M-8 -15H8V15H-8z"/><path d="M0 -15V15"/>'


def _link() -> str:
    return (
        '<path d="M0 -16V-11M0 11V16M0 -11C-12 -5 12 5 0 11" class="nofill"/>'
        f'<circle cy="-12" r="2.6"{DOT}/><circle cy="12" r="2.6"{DOT}/>'
    )


def _coil() -> str:
    return '<path class="hol" d="M-21 -11H21V11H-21z"/>'


def _winding() -> str:
    return f'{_coil()}<path d="M-9 11L9 -11"/>'


def _lamp() -> str:
    return '<circle class="hol" r="15.5"/><path d="M-11 -11L11 11M11 -11L-11 11"/>'


def _diode() -> str:
    return '<path class="hol" d="M-11 -10H11L0 9z"/><path d="M-11 9H11M0 -11V-10M0 9V11"/>'


def _led() -> str:
    return (
        '<path class="hol" d="M-11 -10H11L0 9z"/><path d="M-11 9H11M0 -13V-10M0 9V13"/>'
        f'<path{THIN} d="M11 2L20 -4M16.5 -4.5L20.5 -4.5 19 -0.5'
        'M8 9L17 3M13.5 2.5L17.5 2.5 16 6.5"/>'
    )


def _resistor() -> str:
    return '<path class="hol" d="M-8.5 -17H8.5V17H-8.5z"/>'


def _heater() -> str:
    return (
        '<path class="hol" d="M-8.5 -18H8.5V18H-8.5z"/>'
        f'<path{THIN} d="M-8.5 -9H8.5M-8.5 0H8.5M-8.5 9H8.5"/>'
    )


def _sender() -> str:
    return (
        f'{_resistor()}<path{THIN} d="M-16 13L15 -12"/><path d="M16.5 -13L8.5 -11.5 '
        f'13.5 -6z"{DOT}/>'
    )


def _motor() -> str:
    return '<circle class="hol" r="19.5"/><text y="7" class="f20 b" text-anchor="middle">M</text>'


def _alternator() -> str:
    return (
        '<circle class="hol" r="19.5"/>'
        '<text y="3" class="f15 b" text-anchor="middle">G</text>'
        f'<path class="nofill"{THIN} d="M-8 10C-5 4 -3 4 0 10S5 16 8 10"/>'
    )


def _module() -> str:
    return f'<path class="hol" d="M-22 -17H22V17H-22z"/><path{THIN} d="M-13 6H-6V-7H2V6H9V-7H13"/>'


def _supply() -> str:
    return '<circle class="hol" r="14.5"/><path d="M0 -15V15M-8 -5H-4M-6 -7V-3"/>'


def _pull_up() -> str:
    return f'{_resistor()}<path{THIN} d="M0 11V-9"/><path d="M0 -13L-4.5 -5H4.5z"{DOT}/>'


_DRAWN: Final[Mapping[Symbol, Callable[[], str]]] = {
    Symbol.BATTERY: _battery,
    Symbol.WIRE: _wire,
    Symbol.CONNECTOR: _connector,
    Symbol.SPLICE: _splice,
    Symbol.GROUND: _ground,
    Symbol.FUSE: _fuse,
    Symbol.LINK: _link,
    Symbol.COIL: _coil,
    Symbol.WINDING: _winding,
    Symbol.LAMP: _lamp,
    Symbol.LED: _led,
    Symbol.DIODE: _diode,
    Symbol.RESISTOR: _resistor,
    Symbol.HEATER: _heater,
    Symbol.SENDER: _sender,
    Symbol.MOTOR: _motor,
    Symbol.ALTERNATOR: _alternator,
    Symbol.MODULE: _module,
    Symbol.SUPPLY: _supply,
    Symbol.PULL_UP: _pull_up,
}
