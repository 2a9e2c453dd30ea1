"""The circuit solver against ngspice, and against the linear algebra it cannot do without."""

import resource
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np

import witnessmark
from benchmarks import Row
from tests.networks.made_circuits import large_sheet
from witnessmark.networks import Circuit, Fault, fault_modes, netlist, nodal, solve, solver
from witnessmark.networks.compiled import compiled
from witnessmark.networks.laws import LEAK_S
from witnessmark.networks.solver import NODAL
from witnessmark.sheets.circuit import read_circuit

SHEETS = Path(witnessmark.__file__).parent / "examples" / "circuits"
SPICE_RUNS = 12  # for each sheet; its time hardly depends on the fault
REPEATS = 5
SPICE_REPEATS = 3
GROWN_PARTS = 30  # from here on the linear algebra is most of the work
Scenarios = list[tuple[Fault, ...]]


def rows() -> list[Row]:
    """Solve every library circuit, healthy and with every single fault, in every state."""
    circuits = [_read(path) for path in sorted(SHEETS.glob("*.toml"))]
    large = read_circuit(large_sheet(), "large.toml")
    points = 0
    cold_s = warm_s = process_s = loop_s = unbalanced_a = 0.0
    for circuit in circuits:
        scenarios = _single_faults(circuit)
        found = solve(circuit, scenarios)
        unbalanced_a = max(unbalanced_a, _unbalanced_a(circuit, found.currents, found.volts))
        points += found.chatter.size
        cold_s += min(_cold_s(circuit, scenarios) for _ in range(REPEATS))
        warm_s += min(_time_s(lambda c=circuit, s=scenarios: solve(c, s)) for _ in range(REPEATS))
        one_s, looped_s = _ngspice_s(circuit, scenarios)
        process_s += one_s * found.chatter.size
        loop_s += looped_s * found.chatter.size
    sides = {one: _side_by_side(one, _single_faults(one)) for one in (*circuits, large)}
    grown = {one: took for one, took in sides.items() if len(one.parts) >= GROWN_PARTS}
    what = f"{points} operating points of {len(circuits)} library circuits"
    process = f"one ngspice process per fault and state: {points / process_s:.0f} per s, {what}"
    loop = f"ngspice looping in one process: {points / loop_s:.0f} per s"
    return [
        Row(
            name="find: operating points per second",
            value=points / warm_s,
            unit="per s",
            against=process,
        ),
        _faster("ports, cold, speed", process_s / cold_s, process, 150),
        _faster("ports, warm, speed", process_s / warm_s, process, 300),
        _faster("ports, cold, speed in a loop", loop_s / cold_s, loop, 20),
        _faster("ports, warm, speed in a loop", loop_s / warm_s, loop, 40),
        Row(
            name=f"find: full nodal, time, circuits of {GROWN_PARTS} parts and more",
            value=_ratio(grown.values()),
            unit="x",
            against="numpy.linalg.solve alone, once on each stack that the settling needs; "
            f"{len(grown)} circuits, {min(map(_ratio_of, grown.values())):.1f} to "
            f"{max(map(_ratio_of, grown.values())):.1f} x",
            bar="at most 2 x",
            holds=_ratio(grown.values()) <= 2,
        ),
        Row(
            name="find: full nodal, time, all circuits",
            value=_ratio(sides.values()),
            unit="x",
            against=f"the same, {len(sides)} circuits; on the smallest, what stands around a solve "
            "of a microsecond counts most",
            bar="at most 2 x",
            holds=_ratio(sides.values()) <= 2,
        ),
        Row(
            name="find: unbalanced current",
            value=unbalanced_a,
            unit="A",
            against="Kirchhoff's current law at every point of every case",
            bar="at most 1e-9 A",
            holds=unbalanced_a <= 1e-9,
        ),
    ]


def _ratio(took: Iterable[tuple[float, float]]) -> float:
    """Return how often as long the whole took as the bare solves, some circuits together."""
    whole_s, bare_s = zip(*took, strict=True)
    return sum(whole_s) / sum(bare_s)


