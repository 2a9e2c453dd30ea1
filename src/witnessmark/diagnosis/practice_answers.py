"""A circuit with a hidden fault answers tests, by the physics of Find and with a meter's noise."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import METERS, lamp_chances
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import Predictions
from witnessmark.diagnosis.facts import PROTECTORS, ends_of, part_places
from witnessmark.diagnosis.intermittent import HERE
from witnessmark.diagnosis.kinds import (
    CLAMP,
    HEAT,
    JUMPER,
    KINDS,
    LAMPS,
    LOOK,
    OHMS,
    SHOW_ANYWAY,
    SWAP,
    VOLTS,
    WATCH,
)
from witnessmark.diagnosis.observations import Test
from witnessmark.diagnosis.outcomes import heat_chances, sign_chance
from witnessmark.diagnosis.practice import SEEN as SEEN_HERE
from witnessmark.diagnosis.practice import Hidden, fuses_it_blows, noticed, noticed_in
from witnessmark.diagnosis.practice_offers import refuse
from witnessmark.diagnosis.predicting import JUMPER as LEAD
from witnessmark.diagnosis.predicting import JUMPER_OHM, predict
from witnessmark.diagnosis.watching import seen_wrong, told_in
from witnessmark.networks import Circuit, Fault, Kind, make_part, solve
from witnessmark.networks.faults import BLOWN

DIGITS: Final = {VOLTS: 2, CLAMP: 1, OHMS: 1}  # that the meter shows
NOT_SEEN: Final = "The complaint cannot be seen in this state."
_HIDDEN, _HEALTHY = 1, 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a test shows.

    Attributes
    ----------
    text
        As the meter shows it, "2.94 V", or the word of its outcome.
    outcome
        The word, where the outcome is one.
    present
        Whether the complaint was there; None where nobody watched, or nobody could see it.
    note
        What else happened, or why nobody could see the complaint; empty if nothing.
    """

    text: str
    outcome: str = ""
    present: bool | None = None
    note: str = ""


def answer(
    circuit: Circuit,
    hidden: Hidden,
    seed: int,
    earlier: Sequence[str],
    test: Test,
    watched: bool = False,
) -> Answer:
    """Return what a test shows; the same seed and the same tests give the same answers.

    Parameters
    ----------
    circuit
        The circuit.
    hidden
        Its hidden fault.
    seed
        Where the dice of meter noise start.
    earlier
        Keys of the tests done before, in their order.
    test
        The test.
    watched
        Whether the learner watches the complaint during the test.

    Raises
    ------
    BenchError
        If the test is not on the sheet, hurts, or cannot be done to this part.
    """
    refuse(circuit, hidden, test)
    there = not hidden.comes_and_goes or bool(
        _dice(seed, "there", str(len(earlier))).random() < HERE
    )
    dice = _dice(seed, test.key, str(list(earlier).count(test.key)))
    if test.kind in (LOOK, WATCH):  # what is seen once is seen again
        dice = _dice(seed, test.key)
    kind = KINDS[test.kind]
    can_be_seen = _shows_complaint(circuit, hidden, test)
    present = there if watched and can_be_seen else None
    unseen = NOT_SEEN if watched and test.state and not can_be_seen else ""
    # By itself or to the eye, and when it is moved, a bad part shows whether it plays up or not.
    scenario = _HIDDEN if there or test.kind in SHOW_ANYWAY else _HEALTHY
    if test.kind in LAMPS or not kind.unit:
        word, note = _word(circuit, hidden, test, scenario, dice)
        note = f"{unseen} {note}".strip()
        return Answer(text=word, outcome=word, present=present, note=note)
    meter = float(_dice(seed, "meter", test.kind).standard_normal())
    size = _size(circuit, hidden, test, scenario, meter, dice)
    return replace(size, present=present, note=f"{unseen} {size.note}".strip())


def meter_words() -> str:
    """Return how far the meters of a case may read high or low: twice their usual share."""
    volts, ohms, clamp = (f"{200 * METERS[kind].gain:.0f}%" for kind in (VOLTS, OHMS, CLAMP))
    return (
        f"The meters stay the same: volts may read about {volts} high or low, ohms {ohms}, "
        f"the clamp {clamp}. The last digit moves."
    )


@lru_cache(maxsize=32)
def shown(circuit: Circuit, fault: Fault) -> Predictions:
    """Return what the healthy circuit and the one with the fault would show, without noise.

    Parameters
    ----------
    circuit
        The circuit.
    fault
        The fault.
    """
    return predict(circuit, solve(circuit, [(), (fault,)]), part_places(circuit))


def _dice(seed: int, *words: str) -> np.random.Generator:
    text = "\n".join((str(seed), *words))
    return np.random.default_rng(int.from_bytes(hashlib.sha256(text.encode()).digest()[:16]))


