"""What Find draws: the focus of the complaint, wide and narrow, and the whole circuit."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from witnessmark.diagnosis.observations import Observation, parse_test_key
from witnessmark.diagnosis.path import way_of
from witnessmark.diagnosis.run import FindRun
from witnessmark.networks import BATTERY_MINUS, LOADS, Circuit
from witnessmark.papers.circuit import (
    Overlay,
    Reading,
    conducting,
    draw_focus,
    draw_narrow,
    focus_of,
)
from witnessmark.papers.circuit.table import PointRow, belief_rows, point_rows
from witnessmark.quantities import listed
from witnessmark.web.circuit_drawing import in_box, whole_drawing
from witnessmark.web.drawn import drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Views:
    """A circuit as Find and practice show it: what matters, wide and narrow, and the whole."""

    wide: SafeString
    narrow: SafeString
    whole: SafeString
    points: tuple[PointRow, ...]


def drawings(circuit: Circuit, run: FindRun, complaints: Sequence[Observation]) -> dict[str, Any]:
    """Return the drawings of a run and their tables, as the page prints them.

    The way that the next test lies on is drawn strong; of several, that of its state, or of the
    complaint that was told last.
    """
    overlay = overlay_of(circuit, run)
    views = views_of(circuit, complaints[::-1], overlay, _asked(run), run.state)
    return {
        "views": views,
        "points_table": views.points if views else (),
        "parts_table": belief_rows(circuit, overlay),
    }


def views_of(
    circuit: Circuit,
    complaints: Sequence[Observation],
    overlay: Overlay,
    asked: Sequence[str] = (),
    state: str = "",
) -> Views | None:
    """Return the drawings of what is complained of and asked for in a state.

    None where nothing joins what is complained of to the battery.
    """
    troubles = _nearest_first(circuit, _troubles(circuit, complaints), asked, state)
    focus = focus_of(circuit, troubles, asked, state)
    if focus is None:
        return None
    loads = listed(list(dict.fromkeys(load for load, _ in troubles)), "and")
    title = (
        f"Circuit of {loads}: supply at the top, ground at the bottom, volts at each point to the "
        "right"
    )
    main = frozenset(focus.main.pieces)
    return Views(
        wide=in_box(draw_focus(circuit, focus, overlay, title=title), title, "focus"),
        narrow=drawn(draw_narrow(circuit, focus, overlay, title=title)),
        whole=whole_drawing(circuit, overlay, main=main, name="whole"),
        points=point_rows(circuit, focus, overlay),
    )


def overlay_of(circuit: Circuit, run: FindRun) -> Overlay:
    """Return what a run draws over its circuit."""
    advice = run.next_test
    points = {
        view.letter: Reading(
            healthy_v=view.healthy_v, read=view.read, read_v=view.read_v, span_v=view.span_v
        )
        for view in run.points
    }
    return Overlay(
        conducts=conducting(circuit, run.state),
        belief=run.parts,
        points={BATTERY_MINUS: Reading(healthy_v=0.0)} | points,
        probe=advice.point if advice is not None else "",
        part=advice.part if advice is not None else "",
        supply_v=round(circuit.supply_v, 2),
        why=_why(run),
    )


def _asked(run: FindRun) -> tuple[str, ...]:
    """Return the points and the part of the next test."""
    if run.next_test is None:
        return ()
    test = parse_test_key(run.next_test.key)
    return tuple(filter(None, (test.point, test.reference, test.part)))


def _troubles(circuit: Circuit, complaints: Sequence[Observation]) -> list[tuple[str, str]]:
    """Return load and state of each complaint; of the sheet's first one where there is none."""
    known = {one.key: one for one in circuit.complaints}
    told = [known[one.complaint] for one in complaints if one.complaint in known]
    told = told or list(circuit.complaints[:1])
    if told:
        return [(one.load, one.state) for one in told]
    loads = [part.name for part in circuit.parts if part.kind in LOADS]
    return [(loads[0], circuit.states[-1].name)] if loads else []


def _nearest_first(
    circuit: Circuit, troubles: list[tuple[str, str]], asked: Sequence[str], state: str
) -> list[tuple[str, str]]:
    """Return the troubles, first those whose way leads past the test, and in its state."""

    def apart(trouble: tuple[str, str]) -> tuple[bool, bool]:
        load, at = trouble
        way = way_of(circuit, load, at)
        passed = {load, *way.main.points, *way.sides} if way is not None else set()
        return passed.isdisjoint(asked), at != state

    return sorted(troubles, key=apart)


def _why(run: FindRun) -> tuple[str, ...]:
    advice = run.next_test
    if advice is None or advice.kind != "volts":
        return ()
    return tuple(_meanings(run))


def _meanings(run: FindRun) -> Iterator[str]:
    assert run.next_test is not None
    for meaning in sorted(run.next_test.meanings, key=lambda one: one.is_healthy)[:2]:
        words = meaning.points_to
        for lead in ("a bad ground path, ", "a bad feed, "):
            words = words.removeprefix(lead)
        yield f"{meaning.outcome} if {words.partition(' (')[0]}"
