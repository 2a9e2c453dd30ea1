"""The same circuit as a netlist for ngspice, so that anyone can check the solver."""

from collections.abc import Sequence

import numpy as np

from witnessmark.networks.circuit import Circuit
from witnessmark.networks.compiled import Compiled, compiled, faulted
from witnessmark.networks.faults import Fault
from witnessmark.networks.newton import LEAK_S
from witnessmark.networks.pieces import LAMP_EXPONENT, LAMP_KNEE_V, Law
from witnessmark.networks.solver import Solution, solve

OPTIONS = ".options reltol=1e-9 abstol=1e-13 vntol=1e-11 gmin=1e-18 itl1=1000 numdgt=12"


def netlist(circuit: Circuit, state: str, faults: Sequence[Fault] = ()) -> str:
    """Return a netlist that ngspice runs as it is (`ngspice -b`) and that prints every voltage.

    Contacts, blown fuses and switches stand as our solver settled them; our leak from every
    point to ground is in it.

    Parameters
    ----------
    circuit
        The circuit.
    state
        Name of the operating state.
    faults
        The faults in it.

    Returns
    -------
    str
        The netlist. Point number n of the circuit is node n; node 0 is the battery's negative
        post; a comment names each.

    Raises
    ------
    BenchError
        If the circuit has no such state.
    """
    settled = solve(circuit, [tuple(faults)], [state])
    book = compiled(circuit)
    lines = [f"* {_plain(circuit.name)}, state {_plain(state)}"]
    lines += [f"* fault {_plain(str(fault))}" for fault in faults]
    lines += [
        f"* node {number}: {_plain(point.letter)} {_plain(point.words)}".rstrip()
        for number, point in enumerate(circuit.points)
    ]
    lines += _elements(book, settled, state, faults)
    lines += [f"Rleak{n} {n} 0 {1 / LEAK_S:.12g}" for n in range(1, len(circuit.points))]
    lines += [OPTIONS, ".control", "set numdgt=12", "op"]
    lines += [f"print v({number})" for number in range(1, len(circuit.points))]
    lines += ["quit", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def _elements(book: Compiled, settled: Solution, state: str, faults: Sequence[Fault]) -> list[str]:
    changed = faulted(book, [tuple(faults)])
    closed = dict(zip(settled.relays, settled.contacts[0, 0].tolist(), strict=True))
    switches = dict(
        zip(book.switch.tolist(), book.closed_switches(book.circuit.state(state)), strict=True)
    )
    lines = []
    for number, piece in enumerate(book.pieces):
        one, other = book.first[number], book.second[number]
        ohm = changed.ohm[0, number]
        conducts = not (changed.is_open[0, number] or settled.blown[0, 0, number])
        if piece.law is Law.SWITCH:
            is_closed = switches[number] or changed.stays_closed[0, number]
            conducts = conducts and bool(is_closed and not changed.stays_open[0, number])
        elif piece.law is Law.CONTACT:
            conducts = conducts and closed[piece.name]
        name = f"{number}_{_plain(piece.name).replace(' ', '_')}"
        if not conducts:
            lines.append(f"* {name} does not conduct")
        elif piece.law is Law.SOURCE:
            lines.append(f"V{name} inside{number} {other} {changed.emf_v[0, number]:.15g}")
            lines.append(f"R{name} inside{number} {one} {ohm:.15g}")
        elif piece.law is Law.LAMP:
            across = f"V({one},{other})"
            power = (LAMP_EXPONENT - 1) / 2
            lines.append(
                f"B{name} {one} {other} I={piece.lamp_k:.15g}*{across}"
                f"*pow({across}*{across}+{np.square(LAMP_KNEE_V):.15g},{power:.15g})"
            )
        else:
            lines.append(f"R{name} {one} {other} {ohm:.15g}")
    return lines


def _plain(text: str) -> str:
    """Signs that ngspice may take amiss become a dash."""
    return "".join(
        sign if sign.isascii() and (sign.isalnum() or sign in " :=.") else "-" for sign in text
    )
