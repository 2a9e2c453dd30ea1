"""How the healthy check says what it found: a notice, and in which states."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.diagnosis.healthy_way import Flow
from witnessmark.networks import State
from witnessmark.quantities import listed


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """Something to look at: right in a few vehicles, a mistake of the sheet in most.

    Attributes
    ----------
    part
        Name of the part where it shows; empty where none does.
    sentence
        What was found, and what to look at.
    """

    part: str
    sentence: str


def when(flows: Sequence[Flow]) -> str:
    """Return in which states it is so, in their author's words: "with the fan running".

    Parameters
    ----------
    flows
        The states, one at the least.
    """
    return listed([_said(flow.circuit.state(flow.state)) for flow in flows], "and")


def _said(state: State) -> str:
    has_words = state.words and state.words != state.name
    return f"with {state.words}" if has_words else f"in the state “{state.name}”"
