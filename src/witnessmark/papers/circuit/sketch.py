"""What is to be drawn of a circuit: its branches, nodes, rails, and what moves together."""

import itertools
from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from witnessmark.networks import BATTERY_MINUS, Circuit, Kind
from witnessmark.papers.circuit.branches import OPEN, Branch, Node, Sketch, Symbol
from witnessmark.papers.circuit.parts import branches_of, branches_of_part


def sketch_of(
    circuit: Circuit,
    only: Collection[str] | None = None,
    main: Collection[str] = (),
    across: Mapping[str, float] | None = None,
) -> Sketch:
    """Return what is to be drawn of a circuit.

    Parameters
    ----------
    circuit
        The circuit; its parts may lack terminals.
    only
        Keys of the branches to draw; None for all.
    main
        Keys of the branches to draw strong.
    across
        Where each branch stands in the drawing of the whole, for a part of it to follow. [px]
    """
    every = branches_of(circuit)
    drawn = [branch for branch in every if only is None or branch.key in only]
    at: dict[str, int] = {}
    for branch in every:
        for key in {branch.first, branch.second}:
            at[key] = at.get(key, 0) + (branch not in drawn and branch.symbol is not Symbol.BATTERY)
    used = dict.fromkeys(key for branch in drawn for key in (branch.first, branch.second))
    known = {point.key: point for point in circuit.points}
    nodes = []
    for key in used:
        point = known.get(key)
        if point is not None:
            letter = "" if key == BATTERY_MINUS else point.letter
            nodes.append(Node(key=key, letter=letter, words=point.said, more=at[key]))
        elif key.startswith(OPEN):
            nodes.append(Node(key=key, is_open=True))
        else:
            nodes.append(Node(key=key, words=key, more=at[key]))
    supply, ground = _rails(circuit, used)
    leads = {branch.part: branch.key for branch in reversed(drawn)}
    leads |= {branch.part: branch.key for branch in drawn if branch.is_lead}
    return Sketch(
        branches=tuple(_leading(branch, leads[branch.part] == branch.key) for branch in drawn),
        nodes=tuple(nodes),
        supply=supply,
        ground=ground,
        ties=tuple(_ties(circuit, {branch.key for branch in drawn})),
        main=frozenset(main),
        across=tuple((one.key, across[one.key]) for one in drawn if one.key in across)
        if across
        else (),
        sources=tuple(
            part.name
            for part in circuit.parts
            if part.kind is Kind.BATTERY and part.end("plus") == supply and part.name not in leads
        ),
    )


def _leading(branch: Branch, is_lead: bool) -> Branch:
    return branch if branch.is_lead is is_lead else replace(branch, is_lead=is_lead)


def _rails(circuit: Circuit, used: Collection[str]) -> tuple[str, str]:
    """Return the plus post of the highest battery, and the minus post that is the reference."""
    batteries = [part for part in circuit.parts if part.kind is Kind.BATTERY]
    ground = BATTERY_MINUS
    if not any(part.end("minus") == ground for part in batteries):
        ground = next((part.end("minus") for part in batteries if part.end("minus")), ground)
    supply, seen = ground, set()
    while supply not in seen:
        seen.add(supply)
        for part in batteries:
            if part.end("minus") == supply and part.end("plus"):
                supply = part.end("plus")
                break
    if supply == ground:
        supply = ""
    return (supply if supply in used else ""), (ground if ground in used else "")


def _ties(circuit: Circuit, drawn: Collection[str]) -> Iterator[tuple[str, str]]:
    for part in circuit.parts:
        keys = [branch.key for branch in branches_of_part(part) if branch.key in drawn]
        if part.kind is Kind.RELAY:
            coil, arms = f"{part.name}.coil", (f"{part.name}.contact", f"{part.name}.rest")
            chain = [key for key in (coil, *arms) if key in keys]
        elif part.kind in (Kind.SOLENOID, Kind.SELECTOR, Kind.ALTERNATOR):
            chain = keys
        else:
            continue
        yield from itertools.pairwise(chain)
