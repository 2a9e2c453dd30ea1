"""Every address of the shop, one list per subject."""

from django.shortcuts import redirect
from django.urls import path

from witnessmark.web.views import signin, start

urlpatterns = [
    path("", lambda request: redirect("/jobs")),
    *signin.urls,
    *start.urls,
]
