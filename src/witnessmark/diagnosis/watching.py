"""Watching a load: how it looks by what it gets, and whether it is seen to do what it should."""

from collections.abc import Collection, Sequence
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats
from witnessmark.diagnosis.dictionary import HEALTHY, Dictionary, Mixture, Trouble
from witnessmark.diagnosis.kinds import KINDS, SHOW_ANYWAY, WATCH
from witnessmark.diagnosis.observations import Observation, Test, TestReading
from witnessmark.diagnosis.reports import ATTENTIVE, HERE, LOOKS, WORKS, look_chances

AMISS, WELL = KINDS[WATCH].outcomes  # how a load that is watched is seen to do
RUNS: Final = 0.05  # share of its greatest healthy power from which a load counts as running


def load_looks(book: Dictionary, asked: Trouble, power_w: Floats) -> Floats:
    """Return the chances of how a load looks that gets some power.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    asked
        The complaint: its load and state.
    power_w
        Power of the load, by sample. [W]
    """
    healthy_w, most_w = _healthy(book, [asked.state], [asked.load])
    return _looks(power_w[..., None], healthy_w, most_w)[..., 0, :]


def should_run(book: Dictionary, test: Test) -> bool:
    """Return whether a healthy load runs in the state of a test.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        A test that watches a load.
    """
    healthy_w, most_w = _healthy(book, [test.state], [test.part])
    return bool(healthy_w[0] > RUNS * most_w[0])


def complained_watched(
    book: Dictionary, test: Test, complaints: Sequence[Observation]
) -> tuple[Observation, ...]:
    """Return the complaints of the very load that a test watches, in its very state.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    complaints
        What was reported; that a load works is no complaint.
    """
    if test.kind != WATCH:
        return ()
    own = (test.part, test.state)
    here = {one.key: one.look for one in book.troubles if (one.load, one.state) == own}
    return tuple(
        one
        for one in complaints
        if one.complaint in here and (one.look or here[one.complaint]) != LOOKS[WORKS]
    )


def told_in(book: Dictionary, complaints: Sequence[Observation]) -> tuple[str, ...]:
    """Return the states in which complaints can be seen, with the load that they are told of.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported.
    """
    told = {one.complaint for one in complaints}
    return tuple(dict.fromkeys(one.state for one in book.troubles if one.key in told))


def asks_presence(book: Dictionary, test: Test, complaints: Sequence[Observation]) -> bool:
    """Return whether somebody is to say if the complaint was there during a test.

    Only where it can be seen: with everything switched off a dark lamp is no complaint, and "No,
    it was away" would speak against every fault that is always there. A complained load that is
    watched shows it by itself. A look, ohms or a wiggle find a bad joint, playing up or not.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    complaints
        What was reported.
    """
    return (
        test.kind not in SHOW_ANYWAY
        and test.state in told_in(book, complaints)
        and not complained_watched(book, test, complaints)
    )


def is_there(
    book: Dictionary, test: Test, complaints: Sequence[Observation], away: Collection[str]
) -> bool:
    """Return whether the complaint may be taken to be there during a test until somebody says no.

    Where one that is told in this state was last seen to be away, nothing is taken for granted.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    complaints
        What was reported.
    away
        Keys of the complaints that are not there now.
    """
    gone = [one for one in complaints if one.complaint in away]
    return asks_presence(book, test, complaints) and test.state not in told_in(book, gone)


def not_there(
    book: Dictionary, complaints: Sequence[Observation], readings: Sequence[TestReading]
) -> tuple[str, ...]:
    """Return the complaints that are not there now: their load, last watched, does what it should.

    A later test in its state during which the complaint was there shows that it has come back. Of
    a complaint that comes and goes it is enough that the crew said it was away during the last one.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complaints
        What was reported; that a load works is no complaint.
    readings
        The readings that stand, in the order in which they were taken.

    Returns
    -------
    tuple of str
        Keys of the complaints.
    """
    goes = {one.complaint for one in complaints if one.comes_and_goes}
    gone: dict[str, bool] = {}
    for one in complaints:
        for reading in readings:
            if complained_watched(book, reading.test, [one]):
                gone[one.complaint] = reading.outcome == WELL
            elif asks_presence(book, reading.test, [one]) and (
                reading.present is True or (reading.present is False and one.complaint in goes)
            ):
                gone[one.complaint] = not reading.present
    return tuple(key for key, is_gone in gone.items() if is_gone)


def watched_in(book: Dictionary, complained: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Return the loads worth watching, each with a state in which it should run or stay off.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    complained
        States in which something is complained of: there, what should stay off is watched too.
    """
    power_w = book.solved.power[HEALTHY]
    runs = power_w > RUNS * power_w.max(axis=0, initial=0.0)
    return tuple(
        (part.name, setting.name)
        for part in book.parts
        if part.may_watch
        for setting in book.settings
        if setting.name in complained or runs[book.state(setting.name), book.loads.index(part.name)]
    )


def seen_wrong(book: Dictionary, tests: Sequence[Test], power_w: Floats) -> Floats:
    """Return the chance that a load is seen not to do what it should, by what it gets.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    tests
        Tests that watch a load, each along the last axis.
    power_w
        Power of the load in the state of each test. [W]

    Notes
    -----
    Who watches a named load in a given state errs as often as who saw a complaint here, but is
    not careless: nobody means another load.
    """
    states, loads = [test.state for test in tests], [test.part for test in tests]
    looks = _looks(power_w, *_healthy(book, states, loads))
    return np.asarray(1.0 - looks @ ATTENTIVE[HERE][:, WORKS], dtype=np.float64)


def wrong_chances(book: Dictionary, tests: Sequence[Test], mix: Mixture) -> Floats:
    """Return sample by test: the chance that a load is seen not to do what it should.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    tests
        Tests that watch a load.
    mix
        The samples.
    """
    states = [book.state(test.state) for test in tests]
    loads = [book.loads.index(test.part) for test in tests]
    return seen_wrong(book, tests, mix.of(book.solved.power[:, states, loads]))


def _healthy(
    book: Dictionary, states: Sequence[str], loads: Sequence[str]
) -> tuple[Floats, Floats]:
    """Return the power of each healthy load in its state, and the most it has in any. [W]"""
    power_w = book.solved.power[HEALTHY][:, [book.loads.index(load) for load in loads]]
    rows = [book.state(state) for state in states]
    return power_w[rows, np.arange(len(rows))], power_w.max(axis=0)


def _looks(power_w: Floats, healthy_w: Floats, most_w: Floats) -> Floats:
    """Return the chances of how loads look, the loads along the last axis but one."""
    runs = healthy_w > RUNS * most_w
    share = power_w / np.where(runs, healthy_w, 1.0)
    full = np.where(most_w > 0, power_w / np.where(most_w > 0, most_w, 1.0), 0.0)
    looks = np.empty((*power_w.shape, len(LOOKS)))
    for should in (True, False):
        own = runs == should
        looks[..., own, :] = look_chances(share[..., own], full[..., own], should)
    return looks
