"""Vehicles with one complaint, diagnosed by the advice and by half-splitting; minutes to the end.

Both meet the same vehicles and the same noise. A wrong part costs half an hour: fitting it, seeing
that nothing changed, going on.
"""

from dataclasses import dataclass, replace

import numpy as np

from tests.diagnosis.bench_play import Vehicle
from tests.diagnosis.shops import Case, followed
from witnessmark.diagnosis.belief import meter_uncertainty
from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.evidence import explained_by_sample
from witnessmark.diagnosis.kinds import CLAMP_METER, EYES, GOOD_PART, METER, TEST_LAMP, VOLTS, Means
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.offers import minutes_of
from witnessmark.diagnosis.predicting import powers
from witnessmark.diagnosis.reports import LOOKS
from witnessmark.diagnosis.watching import load_looks
from witnessmark.networks.fault_modes import fault_modes
from witnessmark.networks.solver import solve

WRONG_PART_MIN = 30.0
SIZES = 24  # severities of a mode
BRINGS = 0.5  # chance of the complained look from which a fault brings it
# What a new shop has; the jumper lead asks for a permit.
MEANS = Means(tools=frozenset({METER, TEST_LAMP, EYES, CLAMP_METER, GOOD_PART}))


@dataclass
class Ended:
    """How one vehicle went: minutes with wrong parts, and whether the first part was right."""

    minutes: float
    first_right: bool


def vehicles_with(sheet, complaint, count, seed):
    """Vehicles whose fault brings a complaint, as often as the rates have them.

    They are drawn at even steps through all such faults, so that a set of two dozen is not far off.
    Severities are even in the logarithm of the size, apart from how the belief lays its own.
    """
    random = np.random.default_rng(seed)
    faults, weights, repairs = [], [], []
    for mode in fault_modes(sheet):
        sizes = _sizes(mode)
        faults += [replace(mode.faults[0], value=size) for size in sizes]
        weights += [mode.weight / len(sizes)] * len(sizes)
        repairs += [mode.repair] * len(sizes)
    book = dictionary_of(sheet)
    told = next(one for one in book.troubles if one.key == complaint.key)
    power = powers(sheet, solve(sheet, [(fault,) for fault in faults]))
    looks = load_looks(book, told, power[:, book.state(told.state), book.loads.index(told.load)])
    weight = np.array(weights) * (looks[:, LOOKS.index(told.look)] >= BRINGS)
    seen = Observation(complaint=complaint.key, source="here")
    steps = (np.arange(count) + random.random()) / count
    for at in np.searchsorted(np.cumsum(weight) / weight.sum(), steps).tolist():
        yield Case((faults[at],), frozenset([repairs[at]]), [seen], goes=False)


def _sizes(mode):
    """Severities through all that a mode may have; one without a size where it has none."""
    sizes = [size for size in mode.severities if size is not None]
    if len(sizes) < 2:
        return list(mode.severities)
    ends = np.log([min(sizes), max(sizes)])
    return np.exp(np.linspace(*ends, 2 * SIZES + 1)[1::2]).tolist()


def advised(sheet, case, seed):
    """Follow the advice; after a wrong part the readings go on, with what it has shown."""
    steps = list(followed(sheet, case, seed, MEANS, wary=False, wrong_part_min=WRONG_PART_MIN))
    *_, minutes, _, wrong = steps[-1]
    return Ended(minutes, wrong == 0)


def _repaired(minutes, order, case):
    """Repair one after another until the right one."""
    (right,) = case.repairs
    wrong = order.index(right) if right in order else len(order)
    return Ended(minutes + WRONG_PART_MIN * wrong, wrong == 0)


def halved(sheet, case, seed):
    """Half-splitting by hand: volts to ground in the complained state, the middle first.

    It knows the circuit: what each suspect would read anywhere. It counts suspects, not rates, and
    keeps those that fit every reading; at the end the parts that fail most often go first.
    """
    book = dictionary_of(sheet)
    vehicle = Vehicle(sheet, case.faults, seed)
    told = next(t for t in book.troubles if t.key == case.complaints[0].complaint)
    state = book.state(told.state)
    causes = explained_by_sample(book, case.complaints[0]) >= 0.5
    left = sorted({int(n) for n in book.suspect[causes & book.known]})
    volts = book.mix.of(book.solved.volts[:, state])
    own = {n: volts[(book.suspect == n) & causes] for n in left}
    minutes, last, done = 0.0, None, set()
    while len({book.suspects[n].repair for n in left}) > 1:
        best = None
        for at, place in enumerate(book.places):
            if at in done:
                continue
            healthy_v = float(book.solved.volts[0, state, at])
            near_v = 3 * float(meter_uncertainty(healthy_v, 0.01))
            off = sum(bool((np.abs(own[n][:, at] - healthy_v) > near_v).all()) for n in left)
            uneven = abs(off - len(left) / 2)
            if 0 < off < len(left) and (best is None or uneven < best[0]):
                best = (uneven, at, place)
        if best is None:
            break
        _, at, place = best
        test = Test(kind=VOLTS, point=place.letter, state=told.state)
        minutes += minutes_of(book, test, last)
        last = test
        done.add(at)
        read_v = vehicle.answer(test).value
        near_v = 3 * float(meter_uncertainty(read_v, 0.01)) + 0.02 * abs(read_v)
        fits = [
            n
            for n in left
            if own[n][:, at].min() - near_v <= read_v <= own[n][:, at].max() + near_v
        ]
        left = fits or left
    weight = np.bincount(book.suspect, np.exp(book.log_prior), len(book.suspects))
    left.sort(key=lambda n: -weight[n])
    order = list(dict.fromkeys(book.suspects[n].repair for n in left))
    return _repaired(minutes, order, case)


def compared(sheet, complaint, count, seed):
    """Mean minutes by the advice and by half-splitting, and how often our first part is wrong."""
    ours, theirs = [], []
    for number, case in enumerate(vehicles_with(sheet, complaint, count, seed)):
        ours.append(advised(sheet, case, seed + number))
        theirs.append(halved(sheet, case, seed + number))
    return (
        float(np.mean([one.minutes for one in ours])),
        float(np.mean([one.minutes for one in theirs])),
        sum(not one.first_right for one in ours),
        sum(not one.first_right for one in theirs),
    )
