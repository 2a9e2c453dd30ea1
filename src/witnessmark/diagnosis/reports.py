"""How a complained load looks, and how far a report of it is trusted."""

from typing import Final

import numpy as np
from scipy.special import expit

from witnessmark.diagnosis.belief import Floats
from witnessmark.errors import BenchError

WORKS, WEAK, DEAD, ON = 0, 1, 2, 3
HERE: Final = "here"
LOOKS: Final = ("works", "weak", "dead", "on")
DEAD_POWER: Final = (0.10, 0.03)  # share of healthy power: middle and width of the soft border
WORKS_POWER: Final = (0.85, 0.04)
ON_POWER: Final = (0.25, 0.06)  # share of full power at which a load that should rest is noticed

# Of all reports, those that have nothing to do with the load: another one was meant, or nobody
# looked. Tuned on simulated shops with and without such reports; see the reliability benchmark.
CARELESS: Final = 0.08
# Rows: how it truly looks. Columns: what is reported by who looks. Rows add up to 1.
ATTENTIVE: Final[dict[str, Floats]] = {
    "customer": np.array(
        [
            [0.945, 0.03, 0.02, 0.005],
            [0.06, 0.73, 0.20, 0.01],
            [0.03, 0.12, 0.84, 0.01],
            [0.05, 0.03, 0.02, 0.90],
        ]
    ),
    "here": np.array(
        [
            [0.974, 0.020, 0.005, 0.001],
            [0.030, 0.945, 0.020, 0.005],
            [0.005, 0.025, 0.965, 0.005],
            [0.020, 0.005, 0.005, 0.970],
        ]
    ),
}

REPORTED: Final[dict[str, Floats]] = {
    source: (1.0 - CARELESS) * table + CARELESS / len(LOOKS) for source, table in ATTENTIVE.items()
}


def look_chances(power_share: Floats, full_share: Floats, should_run: bool) -> Floats:
    """Return the chance that a load looks as if it works, is weak, is dead, or is on unasked.

    Parameters
    ----------
    power_share
        Power of the load over its healthy power in the same state. [1]
    full_share
        Power of the load over the most it has in any state when healthy. [1]
    should_run
        Whether the healthy load runs in this state.

    Returns
    -------
    ndarray
        Last axis: works, weak, dead, on.
    """
    shape = np.shape(power_share)
    chances = np.zeros((*shape, len(LOOKS)))
    if should_run:
        chances[..., DEAD] = expit((DEAD_POWER[0] - power_share) / DEAD_POWER[1])
        chances[..., WORKS] = expit((power_share - WORKS_POWER[0]) / WORKS_POWER[1])
        chances[..., WEAK] = np.clip(1.0 - chances[..., DEAD] - chances[..., WORKS], 0.0, 1.0)
    else:
        chances[..., ON] = expit((full_share - ON_POWER[0]) / ON_POWER[1])
        chances[..., WORKS] = 1.0 - chances[..., ON]
    return np.asarray(chances / chances.sum(axis=-1, keepdims=True), dtype=np.float64)


def report_log_likelihood(looks: Floats, look: str, source: str) -> Floats:
    """Return the log likelihood of one report, "weak" or so, for every sample.

    Parameters
    ----------
    looks
        Chances of how the load truly looks, as `look_chances` gives them.
    look
        What was reported: "works", "weak", "dead" or "on".
    source
        "customer" (the customer says) or "here" (seen here): trusted differently.
    """
    if look not in LOOKS:
        raise BenchError(
            f'The complaint looks like "{look}".',
            "It must be one of works, weak, dead, on.",
            "Choose the one that comes nearest.",
        )
    if source not in REPORTED:
        raise BenchError(
            f'The complaint comes from "{source}".',
            'It must be "customer" (the customer says) or "here" (seen here).',
            "Say who saw it.",
        )
    return np.asarray(np.log(looks @ REPORTED[source][:, LOOKS.index(look)]), dtype=np.float64)
