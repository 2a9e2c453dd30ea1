"""Faults that come and go: how often each kind does, and what a reading says then.

A fault that is always there shows in every reading. One that comes and goes shows while the
complaint is there; while it is away the circuit reads as a healthy one, and that clears nobody.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from witnessmark.diagnosis.belief import Floats
from witnessmark.diagnosis.observations import Observation

# Chance that a fault comes and goes, before anyone has said so: common practice, no published
# source. Joints and contacts move; a blown fuse stays blown.
JOINT: Final = 0.10
MOVING: Final = 0.06
LASTING: Final = 0.005
_BY_KIND: Final = {"connector": JOINT, "ground": JOINT, "splice": JOINT, "lamp": 0.02}
_BY_MODE: Final = {"blown": LASTING, "weak": LASTING}
HERE: Final = 0.5  # chance that such a fault is there at the moment of a test
SEEN_AWAY: Final = 0.02  # chance that a crew calls a complaint away that is there all the time
# Said to come and go, or to be there all the time: how much more often of such a fault.
SAID: Final = {True: 15.0, False: 0.3, None: 1.0}


def share_that_goes(kind: str, mode: str) -> float:
    """Return the chance that a fault of this kind of part comes and goes.

    Parameters
    ----------
    kind
        Kind of the part.
    mode
        Fault mode.
    """
    return _BY_MODE.get(mode, _BY_KIND.get(kind, MOVING))


def joint_log_weight(
    prior: Floats,
    goes: Floats,
    readings: Sequence[tuple[bool | None, Floats, Floats | None]],
    complaints: Sequence[Observation] = (),
) -> Floats:
    """Return the log weight of every sample after readings, steady or coming and going.

    Parameters
    ----------
    prior
        Sample by supply: log weight before the readings.
    goes
        For every sample, the chance that its fault comes and goes. [1]
    readings
        For each: whether the complaint was there; the log likelihood with the fault there, sample
        by supply; and with the fault away, or None where that makes no difference.
    complaints
        What was reported, which may say that it comes and goes.
    """
    said = float(np.prod([SAID[complaint.comes_and_goes] for complaint in complaints]))
    goes = goes[:, None]
    steady = np.zeros_like(prior)
    going = np.zeros_like(prior)
    for present, there, away in readings:
        if away is None:
            steady = steady + there
            going = going + there
        elif present is True:
            steady = steady + there + np.log1p(-SEEN_AWAY)
            going = going + there + np.log(HERE)
        elif present is False:
            steady = steady + there + np.log(SEEN_AWAY)
            going = going + away + np.log1p(-HERE)
        else:
            steady = steady + there
            going = going + np.logaddexp(there + np.log(HERE), away + np.log1p(-HERE))
    with np.errstate(divide="ignore"):
        both = np.logaddexp(steady + np.log1p(-goes), going + np.log(goes * said))
    return np.asarray(prior + both, dtype=np.float64)
