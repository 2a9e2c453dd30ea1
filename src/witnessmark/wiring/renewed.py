"""The way of a load with a new wire in it: what the rest loses, and the whole as repaired."""

from collections.abc import Collection
from dataclasses import replace

from witnessmark.wiring.budget import Budget, Loss, Side, lines_of
from witnessmark.wiring.drop import DropLimits
from witnessmark.wiring.held import Held


def held_of(found: Budget, renewed: Collection[str]) -> tuple[Held, ...]:
    """Return the limits that a new wire keeps together with the rest of its way.

    Parameters
    ----------
    found
        The healthy circuit as the sheet has it.
    renewed
        Names of the pieces that the new wire takes the place of.

    Returns
    -------
    tuple of Held
        None where the way does not lead through them. A limit of single joints is left out: no
        wire changes it.
    """
    loss = {one.piece: one.drop_v for one in found.losses}
    return tuple(
        Held(
            words=line.name,
            allowed_v=line.allowed_v,
            rest_v=line.drop_v - was_v,
            was_v=was_v,
        )
        for line in found.lines
        if (was_v := sum(loss[name] for name in line.pieces if name in renewed)) > 0
    )


def with_new_wire(
    found: Budget, renewed: Collection[str], drop_v: float, limits: DropLimits
) -> Budget:
    """Return the budget with the new wire in place of the pieces that it renews.

    Parameters
    ----------
    found
        The healthy circuit as the sheet has it.
    renewed
        Names of the pieces that the new wire takes the place of.
    drop_v
        What the new wire loses. [V]
    limits
        The chosen set of limits.

    Returns
    -------
    Budget
        The current is kept, and the load gets what is left: the same sums by which the size was
        chosen.
    """
    was_v = sum(one.drop_v for one in found.losses if one.piece in renewed)
    if not was_v > 0:
        return found

    def changed(one: Loss) -> Loss:
        if one.side is Side.LOAD:
            return replace(one, drop_v=one.drop_v + was_v - drop_v)
        if one.piece in renewed:
            return replace(one, drop_v=one.drop_v * drop_v / was_v)
        return one

    losses = tuple(changed(one) for one in found.losses)
    return replace(found, losses=losses, lines=lines_of(losses, found.supply_v, limits))
