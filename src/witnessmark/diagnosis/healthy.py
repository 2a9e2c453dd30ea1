"""The healthy check of a circuit: what each load gets in each state, and what looks wrong.

A teacher reads it once after a sheet has been entered: the sentences are either what the vehicle
does, or the sheet is wrong.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.healthy_notices import notices_of
from witnessmark.diagnosis.healthy_said import Notice
from witnessmark.diagnosis.healthy_way import Flow, amps_said, volts_said
from witnessmark.networks import LOADS, Circuit, Part, coils_of, solve
from witnessmark.quantities import listed, show

LEAST_LOST_V: Final = 0.01
TO_COMPARE: Final = (
    "The check can only tell what is impossible. Compare its sentences with the diagram and the "
    "vehicle: where they differ, the sheet is wrong."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StateSaid:
    """What a healthy circuit does in one state.

    Attributes
    ----------
    state, words
        Its name, and the author's words for it.
    sentences
        One for each load that gets current, one for those that get none, one for each relay.
    """

    state: str
    words: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Healthy:
    """The healthy check of a circuit.

    Attributes
    ----------
    states
        What happens in each state.
    notices
        What to look at.
    """

    states: tuple[StateSaid, ...]
    notices: tuple[Notice, ...]

    @property
    def closing(self) -> str:
        """What the check cannot tell, and how a person finds it."""
        return TO_COMPARE if self.notices else f"Nothing looks wrong. {TO_COMPARE}"


def check_healthy(circuit: Circuit) -> Healthy:
    """Return what each load gets in each state of the healthy circuit, and what looks wrong.

    Parameters
    ----------
    circuit
        The circuit.

    Notes
    -----
    A load gets the volts between its own terminals; "of" names the volts at the posts of the
    source that feeds it, in the same state. What is lost on the way is what wires, joints, contacts
    and diodes take, there and back; other loads and senders are left out. Amps of wires are those
    of 33 CFR 183.425 table 5 for PVC of 60 °C, one wire alone in air of 30 °C, as the sheet says
    nothing of its insulation. A fuse is held against the thinnest wire behind it, of PVC of 80 °C.
    """
    found = solve(circuit)
    flows = [Flow(circuit, found, state.name) for state in circuit.states]
    states = tuple(
        StateSaid(state=state.name, words=state.words, sentences=tuple(_said(circuit, flow)))
        for state, flow in zip(circuit.states, flows, strict=True)
    )
    return Healthy(states=states, notices=tuple(notices_of(circuit, found, flows)))


def _said(circuit: Circuit, flow: Flow) -> Iterator[str]:
    dark = []
    for load in [part for part in circuit.parts if part.kind in LOADS]:
        if not flow.runs(load):
            dark.append(load.label)
            continue
        volts, amps = volts_said(flow.over(load.name)), amps_said(abs(flow.amps(load.name)))
        yield f"{load.label} gets {volts}{_of(flow, load)} and draws {amps}{_lost(flow, load)}."
    if dark:
        yield f"{listed(dark, 'and')} {'gets' if len(dark) == 1 else 'get'} nothing."
    for coil in coils_of(circuit):
        if flow.is_pulled(coil):
            yield f"{_kind_word(circuit.part(coil.part))} {coil.part} pulls in."
    for name in flow.blown:
        yield f"{_kind_word(circuit.part(name))} {name} blows."
    if flow.chatters:
        yield "A relay finds no rest and chatters."


def _of(flow: Flow, load: Part) -> str:
    way = flow.way(load.name)
    if way is None or not way.source:
        return ""
    dear = flow.takes_most(load)
    behind = f", behind {dear.label}," if dear is not None and not flow.has_enough(load) else ""
    return f" of {volts_said(way.source_v)}{behind}"


def _lost(flow: Flow, load: Part) -> str:
    """What the way takes, in hundredths: another size of wire often moves nothing else."""
    volts = flow.lost(load.name)
    return f"; {show(volts, 'V', LEAST_LOST_V)} is lost on the way" if volts >= LEAST_LOST_V else ""


def _kind_word(part: Part) -> str:
    word = str(part.kind)
    return word[:1].upper() + word[1:]
