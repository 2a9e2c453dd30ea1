"""The question of the page 'Size the repair': what was typed, what the job knows, the answer."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from witnessmark.diagnosis.facts import hazard_words
from witnessmark.diagnosis.proof import proof_range
from witnessmark.errors import BenchError
from witnessmark.networks import Kind, Part
from witnessmark.record.core import JobRecord
from witnessmark.shop.models import Shop
from witnessmark.web import repair_form
from witnessmark.web.repair_known import Bench, bench_of, filled, first_load, first_part, known_of
from witnessmark.wiring.budget import Budget, LoadCurrent, budget
from witnessmark.wiring.fuse_plan import FusePlan, plan_fuse
from witnessmark.wiring.held import Held
from witnessmark.wiring.joint_heat import JointKind
from witnessmark.wiring.joints import joint_rule
from witnessmark.wiring.mended import Mended, mended
from witnessmark.wiring.mending import Mending, mending, usual_mending
from witnessmark.wiring.on_sheet import JOINTS, SheetRun
from witnessmark.wiring.renewed import held_of, with_new_wire
from witnessmark.wiring.repair import Repair, plan_repair

USUAL_V = 12.0


@dataclass(frozen=True, kw_only=True)
class Question:
    """What the form holds, with what the job knows; `run` is empty without a sheet."""

    typed: dict[str, str]
    known: dict[str, str]
    shop: Shop
    bench: Bench | None
    run: SheetRun
    part: Part | None
    load: LoadCurrent | None
    work: Mending
    is_asked: bool

    @property
    def halt(self) -> str:
        """Return why nobody in the class repairs this circuit; empty where they may."""
        return hazard_words(self.bench.circuit, self.shop.qualified) if self.bench else ""

    def is_from_sheet(self, name: str) -> bool:
        """Return whether a field holds what the sheet says."""
        return bool(self.typed[name]) and self.known.get(name) == self.typed[name]

    @property
    def joint_part(self) -> Part | None:
        """Return the joint of the sheet, or the wire in which it sits; None for any other part."""
        is_joint = self.part is not None and self.part.kind in {*JOINTS, Kind.WIRE}
        return self.part if is_joint else None

    @property
    def usual_joint(self) -> JointKind:
        """Return what the joint usually sits on: a ground on a stud or the body."""
        is_ground = self.work.key == "ground" or (self.part and self.part.kind is Kind.GROUND)
        return JointKind.STUD if is_ground else JointKind.WIRES

    @property
    def joint_kind(self) -> JointKind:
        """Return what the joint sits on, as chosen or as usual."""
        return repair_form.JOINT_KINDS.get(self.typed["joint_kind"], self.usual_joint)

    def answer(self) -> Repair | FusePlan | Mended:
        """Return the answered repair; refuse one that is not for a class."""
        if self.halt:
            raise BenchError("Nothing is repaired here.", self.halt, "Tell the teacher.")
        if self.work.sizes_wire:
            supply_v = self.bench.circuit.supply_v if self.bench else USUAL_V
            asked = repair_form.wire_asked(
                self.typed, self.shop, supply_v, self.held, self._counted(), self.run.was
            )
            return plan_repair(asked)
        if self.work.sizes_fuse:
            return plan_fuse(repair_form.fuse_asked(self.typed, self._counted()))
        rule = joint_rule(self.shop.joint_rule) if self.work.makes_joint else None
        if self.bench is None or self.part is None:
            return Mended(mending=self.work, joint=rule)
        return mended(
            self.bench.circuit,
            self.bench.solution,
            self.part,
            self.work,
            range_of=proof_range,
            joint=rule,
        )

    @cached_property
    def healthy(self) -> Budget | None:
        """Return where the healthy circuit of the sheet loses its volts."""
        way = self.bench.way(self.load) if self.bench else None
        if self.bench is None or self.load is None or way is None:
            return None
        return budget(
            self.bench.circuit,
            self.bench.solution,
            load=self.load.load,
            state=self.load.state,
            points=way.main.points,
            pieces=way.main.pieces,
            limits=repair_form.limits_of(self.typed),
        )

    def volts(self, found: Repair | FusePlan | Mended) -> tuple[Budget | None, bool]:
        """Return where the circuit loses its volts, and whether it is as repaired."""
        healthy = self.healthy
        if healthy is None or not isinstance(found, Repair) or found.row is None or not self.held:
            return healthy, False
        limits = found.asked.run.limits
        return with_new_wire(healthy, self.run.renewed, found.row.drop_v, limits), True

    @cached_property
    def held(self) -> tuple[Held, ...]:
        """Return the limits that the wire keeps together with the rest of its way."""
        return () if self.healthy is None else held_of(self.healthy, self.run.renewed)

    def _counted(self) -> tuple[str, ...]:
        """Return which loads were counted, where the sheet's currents are used."""
        run, told = self.run, []
        if run.carried is not None and self.work.sizes_wire and self.is_from_sheet("current"):
            told.append(run.carried.sentence)
        if run.fed is not None and self.is_from_sheet("together"):
            told.append(run.fed.sentence)
        if run.no_fuse and not self.typed["fuse"]:
            told.append(run.no_fuse)
        return tuple(told)


def question(sent: Mapping[str, str], shop: Shop, record: JobRecord | None = None) -> Question:
    """Return the question of a form that was sent, or of the page as it is opened."""
    typed, first = repair_form.typed_of(sent, shop), repair_form.first_typed(shop)
    bench = None if record is None else bench_of(record)
    run, part, load, known = SheetRun(), None, None, {}
    was_for = typed["of"].split("|")
    if record is not None and bench is not None:
        if "part" not in sent:
            at_first = first_part(record, bench)
            typed["part"] = at_first.name if at_first else ""
        part = bench.part(typed["part"])
        if "load" not in sent or (typed["of"] and typed["part"] != was_for[0]):
            typed["load"] = first_load(record, bench, part)
        load = bench.load(typed["load"])
        run = bench.run(part, load)
        known = known_of(run, load, shop)
        before = {}
        if typed["of"] and was_for[:2] != [typed["part"], typed["load"]]:
            old_part, old_load = [*was_for, ""][:2]
            old = bench.load(old_load)
            before = known_of(bench.run(bench.part(old_part), old), old, shop)
        typed = filled(typed, sent, known, before, first)
    work = mending(typed["work"]) if typed["work"] else usual_mending(part)
    now = f"{typed['part']}|{typed['load']}|{work.key}"
    needed = ("current", "length") if work.sizes_wire else ("together",) * work.sizes_fuse
    is_ready = all(typed[name] for name in needed)
    is_sent = needed != () and needed[-1] in sent and typed["of"] in ("", now)
    typed["of"] = now
    return Question(
        typed=typed,
        known=known,
        shop=shop,
        bench=bench,
        run=run,
        part=part,
        load=load,
        work=work,
        is_asked=is_ready or is_sent,
    )
