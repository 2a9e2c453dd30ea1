"""The advised tests against half-splitting by hand, on vehicles with known faults."""

import time
from pathlib import Path

import witnessmark
from benchmarks import Row
from tests.diagnosis.bench_play import (
    complaints_of,
    faults_with_a_complaint,
    half_splitting,
    ours,
    play,
)
from witnessmark.diagnosis.find import find_run
from witnessmark.networks.circuit import Circuit
from witnessmark.sheets.circuit import read_circuit

SHEETS = Path(witnessmark.__file__).parent / "examples" / "circuits"
REPEATS = 5


def rows() -> list[Row]:
    """Play every single fault of every example circuit that brings a complaint, both ways."""
    minutes = dict.fromkeys((ours, half_splitting), 0.0)
    weight = wrong = named = 0.0
    slowest_ms = 0.0
    for path in sorted(SHEETS.glob("*.toml")):
        circuit = read_circuit(path.read_text(encoding="utf-8"), path.name)
        for seed, (mode, fault) in enumerate(faults_with_a_complaint(circuit)):
            weight += mode.weight
            for crew in minutes:
                found, took, _ = play(circuit, fault, crew, seed=seed)
                minutes[crew] += mode.weight * took
                if crew is ours and found.stop.kind == "cause":
                    named += mode.weight
                    wrong += mode.weight * (found.stop.repair != mode.repair)
        slowest_ms = max(slowest_ms, _next_test_ms(circuit))
    by_hand = minutes[half_splitting] / weight
    return [
        Row(
            name="find: expected minutes to a cause, half-splitting over ours",
            value=minutes[half_splitting] / minutes[ours],
            unit="x",
            against=f"half-splitting by hand: {by_hand:.1f} min, with meter noise",
        ),
        Row(
            name="find: wrong part named, of all named",
            value=100.0 * wrong / named,
            unit="%",
            against="vehicles with one known fault",
        ),
        Row(
            name="find: a reading to the new advice, largest example",
            value=slowest_ms,
            unit="ms",
            against="belief, next test, drawing ranges; dictionary at hand",
        ),
    ]


def _next_test_ms(circuit: Circuit) -> float:
    """Return the best of some runs without a reading, which has the most suspects."""
    _, fault = next(faults_with_a_complaint(circuit))
    complaints = complaints_of(circuit, fault)
    find_run(circuit, complaints, [])
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        find_run(circuit, complaints, [])
        times.append(time.perf_counter() - start)
    return 1000.0 * min(times)
