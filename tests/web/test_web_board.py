"""The board on the wall: who works where, whom the teacher sees next, and no result."""

import io
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from PIL import Image

from tests.web.cast import TEACHER_PIN, TUESDAY
from tests.web.shop_floor import set_up
from witnessmark.log.models import Entry
from witnessmark.planning import problem_to_text, result_to_text, solve_week
from witnessmark.record.acts.evidence import add_note
from witnessmark.record.acts.handover import take_over
from witnessmark.record.acts.intake import Intake, open_job
from witnessmark.record.acts.marks import mark_step
from witnessmark.record.acts.parts import order_part
from witnessmark.record.acts.photos import keep_photo
from witnessmark.record.acts.plans import publish_plan, queue_plan, store_plan
from witnessmark.record.acts.school import add_bay
from witnessmark.record.acts.steps import (
    assign_crew,
    call_teacher,
    finish_step,
    start_step,
    tick_cautions,
)
from witnessmark.record.core import load
from witnessmark.record.handover import handover_of
from witnessmark.record.specs import spec_of
from witnessmark.record.weeks import sittings_to_keep, weeks_ahead
from witnessmark.shop import clock
from witnessmark.shop.models import Period
from witnessmark.work import digest as forms


@pytest.fixture
def floor(cast):
    with clock.at(TUESDAY.replace(hour=10, minute=40)):
        return set_up(cast)


def grey():
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(out, "JPEG")
    return out.getvalue()


def lifted(floor):
    """The tractor's first step, done up to the call of the teacher."""
    step = floor.jobs["tractor"].steps.get(position=1)
    with clock.at(TUESDAY.replace(hour=10, minute=42)):
        tick_cautions(floor.by, uuid4(), step=step, cautions=spec_of(step).cautions)
        start_step(floor.by, uuid4(), step=step)
        for photo in spec_of(step).photos:
            keep_photo(floor.by, uuid4(), step=step, key=photo.key, content=grey(), caption="")
    return step


def called(floor):
    step = lifted(floor)
    with clock.at(TUESDAY.replace(hour=11, minute=4)):
        finish_step(floor.by, uuid4(), step=step)
        call_teacher(floor.by, uuid4(), job=step.job, what="mark", step=step)
    return step


def marked(floor):
    step = called(floor)
    with clock.at(TUESDAY.replace(hour=11, minute=6)):
        shown = forms.digest(load(step.job).form(step))
        teacher = floor.cast.teacher
        mark_step(
            floor.by, uuid4(), step=step, shown_digest=shown, teacher=teacher, pin=TEACHER_PIN
        )
    return step


def published(floor):
    with clock.at(TUESDAY.replace(hour=10, minute=40)):
        problem = weeks_ahead(clock.now())
        plan = queue_plan(floor.by, uuid4(), problem=problem_to_text(problem))
        result = solve_week(problem, seconds=1)
        store_plan(
            floor.by,
            uuid4(),
            plan=plan,
            status=str(result.status),
            result=result_to_text(result),
            sittings=sittings_to_keep(result),
        )
        return publish_plan(floor.by, uuid4(), plan=plan)


def board(floor, address="/board"):
    answer = floor.cast.browser(floor.cast.teacher).get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def rows(page):
    return [re.sub(r"<[^>]+>", " ", row) for row in re.findall(r"<li class=\"bay.*?</li>", page)]


def row_of(page, vehicle):
    return " ".join(next(row for row in rows(page) if vehicle in row).split())


def test_the_board_counts_down_to_tools_down(floor):
    page = board(floor)
    assert "Period 3" in page
    assert "<b>38</b>" in page  # 12:00 less 10 minutes for cleaning, at 11:12
    assert "10:40 to 12:00" in page
    assert "Wed 14:00" in page  # the next class


def test_a_called_row_names_its_crew_and_when(floor):
    step = called(floor)
    people = [floor.learners[2], floor.learners[3]]
    assign_crew(floor.by, uuid4(), job=step.job, step=step, people=people)
    row = row_of(board(floor), "Tow tractor")
    assert "Devan, Esme" in row
    assert "Called 11:04" in row


def test_a_broken_row_stands_first_and_names_nobody(floor):
    step = marked(floor)
    assign_crew(floor.by, uuid4(), job=step.job, people=floor.learners)
    with clock.at(TUESDAY.replace(hour=11, minute=8)):
        add_note(floor.by, uuid4(), job=step.job, step=step, words="One stand was moved.")
    page = board(floor)
    first = " ".join(rows(page)[0].split())
    assert "Tow tractor" in first
    assert "Broken" in first
    assert "changed at 11:08" in first
    assert "step 1 of" in first
    assert not any(person.name in first for person in floor.learners)
    assert "One stand was moved." not in page


