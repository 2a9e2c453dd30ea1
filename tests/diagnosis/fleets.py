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
    Severities are even in the logarithm of the size, apart from how the belief lays its own. None
    is drawn in which a contact chatters: a meter shows nothing steady there, for either crew.
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
    solved = solve(sheet, [(fault,) for fault in faults])
    power = powers(sheet, solved)
    looks = load_looks(book, told, power[:, book.state(told.state), book.loads.index(told.load)])
    brings = looks[:, LOOKS.index(told.look)] >= BRINGS
    weight = np.array(weights) * (brings & ~solved.chatter.any(axis=1))
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


def halved(sheet, case, seed, exact=False):
    """Half-splitting by hand: volts to ground in the complained state, the middle first.

    The published rule: 'check the signal at a point in the middle. Is it good or bad?', then the
    middle of what is left (page "Half-Split", troubleshooting.hnd-computing.com, seen). Who is
    exact keeps only suspects whose own worked-out reading the meter shows; nobody has these by
    hand. Either counts suspects, not rates; at the end parts that fail most often go first.
    """
    book = dictionary_of(sheet)
    vehicle = Vehicle(sheet, case.faults, seed)
    told = next(t for t in book.troubles if t.key == case.complaints[0].complaint)
    state = book.state(told.state)
    causes = explained_by_sample(book, case.complaints[0]) >= 0.5
    left = sorted({int(n) for n in book.suspect[causes & book.known]})
    volts = book.mix.of(book.solved.volts[:, state])
    own = {n: volts[(book.suspect == n) & causes] for n in left}
    healthy = book.solved.volts[0, state]
    minutes, last, done = 0.0, None, set()
    while len({book.suspects[n].repair for n in left}) > 1:
        at = _middle([own[n] for n in left], healthy, done)
        if at is None:
            break
        test = Test(kind=VOLTS, point=book.places[at].letter, state=told.state)
        minutes += minutes_of(book, test, last)
        last = test
        done.add(at)
        read_v = vehicle.answer(test).value
        fits = _shown if exact else _as_good_or_bad
        left = [n for n in left if fits(own[n][:, at], read_v, healthy[at])] or left
    weight = np.bincount(book.suspect, np.exp(book.log_prior), len(book.suspects))
    left.sort(key=lambda n: -weight[n])
    order = list(dict.fromkeys(book.suspects[n].repair for n in left))
    return _repaired(minutes, order, case)


def _middle(volts, healthy, done):
    """Return the point at which nearest to half of the suspects are bad; None if none splits."""
    best = None
    for at, healthy_v in enumerate(healthy.tolist()):
        bad = sum(not _good(own[:, at], healthy_v).any() for own in volts)
        uneven = abs(bad - len(volts) / 2)
        if at not in done and 0 < bad < len(volts) and (best is None or uneven < best[0]):
            best = (uneven, at)
    return best and best[1]


def _good(volts, healthy_v):
    """Return where volts are as they should be, by a meter."""
    near_v = 3 * float(meter_uncertainty(healthy_v, 0.01)) + 0.02 * abs(healthy_v)
    return np.abs(volts - healthy_v) <= near_v


def _as_good_or_bad(own, read_v, healthy_v):
    """Return whether a suspect may be as good or bad there as what is read."""
    return bool((_good(own, healthy_v) == _good(read_v, healthy_v)).any())


def _shown(own, read_v, healthy_v):
    """Return whether a suspect may show what is read."""
    near_v = 3 * float(meter_uncertainty(read_v, 0.01)) + 0.02 * abs(read_v)
    return bool(own.min() - near_v <= read_v <= own.max() + near_v)


@dataclass
class Compared:
    """One case: mean minutes of the advice and of half-splitting, and first parts that are wrong.

    `exact` is half-splitting by who knows what every suspect would read.
    """

    ours: float
    by_hand: float
    exact: float
    ours_wrong: int
    by_hand_wrong: int

    def fewer(self, exact=False):
        """By which share our minutes are fewer."""
        return 1.0 - self.ours / (self.exact if exact else self.by_hand)


def compared(sheet, complaint, count, seed):
    """Play some vehicles with one complaint each way."""
    cases = list(enumerate(vehicles_with(sheet, complaint, count, seed)))
    ours = [advised(sheet, case, seed + number) for number, case in cases]
    by_hand = [halved(sheet, case, seed + number) for number, case in cases]
    exact = [halved(sheet, case, seed + number, exact=True) for number, case in cases]
    ours_min, by_hand_min, exact_min = (
        float(np.mean([one.minutes for one in way])) for way in (ours, by_hand, exact)
    )
    ours_wrong, by_hand_wrong = (sum(not one.first_right for one in way) for way in (ours, by_hand))
    return Compared(ours_min, by_hand_min, exact_min, ours_wrong, by_hand_wrong)
