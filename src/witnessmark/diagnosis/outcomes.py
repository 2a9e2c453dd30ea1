"""What every sample says of a test: the size a meter would show, or the chances of its outcomes."""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from scipy.special import expit

from witnessmark.diagnosis.belief import Flags, Floats, Indices, lamp_chances
from witnessmark.diagnosis.dictionary import Dictionary, Mixture, Trouble
from witnessmark.diagnosis.facts import JOINTS, PROTECTORS, SWITCHES, WIRES
from witnessmark.diagnosis.kinds import (
    CLAMP,
    HEAT,
    JUMPER,
    KINDS,
    LAMPS,
    LOOK,
    OHMS,
    SWAP,
    VOLTS,
    WATCH,
    WIGGLE,
)
from witnessmark.diagnosis.observations import Observation, Test
from witnessmark.diagnosis.reports import WEAK, WORKS
from witnessmark.diagnosis.watching import complained_watched, load_looks, wrong_chances
from witnessmark.networks.faults import BLOWN

# Chances of what eyes, fingers and a good part show: the program's own, from shop habit.
FALSE_SIGN: Final = 0.03  # a sign where nothing is wrong
OLD_SIGN: Final = 0.06  # green or burnt to the eye, and yet not the fault
MOVES: Final = 0.6  # a bad joint that changes when it is wiggled
MOVES_INSIDE: Final = 0.3  # a wire that is broken inside its jacket, a contact behind its cover
SEEN: Final = 0.5  # a bad joint that shows to the eye
SEEN_BY_MODE: Final = {BLOWN: 0.9, "weak": 0.15}
SEEN_BY_KIND: Final = {"lamp": 0.8, "relay": 0.1, "motor": 0.1, "switch": 0.1, "wire": 0.35}
LOOSE_MODES: Final = frozenset({"high", "open", "stuck-open"})
HOT_W: Final = (4.0, 1.2)  # W: heat in a joint that fingers notice, and the width of that border


def follows_supply(kind: str) -> bool:
    """Return whether the size of a reading moves with the vehicle's supply.

    Parameters
    ----------
    kind
        Kind of test.
    """
    return kind in (VOLTS, CLAMP)


def size(book: Dictionary, test: Test, mix: Mixture | None = None) -> Floats:
    """Return what a meter would show for every sample, at the supply of the sheet.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        A test whose outcome has a size, or that of a lamp: then the volts across it.
    mix
        The samples; those of the dictionary by default.

    Returns
    -------
    ndarray
        By sample; infinite for ohms without end. [V], [A] or [Ω]
    """
    mix = mix or book.mix
    solved = book.solved
    if test.kind == OHMS:
        column = solved.ohms[:, book.part(test.part)]
        bounded = np.where(np.isinf(column), 1e12, column)
        mixed = mix.of(bounded)
        return np.where(mixed > 1e9, np.inf, mixed)
    state = book.state(test.state)
    if test.kind == CLAMP:
        return mix.of(solved.amps[:, state, book.part(test.part)])
    if test.kind in LAMPS:
        return mix.of(solved.lamp[test.kind, test.reference][:, state, book.point(test.point)])
    volts = solved.volts[:, state, book.point(test.point)]
    if test.reference:
        volts = volts - solved.volts[:, state, book.point(test.reference)]
    return mix.of(volts)


def wanders(book: Dictionary, test: Test, mix: Mixture | None = None) -> Flags:
    """Return the samples with which the outcome would wander because a relay chatters.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        The test.
    mix
        The samples; those of the dictionary by default.
    """
    mix = mix or book.mix
    if not test.state:
        return np.zeros(len(mix.weight), dtype=np.bool_)
    return mix.most(book.solved.unsteady[:, book.state(test.state)])


def is_lamp(test: Test) -> bool:
    """Return whether a test is a lamp's, whose outcome follows from volts across it.

    Parameters
    ----------
    test
        The test.
    """
    return test.kind in LAMPS


def lamp_outcomes(volts: Floats, test: Test) -> Floats:
    """Return the chances of dark, dim and lit.

    Parameters
    ----------
    volts
        Volts across the lamp. [V]
    test
        The test, which names the tool.
    """
    return lamp_chances(volts, test.kind)


def sign_chances(book: Dictionary, test: Test, complaints: Sequence[Observation] = ()) -> Floats:
    """Return, for every sample, the chance of the first of a test's two outcomes.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    test
        A wiggle, a look, heat, a load watched, a swap or a jumper.
    complaints
        What was reported: a swap or jumper asks whether that load works again.

    Returns
    -------
    ndarray
        By sample. 'Something else' says nothing: one half.
    """
    return signs(book, [test], complaints, np.arange(len(book.suspect)))[:, 0]