def test_a_running_step_shows_the_time_to_its_hold_as_planned(floor):
    plan = published(floor)
    step = lifted(floor)
    row = row_of(board(floor), "Tow tractor")
    sitting = plan.sittings.get(step=step)
    left = round((sitting.hold_start - TUESDAY).total_seconds() / 60)
    assert (f"Hold in {left} min" if left > 0 else "Hold due") in row
    planned = [person.name for person in sitting.crew.all()]
    assert all(name in row for name in planned)


def test_a_step_that_goes_on_tomorrow_says_when_and_does_not_count_the_minutes(floor):
    plan = published(floor)
    step = lifted(floor)
    assign_crew(floor.by, uuid4(), job=step.job, step=step, people=floor.learners[:1])
    tomorrow = Period.objects.get(date=(TUESDAY + timedelta(days=1)).date())
    begins = TUESDAY.replace(hour=14) + timedelta(days=1)
    sitting = plan.sittings.get(step=step)
    sitting.crew.set(floor.learners[1:3])
    plan.sittings.filter(step=step).update(
        period=tomorrow,
        start=begins,
        end=begins + timedelta(minutes=60),
        hold_start=begins + timedelta(minutes=55),
    )
    row = row_of(board(floor), "Tow tractor")
    assert "Next Wed 25" in row and "min" not in row.split()
    assert floor.learners[0].name in row
    assert floor.learners[1].name not in row


def test_the_teacher_line_shows_planned_looks_and_calls(floor):
    published(floor)
    called(floor)
    line = re.search(r'aria-label="Teacher: ([^"]+)"', board(floor))[1]
    assert "Bay 2, Teacher called" in line
    assert "Hold, not yet marked" in line


def test_without_a_plan_the_board_says_what_comes_next(floor):
    page = board(floor)
    assert "Not planned" in row_of(page, "Library bus")
    assert 'aria-label="Teacher: nothing waits"' in page


def test_parts_and_cautions_stand_at_the_foot(floor):
    lifted(floor)
    due = TUESDAY.date() + timedelta(days=2)
    order_part(floor.by, uuid4(), job=floor.jobs["bus"], what="top hose", due=due)
    page = board(floor)
    assert "top hose, Bay 1, Thu 26" in page
    assert "Caution. Bay 2: never go under a vehicle held by a jack alone." in page


def test_no_result_is_on_the_board(floor):
    page = board(floor)
    for word in ("within", "outside", "too close", "Within", "Outside"):
        assert word not in page


def test_the_board_is_told_304_while_nothing_changed(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    first = browser.get("/board/rows")
    tag = first.headers["ETag"]
    again = browser.get("/board/rows", headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    called(floor)
    changed = browser.get("/board/rows", headers={"If-None-Match": tag})
    assert changed.status_code == 200
    tag = changed.headers["ETag"]
    with clock.at(TUESDAY + timedelta(minutes=1)):  # the minutes to tools down are one fewer
        later = browser.get("/board/rows", headers={"If-None-Match": tag})
        assert later.status_code == 200
        assert "<b>37</b>" in later.content.decode()


def test_from_the_fifth_row_the_board_turns_pages_with_the_broken_first(floor):
    for name in ("5", "6"):
        bay = add_bay(floor.by, uuid4(), name=name)
        intake = Intake(vehicle=f"Cart {name}", kind="training")
        open_job(floor.by, uuid4(), intake=intake, complaint="", bay=bay)
    step = marked(floor)
    add_note(floor.by, uuid4(), job=step.job, step=step, words="Moved.")
    seen = []
    for seconds in (0, 12):
        with clock.at(TUESDAY + timedelta(seconds=seconds)):
            seen.append(rows(board(floor)))
    assert sorted(len(page) for page in seen) == [1, 4]
    longer = max(seen, key=len)
    assert "Tow tractor" in longer[0]
    assert "turns=1" in board(floor)


def test_looking_at_the_board_writes_nothing(floor):
    browser = floor.cast.browser(floor.cast.teacher)
    before = Entry.objects.count()
    browser.get("/board")
    browser.get("/board/rows")
    assert Entry.objects.count() == before
    assert browser.post("/board").status_code == 405


def test_a_stranger_sees_no_board(floor):
    assert "/signin" in floor.cast.browser().get("/board").headers["Location"]


def test_what_comes_next_says_whether_it_is_handed_over(floor):
    published(floor)
    step = marked(floor)
    with clock.at(TUESDAY.replace(hour=12, minute=30)):
        row = row_of(board(floor), "Tow tractor")
        assert "Next" in row and "step 2 of 7, not handed over" in row
        assert "handed over" not in row_of(board(floor), "Training six")  # not begun
        now = handover_of(load(step.job))
        take_over(
            floor.by,
            uuid4(),
            job=step.job,
            shown_digest=now.digest,
            looked_at=[check.key for check in now.card.checks],
            pin=TEACHER_PIN,
        )
        assert "step 2 of 7, handed over 12:30" in row_of(board(floor), "Tow tractor")
    with clock.at(TUESDAY.replace(day=25, hour=8)):
        assert "step 2 of 7, handed over Tue 24" in row_of(board(floor), "Tow tractor")
