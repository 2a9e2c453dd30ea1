"""Settings of the shop: places, timetable, instruments. For teachers."""

from datetime import timedelta
from itertools import groupby
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from witnessmark.errors import BenchError
from witnessmark.people.models import Section
from witnessmark.record.acts import school as acts
from witnessmark.record.acts.finding import set_find_rules, set_rates
from witnessmark.record.acts.repairs import set_repair_rules
from witnessmark.shop import clock
from witnessmark.shop.models import Bay, Instrument, Period
from witnessmark.shop.periods import DAYS, WeeklyPeriod
from witnessmark.web import gate
from witnessmark.web.refusals import status_of
from witnessmark.web.typed import chosen, day, hour, must_choose, whole
from witnessmark.wiring.joints import JOINT_RULES

WEEKS = 2
SCHOOL_DAYS = 5


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def shop(request: HttpRequest) -> HttpResponse:
    """Show the shop's settings; each form adds or changes one thing."""
    facts: dict[str, Any] = {"tab": "shop", "typed": {}}
    status = 200
    if request.method == "POST":
        try:
            said = _change(request)
        except BenchError as error:
            facts |= {"error": error, "typed": request.POST}
            status = status_of(error)
        else:
            messages.info(request, said)
            return redirect("/shop")
    today = timezone.localtime(clock.now()).date()
    coming = Period.objects.filter(
        date__gte=today, date__lt=today + timedelta(weeks=WEEKS)
    ).select_related("section")
    facts |= {
        "bays": Bay.objects.filter(retired_at=None),
        "instruments": Instrument.objects.filter(retired_at=None).select_related("set_in"),
        "sections": Section.objects.filter(retired_at=None),
        "days": [(when, list(periods)) for when, periods in groupby(coming, key=lambda p: p.date)],
        "weekdays": list(enumerate(DAYS[:SCHOOL_DAYS])),
        "presences": Period._meta.get_field("presence").choices,
        "today": today,
        "joint_rules": JOINT_RULES,
        "tools": _tools(),
    }
    return render(request, "witnessmark/shop/shop.html", facts, status=status)


def _change(request: HttpRequest) -> str:
    """Do what one form asks for, and return what to say."""
    by, id, typed = gate.by(request), gate.entry_id(request), request.POST
    match typed.get("act"):
        case "bay":
            kind = typed.get("kind", "")
            return f"{acts.add_bay(by, id, name=typed.get('name', ''), kind=kind)} is added."
        case "instrument":
            made = acts.add_instrument(
                by,
                id,
                **{
                    key: typed.get(key, "").strip()
                    for key in ("name", "kind", "resolution", "u_calibration", "u_zero", "u_repeat")
                },
                set_in=chosen(Instrument.objects.all(), typed.get("set_in", "")),
                due=day(typed.get("due", "")),
            )
            return f"{made} is added."
        case "periods":
            pattern = [_weekly(typed, weekday) for weekday in typed.getlist("day")]
            first = day(typed.get("first", "")) or timezone.localtime(clock.now()).date()
            made = acts.add_periods(by, id, pattern=pattern, first=first, days=7 * WEEKS)
            return f"{len(made)} periods are added."
        case "presence":
            period = must_choose(Period.objects.all(), typed.get("period", ""))
            acts.set_presence(by, id, period=period, presence=typed.get("presence", ""))
            return f"{period}: {period.get_presence_display()}."
        case "settings":
            acts.change_shop(
                by,
                id,
                units=typed.get("units", ""),
                paper=typed.get("paper", ""),
                tools_down_minutes=whole(typed.get("tools_down_minutes", ""), "minutes"),
                within_at=_percent(typed.get("within_at", "")),
                outside_at=_percent(typed.get("outside_at", "")),
            )
            return "The settings are kept. Verdicts that stand keep what was shown."
        case "repairs":
            set_repair_rules(
                by, id, joint_rule=typed.get("joint_rule", ""), own_drop=typed.get("own_drop", "")
            )
            return "The rules for repairs are kept."
        case "find":
            set_find_rules(
                by, id, tools=typed.getlist("tool"), qualified=typed.get("qualified", "")
            )
            return "The rules for Find are kept."
    raise Http404


def _weekly(typed: Any, weekday: str) -> WeeklyPeriod:
    none = BenchError(
        "The period has no section.",
        "A period is a lesson of one section.",
        "Add a section under People, then choose it.",
    )
    section = must_choose(Section.objects.all(), typed.get("section", ""), none)
    return WeeklyPeriod(
        weekday=whole(weekday, "weekday"),
        number=whole(typed.get("number", ""), "period number"),
        start=hour(typed.get("start", "")),
        end=hour(typed.get("end", "")),
        section_id=section.pk,
    )


def _tools() -> list[str]:
    """Return the tools that a shop may have or lack; eyes and hands are always there."""
    from witnessmark.diagnosis.kinds import EYES, KINDS

    return [tool for tool in dict.fromkeys(kind.tool for kind in KINDS.values()) if tool != EYES]


@require_http_methods(["GET", "POST"])
@gate.teachers_only
def rates(request: HttpRequest) -> HttpResponse:
    """Show how often parts fail, by the program and in this shop, and keep the shop's own."""
    from witnessmark.networks.fault_rates import usual_rates
    from witnessmark.networks.kinds import FORMS

    own = dict(request.shop.rates)
    facts: dict[str, Any] = {"tab": "shop"}
    status = 200
    if request.method == "POST":
        own = {name: text for name, text in request.POST.items() if "/" in name}
        try:
            set_rates(gate.by(request), gate.entry_id(request), rates=own)
        except BenchError as error:
            facts["error"] = error
            status = status_of(error)
        else:
            messages.info(request, "The rates are kept. Find uses them from now on.")
            return redirect("/shop/rates")
    facts["kinds"] = [
        (FORMS[kind].words, [(rate, own.get(rate.key, "")) for rate in found])
        for kind, found in groupby(usual_rates(), key=lambda rate: rate.kind)
    ]
    return render(request, "witnessmark/shop/rates.html", facts, status=status)


def _percent(text: str) -> float:
    return whole(text.strip().removesuffix("%").strip(), "percent") / 100


urls = [path("shop", shop), path("shop/rates", rates)]