def signs(
    book: Dictionary, tests: Sequence[Test], complaints: Sequence[Observation], samples: Indices
) -> Floats:
    """Return sample by test: the chance of the first of two outcomes.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    tests
        Wiggles, looks, heat, loads watched, swaps and jumpers.
    complaints
        What was reported: a swap or jumper asks whether that load works again.
    samples
        Numbers of some samples.

    Returns
    -------
    ndarray
        'Something else' says nothing, one half, but for the complaint itself.
    """
    mix, suspect = book.mix.rows(samples), book.suspect[samples]
    parts = {part.name: number for number, part in enumerate(book.parts)}
    chances = np.empty((len(samples), len(tests)))
    by_suspect = [at for at, test in enumerate(tests) if test.kind not in (HEAT, JUMPER, WATCH)]
    chances[:, by_suspect] = _by_suspect(book, [tests[at] for at in by_suspect], parts)[suspect]
    hot = [at for at, test in enumerate(tests) if test.kind == HEAT]
    states = [book.state(tests[at].state) for at in hot]
    watts = mix.of(book.solved.watts[:, states, [parts[tests[at].part] for at in hot]])
    chances[:, hot] = heat_chances(watts)
    watched = [at for at, test in enumerate(tests) if test.kind == WATCH]
    chances[:, watched] = wrong_chances(book, [tests[at] for at in watched], mix)
    for at, test in enumerate(tests):
        if test.kind == JUMPER:
            chances[:, at] = _jumper_chances(book, test, complaints, mix)
        elif test.kind == LOOK and book.parts[parts[test.part]].kind in PROTECTORS:
            # A fuse that a short has blown looks like one that blew by itself.
            gone = np.isinf(size(book, Test(kind=OHMS, part=test.part), mix))
            chances[gone, at] = SEEN_BY_MODE[BLOWN]
    unknown = ~book.known[samples]
    chances[unknown] = 0.5
    # Something that is not on the sheet and is complained of shows the complaint.
    shows = [at for at in watched if complained_watched(book, tests[at], complaints)]
    chances[np.ix_(np.flatnonzero(unknown), np.array(shows, dtype=np.intp))] = 1.0 - FALSE_SIGN
    return chances


def _by_suspect(book: Dictionary, tests: Sequence[Test], parts: Mapping[str, int]) -> Floats:
    """Return suspect by test: the chance that a swap, a look or a wiggle shows something."""
    chances = np.empty((len(book.suspects), len(tests)))
    for at, test in enumerate(tests):
        kind = book.parts[parts[test.part]].kind
        chances[:, at] = FALSE_SIGN if test.kind == SWAP else sign_chance(test.kind, kind)
        for number, mode in book.faulted.get(test.part, ()):
            if test.kind == SWAP:
                cures = len(book.suspects[number].parts) == 1
                chances[number, at] = 1.0 - FALSE_SIGN if cures else FALSE_SIGN
            else:
                chances[number, at] = sign_chance(test.kind, kind, mode)
    return chances


def sign_chance(test: str, kind: str, mode: str = "") -> float:
    """Return the chance that a look or a wiggle shows something at a part.

    Parameters
    ----------
    test
        "look" or "wiggle".
    kind
        Kind of the part.
    mode
        What is wrong with it, "high"; empty where it is sound.

    Examples
    --------
    >>> sign_chance("look", "fuse", "blown"), sign_chance("wiggle", "connector", "high")
    (0.9, 0.6)
    >>> sign_chance("wiggle", "wire", "open"), sign_chance("wiggle", "connector")
    (0.3, 0.03)
    """
    if test == LOOK:
        if not mode:
            return OLD_SIGN
        return max(SEEN_BY_MODE.get(mode, SEEN_BY_KIND.get(kind, SEEN)), OLD_SIGN)
    assert test == WIGGLE, f"no such test: {test}"
    if mode not in LOOSE_MODES:
        return FALSE_SIGN
    return MOVES if kind in JOINTS else MOVES_INSIDE


def heat_chances(watts: Floats) -> Floats:
    """Return the chance that fingers or a nose notice heat in a joint.

    Parameters
    ----------
    watts
        Heat in it. [W]
    """
    noticed = expit((watts - HOT_W[0]) / HOT_W[1])
    return np.asarray(FALSE_SIGN + (1.0 - 2.0 * FALSE_SIGN) * noticed, dtype=np.float64)


def _jumper_chances(
    book: Dictionary, test: Test, complaints: Sequence[Observation], mix: Mixture
) -> Floats:
    """Return the chance that the complained load works with a part bridged."""
    bridged = book.solved.jumped.get((test.part, test.state))
    asked = complained(book, test.state, complaints)
    if bridged is None or asked is None:
        return np.full(len(mix.weight), 0.5)
    power = mix.of(bridged[:, book.loads.index(asked.load)])
    unknown = np.isnan(power)
    looks = load_looks(book, asked, np.where(unknown, 0.0, power))
    works = looks[:, WORKS] + 0.5 * looks[:, WEAK]
    return np.where(unknown, 0.5, FALSE_SIGN + (1.0 - 2.0 * FALSE_SIGN) * works)


def complained(book: Dictionary, state: str, complaints: Sequence[Observation]) -> Trouble | None:
    """Return the complaint that a swap or a jumper in a state is to cure.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    state
        The state.
    complaints
        What was reported.
    """
    told = [complaint.complaint for complaint in complaints]
    here = [found for found in book.troubles if found.state == state]
    here.sort(key=lambda found: found.key not in told)
    return here[0] if here else None


def outcome_names(kind: str) -> tuple[str, ...]:
    """Return the words an outcome may have.

    Parameters
    ----------
    kind
        Kind of test.
    """
    return KINDS[kind].outcomes


HEATED: Final = JOINTS | WIRES | SWITCHES | PROTECTORS
