"""`witnessmark circuit`: a sheet checked and solved, its faults, a netlist, what sheets need."""

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from witnessmark.diagnosis.healthy import Healthy, check_healthy
from witnessmark.errors import BenchError
from witnessmark.networks import (
    Circuit,
    Fault,
    FaultMode,
    Solution,
    fault_modes,
    netlist,
    parse_fault,
    solve,
)
from witnessmark.quantities import show
from witnessmark.sheets.circuit import read_circuit
from witnessmark.sheets.circuit_kinds import kinds_lines, kinds_needed
from witnessmark.sheets.circuit_schema import circuit_schema

EPILOG = """
examples:
  witnessmark circuit check fan.toml
  witnessmark circuit solve fan.toml
  witnessmark circuit solve fan.toml --state run --fault G7:high=0.8 --json
  witnessmark circuit faults fan.toml
  witnessmark circuit spice fan.toml --state run > fan.cir && ngspice -b fan.cir

A fault is PART:MODE or PART:MODE=VALUE. Added resistance is in ohms (G7:high=0.8), the charge
left in a weak battery in percent (BAT:weak=40). `circuit faults` lists the modes of each part.
Volts are to the battery's negative post. A current is positive from the first terminal of the
part, as the sheet names them, to the second. `circuit check` says what each load gets while nothing
is broken, and ends with 1 if something looks wrong; `circuit kinds` says what each kind of part
needs; `circuit schema` prints the JSON Schema of a sheet for an editor.
"""


