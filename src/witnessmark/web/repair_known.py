"""What a job knows of its repair before anybody types: the part, the load, the sheet's values."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from witnessmark.diagnosis.facts import part_at_fault
from witnessmark.diagnosis.path import Way, way_of
from witnessmark.networks import Circuit, Part, Solution, solve
from witnessmark.quantities import convert
from witnessmark.record.circuits import circuit_of
from witnessmark.record.core import JobRecord
from witnessmark.record.ties import key_on
from witnessmark.shop.models import Shop
from witnessmark.web.repair_form import KINDS, SYSTEMS
from witnessmark.wiring.budget import LoadCurrent, loads_of
from witnessmark.wiring.carried import Carried, worst_carried
from witnessmark.wiring.on_sheet import SheetRun, sheet_run


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What a job's sheet knows: its circuit, solved healthy in every state."""

    circuit: Circuit
    solution: Solution
    loads: tuple[LoadCurrent, ...]

    def part(self, name: str) -> Part | None:
        """Return the part that the form names, as "G7"."""
        return next((one for one in self.circuit.parts if one.name == name), None)

    def load(self, key: str) -> LoadCurrent | None:
        """Return the load that the form names, as "Fan run"."""
        return next((one for one in self.loads if one.key == key), None)

    def way(self, load: LoadCurrent | None) -> Way | None:
        """Return the way of a load's current."""
        return None if load is None else way_of(self.circuit, load.load, load.state)

    def carried(self, part: Part) -> Carried | None:
        """Return what a part carries in the worst state of the sheet."""
        return worst_carried(self.circuit, self.solution, part.name)

    def state_at(self, part: Part, load: LoadCurrent | None) -> str:
        """Return the state in which a part is read: the load's, or in which it carries most."""
        if load is not None and _leads_through(self, load, part):
            return load.state
        carried = self.carried(part)
        return carried.state if carried else self.circuit.states[0].name

    def run(self, part: Part | None, load: LoadCurrent | None) -> SheetRun:
        """Return what the sheet says of a part, or of the whole run of a load."""
        way = self.way(load)
        return sheet_run(
            self.circuit,
            self.solution,
            way.main.pieces if way else (),
            part=part,
            load=self.part(load.load) if load else None,
        )


def bench_of(record: JobRecord) -> Bench | None:
    """Return the circuit of a job, or None if it has no sheet."""
    sheet = record.sheet("circuit")
    if sheet is None:
        return None
    circuit = circuit_of(sheet.text, sheet.title)
    solution = solve(circuit)
    return Bench(circuit=circuit, solution=solution, loads=loads_of(circuit, solution))


def first_part(record: JobRecord, bench: Bench) -> Part | None:
    """Return the part that the cause names: by its run, or by one part's name in its words."""
    if record.cause is None:
        return None
    if record.cause.suspect:
        return part_at_fault(bench.circuit, record.cause.suspect)
    said = set(re.findall(r"\w+", record.cause.statement))
    named = [one for one in bench.circuit.parts if one.name in said]
    return named[0] if len(named) == 1 else None


def first_load(record: JobRecord, bench: Bench, part: Part | None) -> str:
    """Return the load to begin with, as the form names it: complained of, fed by the part, or any.

    Where the part is known, a load is taken whose current flows through it, in its worst state.
    """
    tied, sheet = {one.key: one for one in bench.circuit.complaints}, record.sheet("circuit")
    complained = [
        f"{tied[row.key].load} {tied[row.key].state}"
        for row in record.complaints
        if row.is_standing and sheet is not None and key_on(row, sheet) in tied
    ]
    known = [one for key in complained if (one := bench.load(key))]
    others = sorted(bench.loads, key=lambda one: -one.current_a)
    if part is None:
        return known[0].key if known else ""
    carried = bench.carried(part)
    state = carried.state if carried else ""
    through = [one for one in (*known, *others) if _leads_through(bench, one, part)]
    worst = [one for one in through if one.state == state]
    return next((one.key for one in (*worst, *through, *known)), "")


def known_of(run: SheetRun, load: LoadCurrent | None, shop: Shop) -> dict[str, str]:
    """Return what the sheet says of the repair, as the form's fields are typed."""
    known: dict[str, str] = {}
    if run.carried is not None:
        known["current"] = _amps(run.carried.current_a)
    elif load is not None:
        known["current"] = _amps(load.current_a)
    if run.length_m is not None:
        unit = "ft" if shop.units == "inch" else "m"
        known["length"] = f"{convert(run.length_m, 'm', unit):.3g}"
    if run.was is not None:
        known["was"] = run.was.label
        known["system"] = next(key for key, one in SYSTEMS.items() if one is run.was.system)
    if run.fuse_a is not None and run.fuse_kind is not None:
        known["fuse"] = f"{run.fuse_a:g}"
        known["kind"] = next(key for key, one in KINDS.items() if one is run.fuse_kind)
    if run.fed is not None:
        known["together"] = _amps(run.fed.current_a)
    if run.thinnest is not None:
        known["thinnest"] = run.thinnest.label
    if run.stalled_a is not None:
        known["stalled"] = _amps(run.stalled_a)
    if run.copper_c is not None:
        known["air"] = f"{run.copper_c:g}"
    return known


def filled(
    typed: Mapping[str, str],
    sent: Mapping[str, str],
    known: Mapping[str, str],
    before: Mapping[str, str],
    first: Mapping[str, str],
) -> dict[str, str]:
    """Return the form with what the sheet knows, and nothing lost that a person typed.

    `before` is what the sheet said of the part and load that the form was filled for last: what
    still says that was typed by nobody.
    """
    new = dict(typed)
    for name in {**known, **before}:
        if name not in sent or (name in before and typed[name] == before[name]):
            new[name] = known.get(name, first[name])
        elif name in known and before and typed[name] == first[name]:
            new[name] = known[name]
    return new


def _leads_through(bench: Bench, load: LoadCurrent, part: Part) -> bool:
    way = bench.way(load)
    return way is not None and (part.name == load.load or part.name in way.sides)


def _amps(current_a: float) -> str:
    """Return a current as it would be typed: three figures, and no exponent."""
    return f"{float(f'{current_a:.3g}'):f}".rstrip("0").rstrip(".")
