"""Long work, taken from the queue beside the web process."""

import uuid

from django_tasks import task

from witnessmark.planning import problem_from_text, solve_week
from witnessmark.record.acts.by import By
from witnessmark.record.acts.plans import published_plan, store_plan
from witnessmark.record.models import Plan
from witnessmark.record.weeks import kept_sittings, store_result

PLAN_SECONDS = 10.0


@task()
def plan_weeks(plan_id: str) -> None:
    """Compute a plan that was asked for, and store how it ended."""
    plan = Plan.objects.select_related("made_by").get(pk=uuid.UUID(plan_id))
    if plan.stored_at is not None:  # taken from the queue a second time
        return
    by, id = By(person=plan.made_by), uuid.uuid5(plan.pk, "stored")
    standing = published_plan()
    try:
        result = solve_week(
            problem_from_text(plan.problem),
            seconds=PLAN_SECONDS,
            published=kept_sittings(standing) if standing else (),
        )
    except Exception:  # the page must not wait for ever; the queue keeps what went wrong
        store_plan(by, id, plan=plan, status="failed")
        raise
    store_result(by, id, plan=plan, result=result)
