"""Every address of the shop, one list per subject."""

from django.shortcuts import redirect
from django.urls import path

from witnessmark.web.later import later
from witnessmark.web.views import (
    board,
    fit,
    handover,
    intake,
    job,
    jobs,
    ledger,
    library,
    mark,
    owner,
    people,
    photos,
    plan,
    release,
    shop,
    signin,
    start,
    step,
    steps,
)

FIND = "witnessmark.web.views.find"  # needs the numerical libraries
REPAIR = "witnessmark.web.views.repair"  # the same
PRACTICE = "witnessmark.web.views.practice"  # the same
CIRCUIT = "witnessmark.web.views.circuit"  # the same

urlpatterns = [
    path("", lambda request: redirect("/jobs")),
    path("jobs/<int:number>/find", later(FIND, "find")),
    path("jobs/<int:number>/find/<slug:what>", later(FIND, "act")),
    path("jobs/<int:number>/repair", later(REPAIR, "in_job")),
    path("jobs/<int:number>/repair/keep", later(REPAIR, "keep")),
    path("library/repair", later(REPAIR, "in_library")),
    path("library/practice", later(PRACTICE, "cases")),
    path("library/practice/new", later(PRACTICE, "new")),
    path("library/practice/<int:number>", later(PRACTICE, "case")),
    path("library/practice/<int:number>/<slug:what>", later(PRACTICE, "act")),
    path("library/practice/<int:number>/of/<uuid:attempt_id>", later(PRACTICE, "of_learner")),
    path("library/circuit", later(CIRCUIT, "enter")),
    path("library/circuit/look", later(CIRCUIT, "look")),
    path("library/circuit/<uuid:draft_id>", later(CIRCUIT, "half_done")),
    path("library/circuit/<uuid:draft_id>/end", later(CIRCUIT, "end")),
    path("library/<uuid:item_id>/check", later(CIRCUIT, "check")),
    *fit.urls,
    *handover.urls,
    *board.urls,
    *intake.urls,
    *job.urls,
    *jobs.urls,
    *ledger.urls,
    *library.urls,
    *mark.urls,  # before step: its pages lie under a step's address
    *owner.urls,
    *people.urls,
    *photos.urls,
    *plan.urls,
    *release.urls,
    *shop.urls,
    *signin.urls,
    *start.urls,
    *step.urls,
    *steps.urls,
]
