"""Flow through a graph: circuits, one nodal solver.

A circuit is parts between points, operating states that say which switches are closed, and the
complaints its author foresaw. `solve` gives volts, currents, contacts, chatter and floating points
for any number of faults at once.
"""

from witnessmark.networks.circuit import (
    BATTERY_MINUS,
    LOADS,
    Circuit,
    Complaint,
    Kind,
    Look,
    Part,
    Point,
    State,
)
from witnessmark.networks.copper import awg_area_mm2, wire_resistance
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault, parse_fault
from witnessmark.networks.netlist import netlist
from witnessmark.networks.pieces import Law, Piece, pieces_of
from witnessmark.networks.solver import Solution, solve
from witnessmark.networks.test_lamp import TEST_LAMP, with_lamp

__all__ = [
    "BATTERY_MINUS",
    "LOADS",
    "TEST_LAMP",
    "Circuit",
    "Complaint",
    "Fault",
    "FaultMode",
    "Kind",
    "Law",
    "Look",
    "Part",
    "Piece",
    "Point",
    "Solution",
    "State",
    "awg_area_mm2",
    "fault_modes",
    "netlist",
    "parse_fault",
    "pieces_of",
    "solve",
    "wire_resistance",
    "with_lamp",
]
