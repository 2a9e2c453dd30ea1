"""The test that a form chose: what is done, where, against which point and in which state."""

from collections.abc import Mapping

from witnessmark.diagnosis.kinds import kind_named
from witnessmark.diagnosis.observations import test_key
from witnessmark.errors import BenchError


def key_as_typed(typed: Mapping[str, str]) -> str:
    """Return the key of the test that a form chose; refuse one that is done nowhere."""
    kind = kind_named(typed.get("kind", ""))
    place = typed.get("place", "")
    if not place:
        raise BenchError(
            "No point was chosen." if kind.at_point else "No part was chosen.",
            "A test is done somewhere.",
            "Choose where.",
            field="place",
        )
    state = typed.get("state", "") if kind.in_state else ""
    reference = typed.get("to", "") if kind.at_point else ""
    return test_key(kind.name, place, state, reference)
