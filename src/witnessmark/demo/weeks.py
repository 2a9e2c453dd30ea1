"""The plan of the weeks: asked for on Tuesday before school, looked at, published."""

from witnessmark.demo.stage import Script, Stage
from witnessmark.planning import problem_to_text, solve_week
from witnessmark.record.acts.plans import publish_plan, queue_plan
from witnessmark.record.weeks import store_result, weeks_ahead
from witnessmark.shop import clock

PLAN_SECONDS = 20.0  # of work, not of the clock: enough to name who knows the job, every time


def script(stage: Stage) -> Script:
    """Plan from Tuesday morning on and publish."""
    yield "24 Nov 07:50"
    by = stage.by("R. Aldane")
    problem = weeks_ahead(clock.now())
    plan = queue_plan(by, stage.id(), problem=problem_to_text(problem))
    result = solve_week(problem, seconds=PLAN_SECONDS)
    yield "24 Nov 07:51"
    store_result(by, stage.id(), plan=plan, result=result)
    yield "24 Nov 07:58"
    publish_plan(by, stage.id(), plan=plan)
