"""A test in Find that is not the advised one: its kind, where it can be done, what it may show."""

from collections.abc import Callable, Mapping
from typing import Any

from witnessmark.diagnosis.building import dictionary_of
from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.find import caution_of_all
from witnessmark.diagnosis.kinds import KINDS, VOLTS, KindOfTest, Means
from witnessmark.diagnosis.observations import parse_test_key
from witnessmark.errors import BenchError
from witnessmark.web.find_facts import Finding
from witnessmark.web.where_done import form_facts, places_of, state_for


def as_another_test(key: str) -> dict[str, str]:
    """Return a test that is not the advised one as the form for another test has it."""
    if not key:
        return {}
    try:
        test = parse_test_key(key)
    except BenchError:
        return {"kind": VOLTS}
    return {"kind": test.kind, "place": test.place, "to": test.reference, "state": test.state}


def other_facts(
    found: Finding, asked: Mapping[str, str], address: Callable[[str, str], str], is_typed: bool
) -> dict[str, Any]:
    """Return what the form for another test prints.

    `asked` is what the address asks for, or what was refused and `is_typed`; `address` is that of
    the page with another kind of test, in a state.
    """
    book = dictionary_of(found.circuit, found.rates)
    missing = {one.name: why_missing(book, one, found.means) for one in KINDS.values()}
    able = [one for one in KINDS.values() if not missing[one.name]]
    kind = KINDS.get(asked.get("kind", ""), able[0] if able else KINDS[VOLTS])
    state = state_for(book, found.readings, asked.get("state", ""), found.run.state)
    form = form_facts(book, kind, state, found.readings, found.complaints)
    return form | {
        "is_open": bool(asked.get("kind")),
        "missing": missing[kind.name],
        "shows_form": bool(form["places"]) and (is_typed or not missing[kind.name]),
        "kinds": [(one, address(one.name, state)) for one in able],
        "not_here": [(one, missing[one.name]) for one in KINDS.values() if missing[one.name]],
        "caution": caution_of_all(found.circuit, found.rates) if kind.in_state else "",
    }


def why_missing(book: Dictionary, kind: KindOfTest, means: Means) -> str:
    """Return why a crew does not do a kind of test on a circuit; empty where it can."""
    if kind.permit and kind.permit not in means.permits:
        return f"takes the permit for {kind.permit}; nobody of the crew has it"
    if kind.tool not in means.tools:
        return f"there is no {kind.tool} here"
    if not places_of(book, kind):
        if not book.troubles:
            return "nothing is complained of on this circuit sheet"
        return "on no part of this circuit"
    return ""
