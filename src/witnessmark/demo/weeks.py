"""The plan of the weeks: asked for on Tuesday before school, looked at, published."""

from witnessmark.demo.stage import Script, Stage
from witnessmark.planning import problem_to_text, result_to_text, solve_week
from witnessmark.record.acts.plans import publish_plan, queue_plan, store_plan
from witnessmark.record.weeks import sittings_to_keep, weeks_ahead
from witnessmark.shop import clock

PLAN_SECONDS = 5.0


def script(stage: Stage) -> Script:
    """Plan from Tuesday morning on and publish."""
    yield "24 Nov 07:50"
    by = stage.by("R. Aldane")
    problem = weeks_ahead(clock.now())
    plan = queue_plan(by, stage.id(), problem=problem_to_text(problem))
    result = solve_week(problem, seconds=PLAN_SECONDS)
    yield "24 Nov 07:51"
    store_plan(
        by,
        stage.id(),
        plan=plan,
        status=str(result.status),
        result=result_to_text(result),
        bound=str(result.bound) if result.has_plan else "",
        gap=str(result.gap) if result.has_plan else "",
        sittings=sittings_to_keep(result) if result.has_plan else [],
    )
    yield "24 Nov 07:58"
    publish_plan(by, stage.id(), plan=plan)
