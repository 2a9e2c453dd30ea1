"""What a cause reads where a circuit without a fault reads something else."""

from dataclasses import dataclass
from typing import Final

from witnessmark.diagnosis.belief import METERS, Flags, meter_uncertainty
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.forecast import HIGH, LOW, healthy_size, predicted, quantile
from witnessmark.diagnosis.observations import Test

APART_IN_U: Final = 4.0  # a reading so far from a healthy one shows the cause


@dataclass(frozen=True, slots=True, kw_only=True)
class AgainstHealthy:
    """What some samples read, beside a circuit without a fault, in the unit of the test.

    Attributes
    ----------
    low, middle, high
        What a twentieth, half and all but a twentieth of their belief stays below.
    healthy
        What a circuit without a fault reads.
    in_u
        How many of the meter's uncertainties lie between the middle and that. [1]
    """

    low: float
    middle: float
    high: float
    healthy: float
    in_u: float


def against_healthy(book: Dictionary, weighed: Weighed, test: Test, own: Flags) -> AgainstHealthy:
    """Return what some samples read, beside a circuit without a fault.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    test
        A test that has a size.
    own
        Which samples.
    """
    shown, weight = predicted(book, weighed, test)[own], weighed.belief[own]
    low, middle, high = (quantile(shown, weight, share) for share in (LOW, 0.5, HIGH))
    healthy = healthy_size(book, test)
    u = float(meter_uncertainty(healthy, 0.01, METERS[test.kind]))
    return AgainstHealthy(
        low=low, middle=middle, high=high, healthy=healthy, in_u=abs(middle - healthy) / u
    )
