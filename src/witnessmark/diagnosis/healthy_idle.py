"""What gets no current in a healthy circuit, told once and at its cause.

A fuse that blows leaves what lies behind it without current, and a sheet without a state that
switches anything on leaves nearly everything so. Neither is a mistake of each of those parts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from witnessmark.diagnosis.healthy_said import Notice, when
from witnessmark.diagnosis.healthy_way import Flow, short_circuit
from witnessmark.networks import LOADS, Circuit, Kind, Look, Part, Solution, solve
from witnessmark.networks.kinds import MOST_A
from witnessmark.quantities import listed

USED_A: Final = 0.0005  # a part through which less flows in every state is not used
_RESTS: Final = frozenset({Kind.DIODE, Kind.SENDER, Kind.PULL_UP, Kind.SUPPLY, Kind.BATTERY})
_LINK_MM2: Final = 500.0  # a link that melts at nothing
_HOLDS: Final = {"rating": MOST_A, "limit": MOST_A, "size": _LINK_MM2}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """The states as they are, and as they would be if no fuse blew."""

    flows: Sequence[Flow]
    whole: Sequence[Flow]
    used: frozenset[str]

    def runs(self, load: Part) -> bool:
        return any(flow.runs(load) for flow in (*self.flows, *self.whole))

    def runs_in(self, load: Part, state: str) -> bool:
        return any(flow.runs(load) for flow in (*self.flows, *self.whole) if flow.state == state)


def idle_of(circuit: Circuit, found: Solution, flows: Sequence[Flow]) -> Iterator[Notice]:
    """Yield the loads and parts that no state uses, and complaints of a load that gets nothing.

    Parameters
    ----------
    circuit
        The circuit.
    found
        Its solution, nothing broken.
    flows
        Each of its states.
    """
    if any(flow.blown and list(short_circuit(flow)) for flow in flows):
        return  # what the short circuit takes away cannot be told from what nothing feeds
    held = _held(circuit, found, flows)
    loads = [part for part in circuit.parts if part.kind in LOADS]
    idle = [load for load in loads if not held.runs(load)]
    at_rest = _at_rest(circuit)
    if idle and at_rest:
        yield Notice(
            part="",
            sentence="No state switches anything on yet. Add the state in which "
            f"{listed(at_rest)}.",
        )
        return
    for load in idle:
        yield Notice(
            part=load.name,
            sentence=f"{load.label} runs in no state. Add the state in which it runs, or look at "
            "its ends.",
        )
    yield from _unused(circuit, held.used)
    for one in circuit.complaints:
        load = circuit.part(one.load)
        if one.looks is not Look.ON and not held.runs_in(load, one.state):
            (flow,) = (flow for flow in flows if flow.state == one.state)
            yield Notice(
                part=load.name,
                sentence=f"The complaint '{one.words}' has {load.label} {one.looks} "
                f"{when([flow])}, where it gets nothing in the healthy circuit either. "
                "Look at its state.",
            )


def _held(circuit: Circuit, found: Solution, flows: Sequence[Flow]) -> _Held:
    blown = {name for flow in flows for name in flow.blown}
    if not blown:
        return _Held(flows=flows, whole=(), used=frozenset(_live(found)))
    parts = tuple(_holding(part) if part.name in blown else part for part in circuit.parts)
    whole = replace(circuit, parts=parts)
    solved = solve(whole)
    return _Held(
        flows=flows,
        whole=[Flow(whole, solved, state.name) for state in circuit.states],
        used=frozenset(_live(found)) | frozenset(_live(solved)),
    )


def _holding(part: Part) -> Part:
    """The same fuse, link or output, which nothing here opens."""
    return replace(part, sizes=tuple((key, _HOLDS.get(key, size)) for key, size in part.sizes))


def _live(found: Solution) -> Iterator[str]:
    used = abs(found.currents[0]).max(axis=0) > USED_A
    for name, is_used in zip(found.pieces, used, strict=True):
        if is_used:
            yield name.partition(".")[0]


def _at_rest(circuit: Circuit) -> list[str]:
    """What a state could switch, as its sentence says it; nothing where one does already."""
    steered = [part for part in circuit.parts if part.stands]
    if any(state.stand(part) != part.stands[0] for part in steered for state in circuit.states):
        return []
    switches = [part for part in steered if part.kind is not Kind.ALTERNATOR]
    return [f"{part.name} {_moved(part)}" for part in switches or steered]


def _moved(part: Part) -> str:
    if part.kind is Kind.ALTERNATOR:
        return "is turning"
    return "is switched" if part.kind is Kind.SELECTOR else "is on"


def _unused(circuit: Circuit, used: frozenset[str]) -> Iterator[Notice]:
    rest = [
        part for part in circuit.parts if part.kind not in LOADS | _RESTS and part.name not in used
    ]
    still = [
        part
        for part in rest
        if part.stands and len({state.stand(part) for state in circuit.states}) < 2
    ]
    for part in still:
        yield Notice(
            part=part.name,
            sentence=f"No state moves {part.label}, and no current flows through it. Add the state "
            "that uses it, or look at its ends.",
        )
    others = [part for part in rest if part not in still]
    if others:
        labels = listed([one.label for one in others], "and")
        it, its = ("it", "its") if len(others) == 1 else ("them", "their")
        yield Notice(
            part=others[0].name,
            sentence=f"No current flows through {labels} in any state. Add the state that uses "
            f"{it}, or look at {its} ends.",
        )
