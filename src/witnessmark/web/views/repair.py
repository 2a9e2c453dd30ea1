"""Size the repair: wire, fuse and joint, from a job's cause or from the Library."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from witnessmark.diagnosis.facts import hazard_words
from witnessmark.errors import BenchError
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.core import JobRecord
from witnessmark.record.models import Job, Step
from witnessmark.shop.models import Shop
from witnessmark.web import gate, places, repair_facts
from witnessmark.web.job_head import head
from witnessmark.web.refusals import status_of
from witnessmark.web.repair_form import asked_of, choices, typed_of
from witnessmark.wiring.budget import LoadCurrent
from witnessmark.wiring.repair import Repair, plan_repair

PAGE = "witnessmark/repair/repair.html"
MORE = ("was", "thinnest", "fuse", "stalled", "starting", "seconds", "air", "joint_drop")


@require_GET
def in_library(request: HttpRequest) -> HttpResponse:
    """Size a repair that belongs to no job."""
    return _page(request, _question(request), {"url": "/library/repair"})


@require_GET
def in_job(request: HttpRequest, number: int) -> HttpResponse:
    """Size the repair of a job's cause."""
    return _job_page(request, gate.job_for(request.person, number))


@require_POST
def keep(request: HttpRequest, number: int) -> HttpResponse:
    """Keep the answer with the job, as a note of the step that does the repair."""
    job = gate.job_for(request.person, number)
    record: JobRecord = head(job, "work")["record"]
    try:
        words = _question(request, record).answer().note
        step = _step(record, request.POST.get("step", ""))
        add_note(gate.by(request), gate.entry_id(request), job=job, step=step, words=words)
    except BenchError as error:
        return _job_page(request, job, error)
    where = f"step {step.position}" if step else "the job"
    messages.info(request, f"The answer is kept as a note with {where}.")
    return redirect(places.step(number, step.position) if step else places.job(number))


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What the form holds, with what the job knows."""

    typed: dict[str, str]
    shop: Shop
    bench: repair_facts.Bench | None
    is_asked: bool

    @property
    def load(self) -> LoadCurrent | None:
        """Return the load of the sheet that was chosen."""
        return None if self.bench is None else self.bench.load(self.typed["load"])

    @property
    def halt(self) -> str:
        """Return why nobody in the class repairs this circuit; empty where they may."""
        return hazard_words(self.bench.circuit, self.shop.qualified) if self.bench else ""

    def answer(self) -> Repair:
        """Return the answered repair; refuse one that is not for a class."""
        if self.halt:
            raise BenchError("Nothing is repaired here.", self.halt, "Tell the teacher.")
        load = self.load
        return plan_repair(asked_of(self.typed, self.shop, load.current_a if load else None))


def _question(request: HttpRequest, record: JobRecord | None = None) -> Question:
    shop = request.shop
    sent = request.POST or request.GET
    typed = typed_of(sent, shop)
    bench = None if record is None else repair_facts.bench_of(record)
    if record is not None and bench is not None and "load" not in sent:
        typed["load"] = repair_facts.first_load(record, bench)
        if "length" not in sent:
            typed |= repair_facts.known_already(bench, bench.load(typed["load"]), shop)
    return Question(typed=typed, shop=shop, bench=bench, is_asked="length" in sent)


def _job_page(request: HttpRequest, job: Job, error: BenchError | None = None) -> HttpResponse:
    facts = head(job, "work")
    record: JobRecord = facts["record"]
    steps = [step for step in record.steps if step.kind != "find"]
    facts |= {
        "url": places.repair(job.number),
        "under": f"{facts['place']}. Size the repair",
        "steps": [(step, record.states[step.pk].is_seen) for step in steps],
        "at_step": request.POST.get("step") or _first_left(record, steps),
    }
    return _page(request, _question(request, record), facts, error)


def _page(
    request: HttpRequest, asked: Question, facts: dict[str, Any], error: BenchError | None = None
) -> HttpResponse:
    facts |= {
        "typed": asked.typed,
        "bench": asked.bench,
        "shop": asked.shop,
        "halt": asked.halt,
        "more_open": any(asked.typed[name] for name in MORE),
        **choices(),
        **repair_facts.joint_facts(asked.shop),
    }
    if asked.is_asked and not asked.halt:
        try:
            found = asked.answer()
            facts |= repair_facts.answer_facts(found)
            facts |= repair_facts.volts_facts(asked.bench, asked.load, found)
            facts |= repair_facts.heat_facts(asked.bench, asked.load, asked.typed, found)
        except BenchError as refused:
            error = error or refused
    facts["error"] = error
    return render(request, PAGE, facts, status=status_of(error) if error else 200)


def _first_left(record: JobRecord, steps: list[Step]) -> str:
    """Return the first step that is not finished: the answer is for it."""
    left = next((step for step in steps if not record.is_finished(step)), None)
    return str(left.pk) if left else ""


def _step(record: JobRecord, typed: str) -> Step | None:
    if not typed:
        return None
    found = next((step for step in record.steps if str(step.pk) == typed), None)
    if found is None:
        raise Http404
    found.job = record.job
    return found
