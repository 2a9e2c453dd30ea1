"""Plan and board in a browser: they fit their screens, and the board follows the log."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from tests.web.browser import SCREENS, watched
from tests.web.cast import TUESDAY
from tests.web.shop_floor import set_up
from witnessmark.planning import problem_to_text, result_to_text, solve_week
from witnessmark.record.acts.parts import order_part
from witnessmark.record.acts.plans import publish_plan, queue_plan, store_plan
from witnessmark.record.acts.steps import call_teacher
from witnessmark.record.weeks import sittings_to_keep, weeks_ahead
from witnessmark.shop import clock

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL_TARGETS = """
() => [...document.querySelectorAll('main a, main button, main summary')]
  .filter(one => one.offsetParent !== null)
  .map(one => [one, one.getBoundingClientRect()])
  .filter(([one, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
  .map(([one, box]) => `${one.tagName} ${one.textContent.trim()} ${box.width}x${box.height}`)
"""
CUT_OFF = """
() => [...document.querySelectorAll('.board b, .board h1, .board :not(.bn) > span, .board p')]
  .filter(one => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0)
  .map(one => one.textContent.trim())
"""


@pytest.fixture
def shop(transactional_db, cast, live_server, settings):
    floor = set_up(cast, names=("Devan", "Esme", "Joss", "Nils", "Oona", "Priya"))
    due = TUESDAY.date() + timedelta(days=2)
    order_part(floor.by, uuid4(), job=floor.jobs["bus"], what="top hose", due=due)
    problem = weeks_ahead(clock.now())
    plan = queue_plan(floor.by, uuid4(), problem=problem_to_text(problem))
    result = solve_week(problem, seconds=1)
    store_plan(
        floor.by,
        uuid4(),
        plan=plan,
        status=str(result.status),
        result=result_to_text(result),
        bound=str(result.bound),
        gap=str(result.gap),
        sittings=sittings_to_keep(result),
    )
    publish_plan(floor.by, uuid4(), plan=plan)
    # the server answers in threads of its own, which do not know the given time
    settings.CLOCK_OFFSET_SECONDS = (TUESDAY - datetime.now(UTC)).total_seconds()
    signed_in = cast.browser(cast.teacher).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        yield floor, browser, live_server.url


def test_the_plan_fits_every_width_and_its_targets_are_large(shop):
    _, browser, url = shop
    page = browser.page()
    page.goto(f"{url}/plan")
    no_two_words_lie_on_each_other(page)
    browser.shoot(page, "plan")
    for width in (1440, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(SMALL_TARGETS) == []
    page.click("text=Show as table")
    browser.shoot(page, "plan-table")
    page.goto(f"{url}/plan/print")
    browser.shoot(page, "plan-print")


def no_two_words_lie_on_each_other(page):
    boxes = page.eval_on_selector_all(
        ".pl text:not(.pl-clear)",
        "all => all.map(one => [one.textContent, one.getBoundingClientRect()])",
    )
    for at, (words, box) in enumerate(boxes):
        for other, second in boxes[at + 1 :]:
            apart = (
                box["right"] <= second["left"] + 1
                or second["right"] <= box["left"] + 1
                or box["bottom"] <= second["top"] + 4
                or second["bottom"] <= box["top"] + 4
            )
            assert apart, f"'{words}' lies on '{other}'"


def test_the_board_fits_its_screen_and_follows_the_log(shop):
    floor, browser, url = shop
    page = browser.page()
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(f"{url}/board")
    SCREENS.mkdir(exist_ok=True)
    page.screenshot(path=SCREENS / "board-1920.png")
    assert page.evaluate("document.documentElement.scrollWidth") <= 1920
    assert page.evaluate(CUT_OFF) == []
    assert page.locator(".bay").count() == 3
    assert page.locator("text=Called").count() == 0
    job = floor.jobs["bus"]
    call_teacher(floor.by, uuid4(), job=job, what="help")
    page.wait_for_selector("text=Called", timeout=20_000)
    page.screenshot(path=SCREENS / "board-called-1920.png")
    shares = []
    for width, height in ((1920, 1080), (1280, 720)):  # never smaller on another screen
        page.set_viewport_size({"width": width, "height": height})
        shares.append(page.locator(".hd .c b").bounding_box()["height"] / height)
    assert abs(shares[0] - shares[1]) < 0.01
