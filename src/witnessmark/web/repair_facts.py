"""What the page 'Size the repair' prints: the answer, its tests, its drawing, volts and heat."""

from typing import Any

from witnessmark.errors import BenchError
from witnessmark.papers.fuse_drawing import fuse_legend, fuse_svg
from witnessmark.papers.fuse_table import Mark, fuse_table
from witnessmark.web.drawn import drawn
from witnessmark.web.repair_form import (
    AtField,
    joint_drop_v,
    limits_of,
    place_of,
    typed_a,
    wire_of,
)
from witnessmark.web.repair_question import USUAL_V, Question
from witnessmark.wiring.fuse_plan import FusePlan
from witnessmark.wiring.heating import Heating, heating_of
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.joint_heat import BadJoint, bad_joint, joint_sentences
from witnessmark.wiring.joint_on_sheet import SheetJoint, joint_on_sheet
from witnessmark.wiring.joints import COMMON_GROUND, SAYINGS, joint_rule
from witnessmark.wiring.mended import Mended
from witnessmark.wiring.repair import Repair

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
        "legend": fuse_legend(found.protection, marks),
        "lines": fuse_table(found.protection, marks),
    }


def _heat(asked: Question, found: Repair | FusePlan | Mended) -> tuple[str, ...]:
    """Return why the joint heats, from the volts that were read across it."""
    if not asked.typed["joint_drop"]:
        return ()
    wire = _wire_at_joint(asked)
    if wire is None and isinstance(found, Repair):
        wire = found.guarded
    return joint_sentences(_bad_joint(asked), wire, asked.joint_kind)


def _bad_joint(asked: Question) -> BadJoint | SheetJoint:
    """Return the joint: in the circuit of the sheet, or with the current that was typed."""
    drop_v, part, bench = joint_drop_v(asked.typed), asked.joint_part, asked.bench
    if not asked.typed["current"] and part is None:
        error = BenchError(
            "The current through the joint is not known.",
            "Heat is volts times amps.",
            "Type the current that its load takes with a good joint.",
        )
        raise AtField(error, "current")
    try:
        if part is not None and bench is not None:
            state = bench.state_at(part, asked.load)
            return joint_on_sheet(bench.circuit, part, state, drop_v)
        name = asked.part.label if asked.part else "the joint"
        supply_v = bench.circuit.supply_v if bench else USUAL_V
        current_a = typed_a(asked.typed)
        return bad_joint(name, supply_v=supply_v, current_a=current_a, drop_v=drop_v)
    except AtField:
        raise
    except BenchError as error:
        raise AtField(error, "joint_drop") from error


def _wire_at_joint(asked: Question) -> Heating | None:
    """Return the wire that leaves the joint, where its size was typed or is on the sheet."""
    size = wire_of(asked.typed, "was")
    if size is None:
        return None
    return heating_of(size, insulation(asked.typed["insulation"]), place_of(asked.typed))
