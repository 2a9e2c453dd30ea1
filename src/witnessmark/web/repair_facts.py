"""What the page 'Size the repair' prints: the answer, its tests, its drawing, volts and heat."""

from typing import Any

from witnessmark.errors import BenchError
from witnessmark.papers.fuse_drawing import fuse_svg
from witnessmark.papers.fuse_table import Mark, fuse_table
from witnessmark.web.drawn import drawn
from witnessmark.web.repair_form import AtField, joint_drop_v, limits_of, place_of, wire_of
from witnessmark.web.repair_question import USUAL_V, Question
from witnessmark.wiring.fuse_plan import FusePlan
from witnessmark.wiring.heating import Heating, heating_of
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.joint_heat import JointKind, bad_joint, joint_sentences
from witnessmark.wiring.joints import COMMON_GROUND, SAYINGS, joint_rule
from witnessmark.wiring.mended import Mended
from witnessmark.wiring.repair import Repair

JOINT_KINDS = {"wires": JointKind.WIRES, "stud": JointKind.STUD}
SHOWN_CAUTIONS = 2


def answer_facts(asked: Question) -> dict[str, Any]:
    """Return what the page prints of an answered repair."""
    found = asked.answer()
    volts, is_repaired = asked.volts(found)
    facts: dict[str, Any] = {"found": found, "budget": volts, "is_repaired": is_repaired}
    if volts is not None:
        facts["limits"] = limits_of(asked.typed)
        past = [held.past for held in asked.held if held.is_past] if is_repaired else [volts.past]
        facts["past"] = [words for words in past if words]
    facts["heat"] = _heat(asked, found)
    if isinstance(found, Mended):
        return facts
    facts["counted"] = found.asked.counted
    facts["protection"] = found.protection
    if isinstance(found, Repair):
        facts |= {"row": found.row, "sizing": found.sizing}
    if found.protection is not None:
        facts |= _fuse_facts(found)
    return facts


def joint_facts(asked: Question) -> dict[str, Any]:
    """Return how the repair is made: steps, what both schools say of a joint, the cautions."""
    cautions = asked.work.cautions
    return {
        "rule": joint_rule(asked.shop.joint_rule) if asked.work.makes_joint else None,
        "sayings": SAYINGS,
        "common_ground": COMMON_GROUND,
        "cautions": cautions[:SHOWN_CAUTIONS],
        "more_cautions": cautions[SHOWN_CAUTIONS:],
    }


def _fuse_facts(found: Repair | FusePlan) -> dict[str, Any]:
    """Return the drawing of the fuse against its thinnest wire."""
    assert found.protection is not None, "a fuse without a wire has no drawing"
    marks = [Mark(words="load", current_a=found.choice.load.current_a)]
    if found.stall is not None:
        marks.append(Mark(words="held still", current_a=found.stall.current_a))
    return {
        "wide": drawn(fuse_svg(found.protection, marks, name="fw")),
        "narrow": drawn(fuse_svg(found.protection, marks, is_narrow=True, name="fp")),
        "lines": fuse_table(found.protection, marks),
    }


def _heat(asked: Question, found: Repair | FusePlan | Mended) -> tuple[str, ...]:
    """Return why the joint burned, from the volts that were read across it."""
    if not asked.typed["joint_drop"]:
        return ()
    drop_v = joint_drop_v(asked.typed)
    wire = found.guarded if isinstance(found, Repair) else _wire_at_joint(asked)
    if wire is None:
        return ()
    name, supply_v, current_a = "The joint", USUAL_V, _current_a(asked, found)
    if asked.bench is not None and asked.part is not None:
        name, supply_v = asked.part.label, asked.bench.circuit.supply_v
    bad = bad_joint(name, supply_v=supply_v, current_a=current_a, drop_v=drop_v)
    kind = JOINT_KINDS.get(asked.typed["joint_kind"], JointKind.WIRES)
    return joint_sentences(bad, wire, kind)


def _wire_at_joint(asked: Question) -> Heating:
    """Return the wire that leaves a joint which is cleaned or made new."""
    size = wire_of(asked.typed, "was")
    if size is None:
        error = BenchError(
            "The heat of a joint leaves by its wire, and no wire is named.",
            "It has a size and an insulation.",
            "Type the size of the wire at the joint.",
        )
        raise AtField(error, "was")
    return heating_of(size, insulation(asked.typed["insulation"]), place_of(asked.typed))


def _current_a(asked: Question, found: Repair | FusePlan | Mended) -> float:
    """Return what flows through the joint while it is sound. [A]"""
    carried = asked.bench.carried(asked.part) if asked.bench and asked.part else None
    if carried is not None:
        return carried.current_a
    if isinstance(found, Repair):
        return found.asked.run.current_a
    raise AtField(
        BenchError(
            "The current through the joint is not known.",
            "Heat is volts times amps.",
            "Choose “a wire is renewed” and type its current.",
        ),
        "joint_drop",
    )
