"""The dictionary of a circuit, worked out once: every single fault, every test, every state."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats, Indices, meter_uncertainty
from witnessmark.diagnosis.dictionary import (
    SOMETHING_ELSE,
    Dictionary,
    Mixture,
    Predictions,
    Setting,
    Suspect,
    Trouble,
)
from witnessmark.diagnosis.facts import SWITCHES, part_places, places, spans
from witnessmark.diagnosis.intermittent import share_that_goes
from witnessmark.diagnosis.predicting import Predicted, jumped, loads_of, predict, supply_letter
from witnessmark.errors import BenchError
from witnessmark.networks.circuit import Circuit, Look
from witnessmark.networks.fault_modes import FaultMode, fault_modes
from witnessmark.networks.faults import Fault
from witnessmark.networks.solver import Solution

ELSE_SHARE: Final = 0.03  # of all suspects' weight: 'something else'; the program's own choice
STEP_IN_U: Final = 1.2  # between two samples, over the meter's uncertainty
KEPT: Final = 8  # dictionaries kept at hand
_LOOK: Final = {Look.DEAD: "dead", Look.WEAK: "weak", Look.ON: "on"}
_BRIDGED: Final = SWITCHES | {"ground"}  # where a jumper tells what volts tell less plainly

Rates = tuple[tuple[str, float], ...]


def dictionary_of(circuit: Circuit, rates: Mapping[str, float] | None = None) -> Dictionary:
    """Return what every test would show for every single fault of a circuit.

    Parameters
    ----------
    circuit
        The circuit; equal circuits share one dictionary.
    rates
        The shop's own weights by kind and mode, "connector/high"; those of the program where it
        has none. A part to which the sheet gives a rate keeps it.

    Returns
    -------
    Dictionary
        The predictions.

    Raises
    ------
    BenchError
        If a rate is below zero or names nothing that fails.
    """
    return _dictionary(circuit, tuple(sorted((rates or {}).items())))


def own_rates(circuit: Circuit) -> dict[str, float]:
    """Return the program's own weights for the parts of a circuit, for a shop to edit.

    Parameters
    ----------
    circuit
        The circuit.
    """
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    return {
        f"{kinds[name]}/{mode.mode}": mode.weight
        for mode in fault_modes(circuit)
        if (name := part_of(mode.part)) in kinds
    }


def weighted_modes(circuit: Circuit, rates: Rates) -> tuple[FaultMode, ...]:
    """Return the fault modes with the shop's weights.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode.

    Raises
    ------
    BenchError
        If a rate is below zero, or nothing could fail.
    """
    given = dict(rates)
    for name, weight in given.items():
        if not 0 <= weight < 1e6 or name.count("/") != 1:
            raise BenchError(
                f'The rate of "{name}" is {weight:g}.',
                'A rate is a weight of 0 or more for a kind and a mode: "connector/high".',
                "Write it so, or leave it out.",
            )
    kinds = {part.name: str(part.kind) for part in circuit.parts if part.rate is None}
    modes = tuple(
        replace(mode, weight=given.get(f"{kinds.get(part_of(mode.part))}/{mode.mode}", mode.weight))
        for mode in fault_modes(circuit)
    )
    kept = tuple(mode for mode in modes if mode.weight > 0)
    if not kept:
        raise BenchError(
            f"By these rates nothing in {circuit.name} can fail.",
            "At least one part needs a rate above 0.",
            "Mend the rates.",
        )
    return kept


def part_of(name: str) -> str:
    """Return the part that a part or one of its pieces belongs to.

    Parameters
    ----------
    name
        "K3" or "K3.coil".
    """
    return name.partition(".")[0]


def suspect_of(circuit: Circuit, mode: FaultMode) -> Suspect:
    """Return a fault mode as a suspect.

    Parameters
    ----------
    circuit
        The circuit.
    mode
        The fault mode.
    """
    part = circuit.part(part_of(mode.part))
    return Suspect(
        key=f"{mode.part}:{mode.mode}",
        parts=(part.name,),
        part_words=part.words,
        mode=mode.mode,
        words=mode.words,
        repair=mode.repair,
        comes_and_goes=share_that_goes(str(part.kind), mode.mode),
    )


@lru_cache(maxsize=KEPT)
def _dictionary(circuit: Circuit, rates: Rates) -> Dictionary:
    modes = weighted_modes(circuit, rates)
    scenarios: list[tuple[Fault, ...]] = [()]
    scenarios += [(fault,) for mode in modes for fault in mode.faults]
    parts = part_places(circuit)
    predicted = predict(circuit, scenarios, parts)
    solved = predicted.solved
    samples = samples_of(modes, predicted)
    else_weight = ELSE_SHARE * float(samples.weight.sum())
    other = Suspect(
        key=SOMETHING_ELSE, parts=(), part_words="", mode="", words="", repair=SOMETHING_ELSE
    )
    return Dictionary(
        suspects=(*(suspect_of(circuit, mode) for mode in modes), other),
        suspect=np.append(samples.mode, len(modes)),
        log_prior=np.log(np.append(samples.weight, else_weight)),
        supply_v=circuit.supply_v,
        settings=tuple(
            Setting(name=state.name, words=state.words, minutes=state.setup_min)
            for state in circuit.states
        ),
        places=places(circuit),
        troubles=tuple(
            Trouble(key=c.key, words=c.words, load=c.load, state=c.state, look=_LOOK[c.looks])
            for c in circuit.complaints
        ),
        loads=loads_of(circuit),
        solved=predicted.shown,
        mix=Mixture(
            corner=np.vstack([samples.corner, [[0, 0]]]),
            weight=np.vstack([samples.share, [[1.0, 0.0]]]),
        ),
        parts=parts,
        spans=spans(circuit),
        supply_letter=supply_letter(circuit),
        node_v={
            state: dict(zip(solved.points, solved.volts[0, number].tolist(), strict=True))
            for number, state in enumerate(solved.states)
        },
    )


@lru_cache(maxsize=KEPT)
def with_jumpers(circuit: Circuit, rates: Rates = ()) -> Dictionary:
    """Return the dictionary with what the complained loads would do with a part bridged.

    Parameters
    ----------
    circuit
        The circuit.
    rates
        The shop's own weights by kind and mode, as sorted items.

    Notes
    -----
    Each bridged part is a circuit of its own to solve, so this waits until a jumper lead is at
    hand, and somebody's permit.
    """
    book = _dictionary(circuit, rates)
    scenarios: list[tuple[Fault, ...]] = [()]
    modes = weighted_modes(circuit, rates)
    scenarios += [(fault,) for mode in modes for fault in mode.faults]
    states = dict.fromkeys(complaint.state for complaint in circuit.complaints)
    bridged = {
        (place.name, state): jumped(circuit, scenarios, place, state, (part.first, part.second))
        for place in book.parts
        if place.kind in _BRIDGED and not place.no_jumper
        for part in [circuit.part(place.name)]
        for state in states
    }
    return replace(book, solved=replace(book.solved, jumped=bridged))


@dataclass(frozen=True, slots=True, kw_only=True)
class Samples:
    """Severities between those that were solved.

    Attributes
    ----------
    mode
        For every sample, the number of its fault mode.
    weight
        Its weight before any reading.
    corner, share
        Sample by two: the scenarios between which it lies, and the share of each.
    """

    mode: Indices
    weight: Floats
    corner: Indices
    share: Floats


def samples_of(modes: Sequence[FaultMode], predicted: Predicted) -> Samples:
    """Return the samples of fault modes whose severities stand one after another from scenario 1.

    Parameters
    ----------
    modes
        The fault modes.
    predicted
        Their scenarios; scenario 0 is the healthy circuit.
    """
    number, weight, lower, upper, share = [], [], [], [], []
    first = 1
    for at, mode in enumerate(modes):
        last = first + len(mode.severities) - 1
        if first == last:
            number.append([at])
            weight.append([mode.weight])
            lower.append([first])
            upper.append([first])
            share.append([0.0])
        for low in range(first, last):
            steps = steps_between(predicted.solved, predicted.shown, low)
            number.append([at] * steps)
            weight.append([mode.weight / (last - first) / steps] * steps)
            lower.append([low] * steps)
            upper.append([low + 1] * steps)
            share.append(((np.arange(steps) + 0.5) / steps).tolist())
        first = last + 1
    of_upper = np.concatenate(share)
    return Samples(
        mode=np.concatenate(number).astype(np.intp),
        weight=np.concatenate(weight),
        corner=np.stack([np.concatenate(lower), np.concatenate(upper)], axis=1).astype(np.intp),
        share=np.stack([1.0 - of_upper, of_upper], axis=1),
    )


def steps_between(solved: Solution, shown: Predictions, low: int) -> int:
    """Return how many samples stand between two severities: two if a contact moves between.

    Parameters
    ----------
    solved
        The scenarios as solved.
    shown
        What they would show.
    low
        The scenario of the lesser severity; the greater one stands after it.
    """
    pair = slice(low, low + 2)
    for flags in (solved.contacts[pair], solved.blown[pair], solved.chatter[pair]):
        if (flags[0] != flags[1]).any():
            return 2
    volts = shown.volts[pair]
    apart = np.abs(volts[1] - volts[0]) / meter_uncertainty(volts[0], 0.01)
    return int(np.clip(np.ceil(apart.max(initial=0.0) / STEP_IN_U), 1, 100))
