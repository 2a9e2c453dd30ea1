"""Flow through a graph: circuits, one nodal solver.

A circuit is parts between points, operating states that say which switches are closed, and the
complaints its author foresaw. `solve` gives volts, currents, contacts, chatter and floating points
for any number of faults at once.
"""

from witnessmark.networks.circuit import (
    BATTERY_MINUS,
    HIGH_VOLTAGE,
    RESTRAINT,
    Circuit,
    Complaint,
    Look,
    Point,
    State,
)
from witnessmark.networks.copper import awg_area_mm2, wire_resistance
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault, parse_fault
from witnessmark.networks.forms import Form
from witnessmark.networks.kinds import FORMS, LOADS, SOURCES, STEERED, Kind
from witnessmark.networks.netlist import netlist
from witnessmark.networks.part import Part, make_part
from witnessmark.networks.piece import Coil, Law, Piece
from witnessmark.networks.pieces import coils_of, pieces_of
from witnessmark.networks.solver import Solution, solve
from witnessmark.networks.test_lamp import TEST_LAMP, with_lamp
from witnessmark.networks.wire_sizes import wire_area

__all__ = [
    "BATTERY_MINUS",
    "FORMS",
    "HIGH_VOLTAGE",
    "LOADS",
    "RESTRAINT",
    "SOURCES",
    "STEERED",
    "TEST_LAMP",
    "Circuit",
    "Coil",
    "Complaint",
    "Fault",
    "FaultMode",
    "Form",
    "Kind",
    "Law",
    "Look",
    "Part",
    "Piece",
    "Point",
    "Solution",
    "State",
    "awg_area_mm2",
    "coils_of",
    "fault_modes",
    "make_part",
    "netlist",
    "parse_fault",
    "pieces_of",
    "solve",
    "wire_area",
    "wire_resistance",
    "with_lamp",
]