def _ratio_of(took: tuple[float, float]) -> float:
    return _ratio([took])


def _faster(name: str, value: float, against: str, bar: float) -> Row:
    return Row(
        name=f"find: {name}",
        value=value,
        unit="x",
        against=against,
        bar=f"at least {bar:g} x",
        holds=value >= bar,
    )


def _read(path: Path) -> Circuit:
    return read_circuit(path.read_text(encoding="utf-8"), path.name)


def _single_faults(circuit: Circuit) -> Scenarios:
    return [(), *((fault,) for mode in fault_modes(circuit) for fault in mode.faults)]


def _time_s(act: Callable[[], object]) -> float:
    """Time of the processor: other work beside this one does not count."""
    began = time.thread_time()
    act()
    return time.thread_time() - began


def _children_s(act: Callable[[], object]) -> float:
    """Time of the processor in processes that were started and have ended."""
    began = resource.getrusage(resource.RUSAGE_CHILDREN)
    act()
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return ended.ru_utime + ended.ru_stime - began.ru_utime - began.ru_stime


def _cold_s(circuit: Circuit, scenarios: Scenarios) -> float:
    solver.ports_of.cache_clear()
    return _time_s(lambda: solve(circuit, scenarios))


def _unbalanced_a(circuit: Circuit, currents: np.ndarray, volts: np.ndarray) -> float:
    left = currents @ compiled(circuit).incidence + LEAK_S * volts[..., 1:]
    return float(np.abs(left).max())


def _side_by_side(circuit: Circuit, scenarios: Scenarios) -> tuple[float, float]:
    """Least time of the whole nodal way, and of the linear solves in it, taken turn by turn."""
    stacks: list[tuple[np.ndarray, np.ndarray]] = []
    plain = nodal.solved

    def noted(matrix: np.ndarray, right: np.ndarray) -> np.ndarray:
        stacks.append((matrix.copy(), right.copy()))
        return plain(matrix, right)

    nodal.solved = noted
    try:
        solve(circuit, scenarios, way=NODAL)
    finally:
        nodal.solved = plain
    whole, bare = [], []
    for _ in range(2 * REPEATS):
        whole.append(_time_s(lambda: solve(circuit, scenarios, way=NODAL)))
        bare.append(_time_s(lambda: [np.linalg.solve(m, r[..., None]) for m, r in stacks]))
    return min(whole), min(bare)


def _ngspice_s(circuit: Circuit, scenarios: Scenarios) -> tuple[float, float]:
    """Least time of one ngspice process, and of one netlist in a process that reads many."""
    state = circuit.states[-1].name
    every = max(1, len(scenarios) // SPICE_RUNS)
    with tempfile.TemporaryDirectory(prefix="witnessmark-bench-") as folder:
        decks = []
        for number, faults in enumerate(scenarios[::every]):
            decks.append(Path(folder) / f"{number}.cir")
            decks[-1].write_text(netlist(circuit, state, faults), encoding="utf-8")
        process_s = min(
            _children_s(lambda: [_run(deck.name, folder) for deck in decks])
            for _ in range(SPICE_REPEATS)
        ) / len(decks)
        lines = ["* many", ".control", "set noaskquit"]
        for deck in decks:
            text = deck.read_text(encoding="utf-8").replace("\nquit\n", "\n")
            deck.write_text(text, encoding="utf-8")
            lines += [f"source {deck.name}", "remcirc", "destroy all"] * REPEATS
        master = Path(folder) / "many.cir"
        master.write_text("\n".join([*lines, "quit", ".endc", ".end"]) + "\n", encoding="utf-8")
        loop_s = min(
            _children_s(lambda: _run(master.name, folder)) for _ in range(SPICE_REPEATS)
        ) / (len(decks) * REPEATS)
    return process_s, loop_s


def _run(name: str, folder: str) -> None:
    subprocess.run(["ngspice", "-b", name], cwd=folder, check=True, capture_output=True)
