"""ngspice as the other way: many netlists through few processes."""

import re
import subprocess
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from witnessmark.networks import solve
from witnessmark.networks.netlist import netlist_of

PRINTED = re.compile(r"^v\((\d+)\) = (\S+)$", re.MULTILINE)
TIED_V, FLOATING_V = 1e-6, 1e-4
AT_ONCE = 60  # netlists that one ngspice process reads one after the other


def _by_ngspice(netlists, folder):
    """Volts of every point of each netlist, many netlists through few processes."""
    batches = [
        list(enumerate(netlists))[start : start + AT_ONCE]
        for start in range(0, len(netlists), AT_ONCE)
    ]
    with ThreadPoolExecutor(2) as pool:
        answers = [one for batch in pool.map(lambda b: _batch(b, folder), batches) for one in batch]
    assert len(answers) == len(netlists)
    return answers


def _batch(batch, folder):
    for number, text in batch:
        assert text.count("\nquit\n") == 1
        (folder / f"{number}.cir").write_text(text.replace("\nquit\n", "\n"))
    # The paths are without capitals: ngspice writes every letter of a control line small.
    lines = ["* many", ".control", "set noaskquit"]
    for number, _ in batch:
        lines += [f"echo netlist {number}", f"source {number}.cir", "remcirc", "destroy all"]
    master = folder / f"many{batch[0][0]}.cir"
    master.write_text("\n".join([*lines, "quit", ".endc", ".end"]) + "\n")
    done = subprocess.run(
        ["ngspice", "-b", master.name], cwd=folder, capture_output=True, text=True, timeout=120
    )
    parts = re.split(r"^netlist (\d+)$", done.stdout, flags=re.MULTILINE)[1:]
    assert [int(number) for number in parts[::2]] == [number for number, _ in batch], done.stderr
    return [dict(_points(part)) for part in parts[1::2]]


def _points(part):
    return [(int(number), float(value)) for number, value in PRINTED.findall(part)]


def agree(made, scenarios, folder):
    """Fail unless every tied point agrees to 1e-6 V and every floating one to 1e-4 V."""
    found = solve(made, scenarios)
    asked = [(row, column) for row in range(len(scenarios)) for column in range(len(found.states))]
    texts = [netlist_of(made, found, row, column) for row, column in asked]
    for (row, column), volts in zip(asked, _by_ngspice(texts, folder), strict=True):
        theirs = np.array([0.0, *(volts[number] for number in range(1, len(made.points)))])
        allowed = np.where(found.floating[row, column], FLOATING_V, TIED_V)
        apart = np.abs(theirs - found.volts[row, column])
        if found.chatter[row, column]:
            continue
        assert (apart <= allowed).all(), (
            f"{made.name}, {found.states[column]}, {scenarios[row]}: {apart.max():g} V apart "
            f"at {found.points[int(apart.argmax())]}"
        )