def _shows_complaint(circuit: Circuit, hidden: Hidden, test: Test) -> bool:
    return test.state in told_in(dictionary_of(circuit), hidden.complaints)


def _size(
    circuit: Circuit,
    hidden: Hidden,
    test: Test,
    scenario: int,
    meter: float,
    dice: np.random.Generator,
) -> Answer:
    """Return a size as the meter shows it.

    A case has one meter and one clamp: how far each reads high or low as a whole stays, `meter`
    times its usual share. Only the last digit differs from one reading to the next.
    """
    book, found = dictionary_of(circuit), shown(circuit, hidden.fault)
    unit = KINDS[test.kind].unit
    if test.kind == OHMS:
        true = float(found.ohms[scenario, book.part(test.part)])
        if np.isinf(true):
            return Answer(text="open", outcome="open")
    else:
        state = book.state(test.state)
        if found.unsteady[scenario, state]:
            most = book.supply_v if test.kind == VOLTS else float(found.amps[scenario].max())
            return Answer(
                text=_digits(float(dice.uniform(0.0, most)), test.kind, unit),
                note="The value does not settle: something in the circuit clicks on and off.",
            )
        if test.kind == CLAMP:
            true = float(found.amps[scenario, state, book.part(test.part)])
        else:
            row = found.volts[scenario, state]
            true = float(row[book.point(test.point)])
            if test.reference:
                true -= float(row[book.point(test.reference)])
    own = METERS[test.kind]
    own_share = 1.0 + meter * own.gain
    value = float(dice.normal(true * own_share, 10.0 ** -DIGITS[test.kind]))
    return Answer(text=_digits(abs(value) if test.kind != VOLTS else value, test.kind, unit))


def _digits(value: float, kind: str, unit: str) -> str:
    text = f"{value:.{DIGITS[kind]}f}"
    return f"{text.removeprefix('-') if float(text) == 0 else text} {unit}"


def _word(
    circuit: Circuit, hidden: Hidden, test: Test, scenario: int, dice: np.random.Generator
) -> tuple[str, str]:
    """Return the word of an outcome, and what else happened."""
    outcomes = KINDS[test.kind].outcomes
    if test.kind in LAMPS:
        book, found = dictionary_of(circuit), shown(circuit, hidden.fault)
        table = found.lamp[test.kind, test.reference]
        state = book.state(test.state)
        across = float(table[scenario, state, book.point(test.point)])
        if found.unsteady[scenario, state]:
            return "dim", "It flickers: something in the circuit clicks on and off."
        chances = lamp_chances(np.array([across]), test.kind)[0]
        return str(dice.choice(outcomes, p=chances)), ""
    if test.kind in (SWAP, JUMPER):
        return _with_help(circuit, hidden, test, scenario)
    return (outcomes[0] if dice.random() < _chance(circuit, hidden, test, scenario) else
            outcomes[1]), ""  # fmt: skip


def _chance(circuit: Circuit, hidden: Hidden, test: Test, scenario: int) -> float:
    """Return the chance that eyes, fingers or a wiggle find something, as belief has it."""
    book, found = dictionary_of(circuit), shown(circuit, hidden.fault)
    part = book.part(test.part)
    if test.kind == HEAT:
        watts = found.watts[scenario, book.state(test.state), part]
        return float(heat_chances(np.array([watts]))[0])
    if test.kind == WATCH:
        power = found.power[scenario, book.state(test.state), [book.loads.index(test.part)]]
        return float(seen_wrong(book, [test], power)[0])
    kind = book.parts[part].kind
    mode = hidden.fault.mode if hidden.fault.part == test.part else ""
    if test.kind == LOOK and kind in PROTECTORS and np.isinf(found.ohms[scenario, part]):
        mode = BLOWN
    return sign_chance(test.kind, kind, mode)


def _with_help(circuit: Circuit, hidden: Hidden, test: Test, scenario: int) -> tuple[str, str]:
    """Return whether the complaint of a state is gone with a good part, or over a jumper."""
    works, no_change = KINDS[test.kind].outcomes
    faults: tuple[Fault, ...] = (hidden.fault,) if scenario == _HIDDEN else ()
    note = ""
    if test.kind == SWAP:
        faults = tuple(fault for fault in faults if fault.part != test.part)
        still = noticed(circuit, faults, SEEN_HERE)
        if faults and test.part in fuses_it_blows(circuit, hidden.fault):
            note = "The new fuse blew at once."
    else:
        first, second = ends_of(circuit, test.part)[:2]
        lead = make_part(LEAD, Kind.WIRE, {"from": first, "to": second}, {"ohms": JUMPER_OHM})
        still = noticed_in(circuit, replace(circuit, parts=(*circuit.parts, lead)), faults)
    states = {one.key: one.state for one in dictionary_of(circuit).troubles}
    here = [key for key in still if states[key] == test.state]
    return (no_change if here else works), note
