"""The check of a job's steps, with what this shop has: periods and permits."""

from datetime import datetime

from witnessmark.people.models import Permit
from witnessmark.people.permits import standing
from witnessmark.record.core import JobRecord
from witnessmark.shop.models import Period
from witnessmark.shop.models import Shop as ShopRow
from witnessmark.work.check import Problem, Shop, check_procedure
from witnessmark.work.steps import Procedure


def problems_of(record: JobRecord) -> tuple[Problem, ...]:
    """Return everything to mend in the job's steps before its work may open."""
    if not record.steps:
        return ()
    sheet = record.sheet("procedure")
    whole = Procedure(
        key="job",
        title=record.job.shown_number,
        source="the job's own steps" if sheet is None else sheet.title,
        steps=tuple(record.spec(step) for step in record.steps),
    )
    return check_procedure(whole, shop_as_known())


def shop_as_known() -> Shop:
    """Return what the check may know: the longest period, and permits that somebody holds."""
    row = ShopRow.objects.filter(pk=1).first()
    down_min = 0 if row is None else row.tools_down_minutes
    longest = max(
        (
            (datetime.combine(day, end) - datetime.combine(day, start)).seconds // 60
            for day, start, end in Period.objects.values_list("date", "start", "end")
        ),
        default=None,
    )
    people = Permit.objects.values_list("person_id", flat=True).distinct()
    held = {
        kind
        for levels in standing(people).values()
        for kind, level in levels.items()
        if level != "none"
    }
    return Shop(
        longest_period_min=None if longest is None else longest - down_min,
        permits=frozenset(held),
    )
