"""The circuit solver against ngspice, and against the linear algebra it cannot do without."""

import subprocess
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

import witnessmark
from benchmarks import Row
from witnessmark.networks import Circuit, Fault, Solution, fault_modes, netlist, solve
from witnessmark.networks.compiled import compiled, faulted
from witnessmark.networks.newton import LEAK_S
from witnessmark.networks.pieces import LAMP_EXPONENT, LAMP_KNEE_V
from witnessmark.sheets.circuit import read_circuit

SHEETS = Path(witnessmark.__file__).parent / "examples" / "circuits"
SPICE_RUNS = 12  # for each sheet; its time hardly depends on the fault
REPEATS = 7
Scenarios = list[tuple[Fault, ...]]


def rows() -> list[Row]:
    """Solve every example circuit, healthy and with every single fault, in every state."""
    circuits = [_read(path) for path in sorted(SHEETS.glob("*.toml"))]
    points = 0
    solver_s = bare_s = spice_s = 0.0
    for circuit in circuits:
        scenarios = _single_faults(circuit)
        found = solve(circuit, scenarios)
        count = found.chatter.size
        points += count
        took_s, bare_took_s = _side_by_side(circuit, scenarios, found)
        solver_s += took_s
        bare_s += bare_took_s
        spice_s += _one_ngspice_s(circuit, scenarios) * count
    what = f"{points} operating points of {len(circuits)} example circuits"
    return [
        Row(
            name="find: operating points per second, full nodal",
            value=points / solver_s,
            unit="per s",
            against=f"one ngspice process per fault: {points / spice_s:.0f} per s, {what}",
        ),
        Row(
            name="find: full nodal, speed",
            value=spice_s / solver_s,
            unit="x",
            against="one ngspice process per fault and state, start and print included",
        ),
        Row(
            name="find: full nodal, time",
            value=solver_s / bare_s,
            unit="x",
            against="numpy.linalg.solve once on the settled matrices of the same points",
        ),
    ]


def _read(path: Path) -> Circuit:
    return read_circuit(path.read_text(encoding="utf-8"), path.name)


def _single_faults(circuit: Circuit) -> Scenarios:
    return [(), *((fault,) for mode in fault_modes(circuit) for fault in mode.faults)]


def _time_s(act: Callable[[], object]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def _side_by_side(circuit: Circuit, scenarios: Scenarios, found: Solution) -> tuple[float, float]:
    """Least time of the solver and of the bare linear solve, taken turn by turn."""
    matrices, right = _settled_stack(circuit, scenarios, found)
    again = np.linalg.solve(matrices, right[..., None])[..., 0]
    tied = ~found.floating[..., 1:].reshape(again.shape)
    wrong_v = np.abs(again - found.volts[..., 1:].reshape(again.shape))[tied]
    assert wrong_v.max() < 1e-6, f"{circuit.name}: not the stack that was solved"
    solver, bare = [], []
    for _ in range(REPEATS):
        solver.append(_time_s(lambda: solve(circuit, scenarios)))
        bare.append(_time_s(lambda: np.linalg.solve(matrices, right[..., None])))
    return min(solver), min(bare)


def _settled_stack(
    circuit: Circuit, scenarios: Scenarios, found: Solution
) -> tuple[np.ndarray, np.ndarray]:
    """The nodal equations of every point as they stand once contacts and lamps have settled."""
    book = compiled(circuit)
    changed = faulted(book, scenarios)
    conducts = ~(changed.is_open[:, None] | found.blown)
    for at, state in enumerate(circuit.states):
        closed = book.closed_switches(state) | changed.stays_closed[:, book.switch]
        conducts[:, at, book.switch] &= closed & ~changed.stays_open[:, book.switch]
    conducts[..., book.relays.contact] &= found.contacts
    conductance = 1 / np.where(book.ohm > 0, changed.ohm, 1)[:, None]
    conductance = np.where(conducts, conductance, 0)
    lamp_v = (found.volts[..., 1:] @ book.incidence.T)[..., book.lamp]
    law = book.lamp_k * (lamp_v**2 + LAMP_KNEE_V**2) ** ((LAMP_EXPONENT - 1) / 2)
    conductance[..., book.lamp] = np.where(conducts[..., book.lamp], law, 0)
    conductance = conductance.reshape(-1, len(book.pieces))
    emf_v = np.broadcast_to(changed.emf_v[:, None], found.currents.shape).reshape(conductance.shape)
    matrices = (book.incidence.T[None] * conductance[:, None]) @ book.incidence
    matrices += LEAK_S * np.eye(book.incidence.shape[1])
    return matrices, (conductance * emf_v) @ book.incidence


def _one_ngspice_s(circuit: Circuit, scenarios: Scenarios) -> float:
    """Mean time of one ngspice process; writing its netlist is not counted."""
    state = circuit.states[-1].name
    every = max(1, len(scenarios) // SPICE_RUNS)
    with tempfile.TemporaryDirectory(prefix="witnessmark-bench-") as folder:
        decks = []
        for number, faults in enumerate(scenarios[::every]):
            decks.append(Path(folder) / f"{number}.cir")
            decks[-1].write_text(netlist(circuit, state, faults), encoding="utf-8")
        began = time.perf_counter()
        for deck in decks:
            subprocess.run(["ngspice", "-b", str(deck)], check=True, capture_output=True)
        return (time.perf_counter() - began) / len(decks)
