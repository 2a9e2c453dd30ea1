"""The dictionary of a circuit, worked out once: every single fault, every test, every state."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import METERS, Floats, Indices, Meter, meter_uncertainty
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
from witnessmark.diagnosis.graded import Graded, Rates, graded_modes, part_of, single_faults
from witnessmark.diagnosis.intermittent import share_that_goes
from witnessmark.diagnosis.kinds import CLAMP, VOLTS
from witnessmark.diagnosis.lamp_works import lamp_works
from witnessmark.diagnosis.observations import GROUND
from witnessmark.diagnosis.predicting import jumped, loads_of, predict, supply_letter
from witnessmark.diagnosis.reaching import reach_of
from witnessmark.networks.circuit import Circuit, Complaint, Look
from witnessmark.networks.fault_modes import FaultMode
from witnessmark.networks.faults import SHORT
from witnessmark.networks.solver import Solution

ELSE_SHARE: Final = 0.03  # of all suspects' weight: 'something else'; the program's own choice
STEP_IN_U: Final = 1.2  # between two samples, over the meter's uncertainty
KEPT: Final = 8  # dictionaries kept at hand
_LOOK: Final = {Look.DEAD: "dead", Look.WEAK: "weak", Look.ON: "on"}
_BRIDGED: Final = SWITCHES | {"ground"}  # where a jumper tells what volts tell less plainly


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
        key=mode.key,
        parts=(part.name,),
        part_words=part.words,
        mode=mode.mode,
        words=mode.words,
        repair=mode.repair,
        comes_and_goes=share_that_goes(str(part.kind), mode.mode),
    )


@lru_cache(maxsize=KEPT)
def _dictionary(circuit: Circuit, rates: Rates) -> Dictionary:
    graded, solved = graded_modes(circuit, rates)
    modes = [grade.mode for grade in graded]
    parts = part_places(circuit)
    points, supply = places(circuit), supply_letter(circuit)
    clips = [GROUND, *([supply] if supply else [])]
    works = lamp_works(circuit, [place.letter for place in points], clips)
    shown = predict(circuit, solved, parts, refused=works)
    samples = samples_of(graded, solved, shown)
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
        places=points,
        troubles=tuple(map(trouble_of, circuit.complaints)),
        loads=loads_of(circuit),
        solved=shown,
        mix=Mixture(
            corner=np.vstack([samples.corner, [[0, 0]]]),
            weight=np.vstack([samples.share, [[1.0, 0.0]]]),
        ),
        parts=parts,
        spans=spans(circuit),
        supply_letter=supply,
        graded=graded,
        reach=reach_of(circuit, solved),
        lamp_works=works,
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
    scenarios = single_faults(book.graded)
    states = dict.fromkeys(complaint.state for complaint in circuit.complaints)
    bridged = {
        (place.name, state): jumped(circuit, scenarios, place, state)
        for place in book.parts
        if place.kind in _BRIDGED and not place.no_jumper
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


def samples_of(graded: Sequence[Graded], solved: Solution, shown: Predictions) -> Samples:
    """Return the samples of fault modes whose severities stand one after another from scenario 1.

    Parameters
    ----------
    graded
        The fault modes.
    solved
        Their scenarios; scenario 0 is the healthy circuit.
    shown
        What these would show.
    """
    number, weight, lower, upper, share = [], [], [], [], []
    low = 1
    for at, grade in enumerate(graded):
        if not grade.shares:
            number.append([at])
            weight.append([grade.mode.weight])
            lower.append([low])
            upper.append([low])
            share.append([0.0])
        for of_mode in grade.shares:
            is_short = grade.mode.mode.startswith(SHORT)
            steps = steps_between(solved, shown, low, is_short)
            number.append([at] * steps)
            weight.append([grade.mode.weight * of_mode / steps] * steps)
            lower.append([low] * steps)
            upper.append([low + 1] * steps)
            share.append(((np.arange(steps) + 0.5) / steps).tolist())
            low += 1
        low += 1
    of_upper = np.concatenate(share)
    return Samples(
        mode=np.concatenate(number).astype(np.intp),
        weight=np.concatenate(weight),
        corner=np.stack([np.concatenate(lower), np.concatenate(upper)], axis=1).astype(np.intp),
        share=np.stack([1.0 - of_upper, of_upper], axis=1),
    )


def steps_between(solved: Solution, shown: Predictions, low: int, is_short: bool = False) -> int:
    """Return how many samples stand between two severities: one at either end if a contact moves.

    Parameters
    ----------
    solved
        The scenarios as solved.
    shown
        What they would show.
    low
        The scenario of the lesser severity; the greater one stands after it.
    is_short
        Whether currents part the samples too: that of a short is no straight line between two
        severities, and no voltage may tell them apart.
    """
    pair = slice(low, low + 2)
    for flags in (solved.contacts[pair], solved.blown[pair], solved.chatter[pair]):
        if (flags[0] != flags[1]).any():
            return 2
    apart = _apart(shown.volts[pair], METERS[VOLTS])
    if is_short:
        apart = max(apart, _apart(shown.amps[pair], METERS[CLAMP]))
    return int(np.clip(np.ceil(apart / STEP_IN_U), 1, 100))


def _apart(sizes: Floats, meter: Meter) -> float:
    """Return how many uncertainties of a meter lie between the first and the second, at most."""
    u = meter_uncertainty(sizes[0], 0.01, meter)
    return float((np.abs(sizes[1] - sizes[0]) / u).max(initial=0.0))


def trouble_of(complaint: Complaint) -> Trouble:
    """Return a complaint of a sheet as the dictionary holds it.

    Parameters
    ----------
    complaint
        The complaint.
    """
    return Trouble(
        key=complaint.key,
        words=complaint.words,
        load=complaint.load,
        state=complaint.state,
        look=_LOOK[complaint.looks],
    )
