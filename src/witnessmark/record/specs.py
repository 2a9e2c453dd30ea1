"""What a job's step says, as the value it was made from."""

from functools import lru_cache

from witnessmark.record.models import Step
from witnessmark.work.step_json import step_from_json
from witnessmark.work.steps import Measurement
from witnessmark.work.steps import Step as StepValue


def spec_of(step: Step) -> StepValue:
    """Return the step's own copy of what it says."""
    return _read(step.spec)


def measurement_of(step: Step, key: str) -> Measurement | None:
    """Return what the step asks to be read under this key, if it asks."""
    return spec_of(step).measurement(key)


@lru_cache(maxsize=2000)  # a spec never changes, and a value can be shared
def _read(text: str) -> StepValue:
    return step_from_json(text)
