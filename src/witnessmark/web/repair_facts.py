"""What the page 'Size the repair' prints: the answer, its tests, its drawing, volts and heat."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from witnessmark.diagnosis.facts import part_at_fault
from witnessmark.diagnosis.path import way_of
from witnessmark.networks import Circuit, Part, Solution, solve
from witnessmark.papers.fuse_drawing import fuse_svg
from witnessmark.papers.fuse_table import Mark, fuse_table
from witnessmark.quantities import convert, parse
from witnessmark.record.circuits import circuit_of
from witnessmark.record.core import JobRecord
from witnessmark.shop.models import Shop
from witnessmark.web.drawn import drawn
from witnessmark.wiring.budget import LoadCurrent, budget, current_through, loads_of
from witnessmark.wiring.heating import Heating
from witnessmark.wiring.joint_heat import JointKind, bad_joint, joint_sentences
from witnessmark.wiring.joints import CAUTIONS, COMMON_GROUND, SAYINGS, joint_rule
from witnessmark.wiring.on_sheet import sheet_run
from witnessmark.wiring.repair import Repair

JOINT_KINDS = {"wires": JointKind.WIRES, "stud": JointKind.STUD}
SHOWN_CAUTIONS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What a job knows of the repair: its circuit, solved healthy, and the part at fault."""

    circuit: Circuit
    solution: Solution
    loads: tuple[LoadCurrent, ...]
    part: Part | None  # that the cause names

    def load(self, key: str) -> LoadCurrent | None:
        """Return the load that the form names, as "Fan run"."""
        return next((one for one in self.loads if one.key == key), None)


def bench_of(record: JobRecord) -> Bench | None:
    """Return the circuit of a job, or None if it has no sheet."""
    sheet = record.sheet("circuit")
    if sheet is None:
        return None
    circuit = circuit_of(sheet.text, sheet.title)
    solution = solve(circuit)
    return Bench(
        circuit=circuit,
        solution=solution,
        loads=loads_of(circuit, solution),
        part=part_at_fault(circuit, record.cause.suspect) if record.cause else None,
    )


def first_load(record: JobRecord, bench: Bench) -> str:
    """Return the load that is complained of, as the form names it; empty if none is tied."""
    tied = {one.key: one for one in bench.circuit.complaints}
    for row in record.complaints:
        if row.is_standing and row.key in tied:
            key = f"{tied[row.key].load} {tied[row.key].state}"
            if bench.load(key):
                return key
    return ""


def known_already(bench: Bench, load: LoadCurrent | None, shop: Shop) -> dict[str, str]:
    """Return what the sheet says of the run, as the form's fields are typed."""
    if load is None:
        return {}
    way = way_of(bench.circuit, load.load, load.state)
    if way is None:
        return {}
    run = sheet_run(
        bench.circuit,
        bench.solution,
        way.main.pieces,
        part=bench.part,
        load=bench.circuit.part(load.load),
    )
    known: dict[str, str] = {}
    if run.length_m is not None:
        unit = "ft" if shop.units == "inch" else "m"
        known["length"] = f"{convert(run.length_m, 'm', unit):.3g}"
    if run.was is not None:
        known["was"] = run.was.label
    if run.fuse_a is not None:
        known["fuse"] = f"{run.fuse_a:g}"
    return known


def answer_facts(found: Repair) -> dict[str, Any]:
    """Return what the page prints of an answered repair."""
    facts: dict[str, Any] = {
        "found": found,
        "row": found.row,
        "sizing": found.sizing,
        "protection": found.protection,
    }
    if found.protection is not None:
        marks = [Mark(words="load", current_a=found.asked.run.current_a)]
        if found.stall is not None:
            marks.append(Mark(words="held still", current_a=found.stall.current_a))
        facts |= {
            "wide": drawn(fuse_svg(found.protection, marks, name="fw")),
            "narrow": drawn(fuse_svg(found.protection, marks, is_narrow=True, name="fp")),
            "lines": fuse_table(found.protection, marks),
        }
    return facts


def joint_facts(shop: Shop) -> dict[str, Any]:
    """Return the shop's rule, what both schools say, and the cautions, the gravest first."""
    return {
        "rule": joint_rule(shop.joint_rule),
        "sayings": SAYINGS,
        "common_ground": COMMON_GROUND,
        "cautions": CAUTIONS[:SHOWN_CAUTIONS],
        "more_cautions": CAUTIONS[SHOWN_CAUTIONS:],
    }


def volts_facts(bench: Bench | None, load: LoadCurrent | None, found: Repair) -> dict[str, Any]:
    """Return where the repaired circuit loses its volts, for a load of the sheet."""
    if bench is None or load is None:
        return {}
    way = way_of(bench.circuit, load.load, load.state)
    if way is None:
        return {}
    return {
        "budget": budget(
            bench.circuit,
            bench.solution,
            load=load.load,
            state=load.state,
            points=way.main.points,
            pieces=way.main.pieces,
            limits=found.asked.run.limits,
        )
    }


def heat_facts(
    bench: Bench | None, load: LoadCurrent | None, typed: Mapping[str, str], found: Repair
) -> dict[str, Any]:
    """Return why the joint burned, from the volts that were read across it."""
    if not typed["joint_drop"] or found.guarded is None:
        return {}
    wire: Heating = found.guarded
    name, supply_v, current_a = "The joint", found.asked.run.supply_v, found.asked.run.current_a
    if bench is not None and bench.part is not None and load is not None:
        name, supply_v = bench.part.label, bench.circuit.supply_v
        through_a = current_through(bench.circuit, bench.solution, bench.part.name, load.state)
        current_a = through_a or current_a
    bad = bad_joint(
        name,
        supply_v=supply_v,
        current_a=current_a,
        drop_v=parse(typed["joint_drop"], "V").to("V"),
    )
    kind = JOINT_KINDS.get(typed["joint_kind"], JointKind.WIRES)
    return {"heat": joint_sentences(bad, wire, kind)}
