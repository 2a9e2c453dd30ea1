"""Each fuse of the circuits that ship against the wires that it must save."""

import networkx as nx
import pytest

from networks.made_circuits import SHEETS, sheet
from witnessmark.networks import LOADS, SOURCES, Kind, pieces_of
from witnessmark.wiring.ampacity import Place
from witnessmark.wiring.fuses import RATINGS_A, FuseKind, fuse_of
from witnessmark.wiring.heating import heating_of
from witnessmark.wiring.insulation import insulation
from witnessmark.wiring.on_sheet import wire_size
from witnessmark.wiring.protection import Guard, check_protection

CONTROL = ("coil", "pull", "hold", "ground", "supply", "diode", "suppressor")
# From the battery to a fuse box, a starter or an alternator: a fuse would come too late or carry
# hundreds of amperes. Common practice, no published source.
CABLES = {"body-front W1", "charging W1", "charging W2", "headlamps W1", "starting W1"}
GUARDED = 60


def _feed(made):
    """What leads on from the battery's plus, without the loads and whatever ends at ground."""
    kinds = {part.name: part.kind for part in made.parts}
    found = nx.MultiGraph()
    for piece in pieces_of(made):
        kind = kinds[piece.part]
        if kind not in LOADS | SOURCES and piece.name.rpartition(".")[2] not in CONTROL:
            found.add_edge(piece.first, piece.second, key=piece.name)
    return found


def _fed(feed, plus, wire, without):
    rest = feed.copy()
    rest.remove_edge(wire.first, wire.second, key=wire.name)
    rest.remove_edges_from([(fuse.first, fuse.second, fuse.name) for fuse in without])
    return any(
        point in rest and nx.has_path(rest, plus, point) for point in (wire.first, wire.second)
    )


def _guards(made, wire):
    """The fuses that all current into a short on the wire goes through; None for a ground wire."""
    feed = _feed(made)
    plus = next(part.first for part in made.parts if part.kind is Kind.BATTERY)
    if wire.first not in feed or not nx.has_path(feed, plus, wire.first):
        return None
    fuses = [part for part in made.parts if part.kind is Kind.FUSE]
    own = [fuse for fuse in fuses if not _fed(feed, plus, wire, [fuse])]
    if own:
        return [min(own, key=lambda fuse: fuse.size("rating"))]
    return [] if _fed(feed, plus, wire, fuses) else fuses  # each of several must save it


def _protects(wire, fuse):
    rating_a = fuse.size("rating")
    kind = next(kind for kind in FuseKind if rating_a in RATINGS_A[kind])
    size = wire_size(wire)
    heating = heating_of(size, insulation("pvc-80"), Place())
    return check_protection(fuse_of(kind, rating_a), heating).guard is not Guard.DOES_NOT


@pytest.mark.reference("AC 43.13-1B 11-47: a protector opens before the wire is hurt; seen")
def test_every_fuse_saves_the_wires_behind_it():
    unsaved, unfused, guarded = [], set(), 0
    for path in SHEETS:
        made = sheet(path.stem)
        for wire in made.parts:
            if wire.kind is not Kind.WIRE or not wire.has("size"):
                continue
            fuses = _guards(made, wire)
            if fuses is None:
                continue
            if not fuses:
                unfused.add(f"{path.stem} {wire.name}")
            for fuse in fuses:
                guarded += 1
                if not _protects(wire, fuse):
                    unsaved.append(f"{path.stem} {wire.name} behind {fuse.name}")
    assert unsaved == []
    assert unfused == CABLES
    assert guarded > GUARDED
