"""The same circuit as a netlist for ngspice, so that anyone can check the solver."""

from collections.abc import Sequence

from witnessmark.networks.circuit import Circuit
from witnessmark.networks.compiled import Compiled, Flags, Floats, compiled
from witnessmark.networks.curves import spice_current
from witnessmark.networks.faulted import faulted
from witnessmark.networks.faults import Fault
from witnessmark.networks.laws import LEAK_S
from witnessmark.networks.piece import CURVED, Law
from witnessmark.networks.solver import Solution, solve

OPTIONS = ".options reltol=1e-9 abstol=1e-13 vntol=1e-11 gmin=1e-18 itl1=1000 numdgt=12"


def netlist(circuit: Circuit, state: str, faults: Sequence[Fault] = ()) -> str:
    """Return a netlist that ngspice runs as it is (`ngspice -b`) and that prints every voltage.

    Contacts, blown fuses and switches stand as our solver settled them; our leak from every
    point to ground is in it. The search begins at our volts, rounded, because a diode or a
    regulator is steep; ngspice then settles the equations by itself.

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
    return netlist_of(circuit, solve(circuit, [tuple(faults)], [state]))


def netlist_of(circuit: Circuit, found: Solution, scenario: int = 0, state: int = 0) -> str:
    """Return the netlist of one operating point that is solved already.

    Parameters
    ----------
    circuit
        The circuit.
    found
        Its operating points.
    scenario
        Number of the scenario among those found.
    state
        Number of the state among those found.

    Returns
    -------
    str
        The netlist, as `netlist` gives it.
    """
    book, faults, name = compiled(circuit), found.scenarios[scenario], found.states[state]
    lines = [f"* {_plain(circuit.name)}, state {_plain(name)}"]
    lines += [f"* fault {_plain(str(fault))}" for fault in faults]
    lines += [
        f"* node {number}: {_plain(point.letter)} {_plain(point.words)}".rstrip()
        for number, point in enumerate(circuit.points)
    ]
    lines += _elements(book, found.conducts[scenario, state], name, faults)
    lines += [f"Rleak{n} {n} 0 {1 / LEAK_S:.12g}" for n in range(1, len(circuit.points))]
    lines += _start(found.volts[scenario, state])
    lines += [OPTIONS, ".control", "set numdgt=12", "op"]
    lines += [f"print v({number})" for number in range(1, len(circuit.points))]
    lines += ["quit", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def _start(volts: Floats) -> list[str]:
    """Where ngspice begins to search; where it ends it finds by itself."""
    return [
        f".nodeset v({number})={one:.6g}" for number, one in enumerate(volts.tolist()) if number
    ]


def _elements(book: Compiled, conducts: Flags, state: str, faults: Sequence[Fault]) -> list[str]:
    changed = faulted(book, [tuple(faults)])
    ohms, emfs = changed.sizes(book.ohms(book.circuit.state(state)), book.emf_v)
    lines = []
    for number, piece in enumerate(book.pieces):
        one, other = book.first[number], book.second[number]
        ohm, emf_v = float(ohms[0, number]), float(emfs[0, number])
        name = f"{number}_{_plain(piece.name).replace(' ', '_')}"
        if not conducts[number]:
            if piece.law is not Law.SHORT:
                lines.append(f"* {name} does not conduct")
        elif piece.law is Law.SOURCE:
            lines.append(f"V{name} inside{number} {other} {emf_v:.15g}")
            lines.append(f"R{name} inside{number} {one} {ohm:.15g}")
        elif piece.law in CURVED and not changed.is_plain[0, number]:
            current = spice_current(piece.law, f"V({one},{other})", ohm, emf_v, piece.curve)
            lines.append(f"B{name} {one} {other} I={current}")
        else:
            lines.append(f"R{name} {one} {other} {ohm:.15g}")
    return lines


def _plain(text: str) -> str:
    """Signs that ngspice may take amiss become a dash."""
    return "".join(
        sign if sign.isascii() and (sign.isalnum() or sign in " :=.") else "-" for sign in text
    )
