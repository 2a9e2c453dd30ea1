"""Acts on parts that a job waits for."""

from datetime import date
from uuid import UUID

from witnessmark.record.acts.by import By
from witnessmark.record.acts.intake import must_be_open
from witnessmark.record.acts.names import must_name
from witnessmark.record.models import Job, PartOrder, Step


def order_part(
    by: By, id: UUID, *, job: Job, what: str, due: date | None = None, step: Step | None = None
) -> PartOrder:
    """Write down a part that was ordered, and when it should come."""
    by.must_take_in("order a part")
    must_name(what)
    asked = {"job": job.pk, "what": what, "due": due, "step": step}
    with by.act("part ordered", id, job=job, asked=asked) as doing:
        if doing.is_repeated:
            return PartOrder.objects.get(pk=id)
        must_be_open(job)
        order = PartOrder(
            id=id,
            job=job,
            step=step,
            what=what.strip(),
            due=due,
            ordered_by=by.person,
            ordered_at=doing.at,
        )
        doing.say(subject=order)
        return doing.add(order)


def part_arrived(by: By, id: UUID, *, order: PartOrder) -> PartOrder:
    """Write down that a part is here. Whoever takes it in may do so."""
    by.must_be_here()
    asked = {"order": order.pk}
    with by.act("part arrived", id, job=order.job, subject=order, asked=asked) as doing:
        if not doing.is_repeated and order.arrived_at is None:
            doing.change(order, arrived_at=doing.at)
        return order
