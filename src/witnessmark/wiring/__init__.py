"""Sizing a repair that does not burn again: wire, fuse, joint.

Sizes and their copper, amps and drop of a wire, the fuse's time-current band against the wire's
heating, the heat in a bad joint, the volts that a repaired circuit loses, and how joints are made.
"""

from witnessmark.wiring.ampacity import Ampacity, Factor, Place, ampacity, bundle_share
from witnessmark.wiring.budget import Budget, LoadCurrent, Loss, Side, budget, loads_of
from witnessmark.wiring.choosing import FuseChoice, Load, choose_fuse
from witnessmark.wiring.drop import (
    LIMIT_SETS,
    DropLimits,
    circular_mils,
    drop_limits,
    own_limits,
)
from witnessmark.wiring.fuses import Fuse, FuseBand, FuseKind, band_of, fuse_of
from witnessmark.wiring.fusing import onderdonk_a, preece_a
from witnessmark.wiring.heating import Heating, adiabatic_k, heating_of
from witnessmark.wiring.insulation import INSULATIONS, Insulation, insulation
from witnessmark.wiring.joint_heat import BadJoint, JointKind, bad_joint, joint_sentences
from witnessmark.wiring.joints import (
    CAUTIONS,
    COMMON_GROUND,
    JOINT_RULES,
    SAYINGS,
    JointRule,
    joint_rule,
)
from witnessmark.wiring.links import LinkCheck, check_link, link_for
from witnessmark.wiring.protection import (
    Gap,
    Guard,
    Protection,
    Stall,
    check_protection,
    check_stall,
)
from witnessmark.wiring.repair import Repair, RepairAsked, plan_repair
from witnessmark.wiring.sizes import System, WireSize, next_larger, parse_size, sizes_of
from witnessmark.wiring.sizing import Check, Run, SizeRow, Sizing, size_wire
from witnessmark.wiring.sources import DISAGREEMENTS, Disagreement, Known, Source

__all__ = [
    "CAUTIONS",
    "COMMON_GROUND",
    "DISAGREEMENTS",
    "INSULATIONS",
    "JOINT_RULES",
    "LIMIT_SETS",
    "SAYINGS",
    "Ampacity",
    "BadJoint",
    "Budget",
    "Check",
    "Disagreement",
    "DropLimits",
    "Factor",
    "Fuse",
    "FuseBand",
    "FuseChoice",
    "FuseKind",
    "Gap",
    "Guard",
    "Heating",
    "Insulation",
    "JointKind",
    "JointRule",
    "Known",
    "LinkCheck",
    "Load",
    "LoadCurrent",
    "Loss",
    "Place",
    "Protection",
    "Repair",
    "RepairAsked",
    "Run",
    "Side",
    "SizeRow",
    "Sizing",
    "Source",
    "Stall",
    "System",
    "WireSize",
    "adiabatic_k",
    "ampacity",
    "bad_joint",
    "band_of",
    "budget",
    "bundle_share",
    "check_link",
    "check_protection",
    "check_stall",
    "choose_fuse",
    "circular_mils",
    "drop_limits",
    "fuse_of",
    "heating_of",
    "insulation",
    "joint_rule",
    "joint_sentences",
    "link_for",
    "loads_of",
    "next_larger",
    "onderdonk_a",
    "own_limits",
    "parse_size",
    "plan_repair",
    "preece_a",
    "size_wire",
    "sizes_of",
]