def add_to(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its questions to the parser."""
    parser = subparsers.add_parser(
        "circuit",
        help="check and work out a circuit sheet: what loads get, faults, netlist",
        description="Check and work out the circuit of a sheet, healthy or with faults.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    asks = parser.add_subparsers(title="questions", metavar="QUESTION", required=True)
    _takes_json(_question(asks, "check", "what each load gets, and what looks wrong", run_check))
    solving = _question(asks, "solve", "volts, currents and contacts of every state", run_solve)
    solving.add_argument("--state", metavar="NAME", help="one operating state; all without it")
    _takes_faults(solving)
    _takes_json(solving)
    _takes_json(_question(asks, "faults", "every single fault the circuit can have", run_faults))
    spice = _question(asks, "spice", "one state as a netlist for ngspice -b", run_spice)
    spice.add_argument("--state", metavar="NAME", help="operating state; the first without it")
    _takes_faults(spice)
    kinds = _question(asks, "kinds", "what each kind of part needs", run_kinds, takes_sheet=False)
    _takes_json(kinds)
    _question(asks, "schema", "the JSON Schema of a sheet", run_schema, takes_sheet=False)


def _question(
    asks: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    words: str,
    run: Any,
    takes_sheet: bool = True,
) -> argparse.ArgumentParser:
    parser = asks.add_parser(
        name,
        help=words,
        description=f"{words[:1].upper()}{words[1:]}.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    if takes_sheet:
        parser.add_argument("sheet", metavar="SHEET", type=Path, help="circuit sheet (TOML)")
    parser.set_defaults(run=run)
    return parser


def _takes_faults(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--fault",
        dest="faults",
        metavar="PART:MODE[=VALUE]",
        action="extend",
        nargs="+",
        default=[],
        help="a fault in the circuit; several at once are allowed",
    )


def _takes_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print the answer for a program")


def run_check(asked: argparse.Namespace) -> int:
    """Print what each load gets while nothing is broken; 1 if something looks wrong."""
    circuit = _read(asked.sheet)
    healthy = check_healthy(circuit)
    if asked.json:
        _print_json({"circuit": circuit.name, **asdict(healthy)})
    else:
        print("\n".join(_checked(circuit, healthy)))
    return 1 if healthy.notices else 0


def _checked(circuit: Circuit, healthy: Healthy) -> list[str]:
    lines = [circuit.name, f"Source: {circuit.source}", ""]
    for state in healthy.states:
        lines += [f"{state.state} ({state.words}):"]
        lines += [f"  {sentence}" for sentence in state.sentences]
    lines += ["", *(f"Look at this: {notice.sentence}" for notice in healthy.notices)]
    return [*lines, healthy.closing]


def run_kinds(asked: argparse.Namespace) -> int:
    """Print what each kind of part needs."""
    if asked.json:
        _print_json({"kinds": [asdict(one) for one in kinds_needed()]})
    else:
        print("\n".join(kinds_lines()), end="")
    return 0


def run_schema(asked: argparse.Namespace) -> int:
    """Print the JSON Schema of a circuit sheet."""
    _print_json(circuit_schema())
    return 0


def run_solve(asked: argparse.Namespace) -> int:
    """Print the operating point of every state, or of one."""
    circuit = _read(asked.sheet)
    faults = tuple(parse_fault(text, circuit) for text in asked.faults)
    found = solve(circuit, [faults], None if asked.state is None else [asked.state])
    if asked.json:
        states = {name: _state_as_json(found, at) for at, name in enumerate(found.states)}
        _print_json(
            {
                "circuit": circuit.name,
                "faults": [str(fault) for fault in faults],
                "states": states,
            }
        )
    else:
        print("\n".join(_told(circuit, faults, found)))
    return 0


def run_faults(asked: argparse.Namespace) -> int:
    """Print every single fault of a circuit: the sizes that are tried, and what puts it right."""
    circuit = _read(asked.sheet)
    modes = fault_modes(circuit)
    if asked.json:
        _print_json(
            {
                "circuit": circuit.name,
                "faults": [
                    {
                        "part": mode.part,
                        "mode": mode.mode,
                        "words": mode.words,
                        "weight": mode.weight,
                        "repair": mode.repair,
                        "values": [value for value in mode.severities if value is not None],
                        "faults": [str(fault) for fault in mode.faults],
                    }
                    for mode in modes
                ],
            }
        )
        return 0
    rows = [("fault", "in words", "sizes tried", "weight", "what puts it right")]
    rows += [(m.key, m.words, _sizes(m), f"{m.weight:.2g}", m.repair) for m in modes]
    print(circuit.name)
    print("\n".join(_table(rows)))
    print("\nWeights: common practice, no published source; a part's own stands in the sheet.")
    return 0


def run_spice(asked: argparse.Namespace) -> int:
    """Print one state of a circuit as a netlist."""
    circuit = _read(asked.sheet)
    faults = tuple(parse_fault(text, circuit) for text in asked.faults)
    state = circuit.states[0].name if asked.state is None else asked.state
    print(netlist(circuit, state, faults), end="")
    return 0


def _read(sheet: Path) -> Circuit:
    try:
        text = sheet.read_text(encoding="utf-8")
    except (UnicodeDecodeError, IsADirectoryError) as error:
        raise BenchError(
            f"{sheet.name} is not a text.",
            "A circuit sheet is a TOML text in UTF-8.",
            "Check which file was named.",
        ) from error
    return read_circuit(text, sheet.name)


def _print_json(answer: dict[str, Any]) -> None:
    json.dump(answer, sys.stdout, indent=2, ensure_ascii=False)
    print()


def _state_as_json(found: Solution, at: int) -> dict[str, Any]:
    return {
        "nodes": dict(zip(found.points, found.volts[0, at].tolist(), strict=True)),
        "currents": dict(zip(found.pieces, found.currents[0, at].tolist(), strict=True)),
        "contacts": dict(zip(found.relays, found.contacts[0, at].tolist(), strict=True)),
        "blown": _marked(found.pieces, found.blown[0, at].tolist()),
        "chatter": bool(found.chatter[0, at]),
        "floating": _marked(found.points, found.floating[0, at].tolist()),
    }


def _marked(names: Sequence[str], marks: Sequence[bool]) -> list[str]:
    return [name for name, mark in zip(names, marks, strict=True) if mark]


def _told(circuit: Circuit, faults: Sequence[Fault], found: Solution) -> list[str]:
    count = len(found.states)
    lines = [circuit.name, f"Source: {circuit.source}"]
    lines.append("Faults: " + (", ".join(map(str, faults)) or "none, the circuit is healthy"))
    volts = [("point", *found.states)]
    for number, point in enumerate(circuit.points):
        said = f"{point.letter:<3} {point.said}".rstrip()
        marks = ["*" if found.floating[0, at, number] else "" for at in range(count)]
        cells = [show(float(found.volts[0, at, number]), "V", 0.001) for at in range(count)]
        volts.append((said, *(c + m for c, m in zip(cells, marks, strict=True))))
    amps = [("current through", *found.states)]
    for number, piece in enumerate(found.pieces):
        amps.append((piece, *(_amps(float(found.currents[0, at, number])) for at in range(count))))
    lines += ["", *_table(volts, right=True), "", *_table(amps, right=True), ""]
    if found.floating.any():
        lines.append("* nothing ties this point to the battery: a meter finds no steady volts.")
    for at, name in enumerate(found.states):
        lines += _happened(circuit, found, at, name)
    return lines


def _happened(circuit: Circuit, found: Solution, at: int, state: str) -> list[str]:
    closed = dict(zip(found.relays, found.contacts[0, at].tolist(), strict=True))
    said = [f"{contact} is {'closed' if on else 'open'}." for contact, on in closed.items()]
    said += [f"Fuse {name} has blown." for name in _marked(found.pieces, found.blown[0, at])]
    if found.chatter[0, at]:
        said.append("A relay finds no rest and chatters; the volts are those of one moment.")
    return [f"{state} ({circuit.state(state).words}): {' '.join(said)}"] if said else []


def _amps(current_a: float) -> str:
    if abs(current_a) >= 1:
        return show(current_a, "A", 0.001)
    milliamps = show(current_a * 1000, "mA", 0.01)
    return "0 A" if milliamps == "0.00 mA" else milliamps


def _sizes(mode: FaultMode) -> str:
    unit = "%" if mode.mode == "weak" else "Ω"
    sizes = [f"{value:.3g}" for value in mode.severities if value is not None]
    return f"{', '.join(sizes)} {unit}" if sizes else ""


def _table(rows: Sequence[Sequence[str]], right: bool = False) -> list[str]:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if right and at else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(cells).rstrip())
    return lines
