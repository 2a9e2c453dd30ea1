"""Every screen of the demo shop at its sizes, light and dark: kept as pictures, and measured."""

import re
from collections.abc import Iterable, Iterator

import pytest
from playwright.sync_api import Page

from journeys.conftest import SCREENS, Shop, Visitors
from journeys.hands import open_device, sign_in_learner, sign_in_teacher
from journeys.test_journey_empty_shop import start_shop

pytestmark = pytest.mark.browser
SIZES = {"1440": (1440, 900), "820": (820, 1180), "390": (390, 844)}
WALL = {"1920": (1920, 1080)}
SCHEMES = ("light", "dark")
JOB_PAGES = {  # of the library bus, at work, with a broken mark
    "job": "/jobs/114",
    "crew": "/jobs/114/crew",
    "ledger": "/jobs/114/ledger",
    "owner": "/jobs/112/owner",
    "handover": "/jobs/114/handover",
    "steps": "/jobs/114/steps",
    "step": "/jobs/114/step/5",
    "step-called": "/jobs/114/step/6",
    "step-next": "/jobs/114/step/7",
    "mark": "/jobs/114/step/6/mark",
    "release-shut": "/jobs/114/release",
    "find-without-sheet": "/jobs/114/find",
    "find": "/jobs/117/find",
    "fit": "/jobs/109/fit",
    "steps-choose": "/jobs/117/steps",
    "release": "/jobs/112/release",
    "cause-mark": "/jobs/112/cause/mark",
    "repair-ground": "/jobs/117/repair",
    "repair": "/jobs/117/repair?work=wire&length=5&insulation=pvc-105&place=engine&wires=4"
    "&joint_drop=2.8",
}
SHOP_PAGES = {
    "jobs": "/jobs",
    "plan": "/plan",
    "plan-print": "/plan/print",
    "library": "/library",
    "library-repair": "/library/repair?current=16&length=2&insulation=pvc-80&thinnest=18+AWG",
    "practice": "/library/practice",
    "practice-1": "/library/practice/1",  # Wren's review; to the teacher how each one ended
    "practice-2": "/library/practice/2",
    "me": "/signin/me",
}
TEACHER_PAGES = {
    **SHOP_PAGES,
    **JOB_PAGES,
    "intake": "/jobs/new",
    "put-in": "/library/new",
    "circuit": "/library/circuit",
    "people": "/people",
    "here": "/people/here",
    "devices": "/people/sign-in",
    "shop": "/shop",
    "rates": "/shop/rates",
}
# the first link of a page that leads to a screen of its own: a sheet, a person, a permit, a reading
LINKED = {
    "sheet": ("/library", ".lib a"),
    "person": ("/people/here", ".rds a"),
    "practice-of": ("/library/practice/1", "td .cor"),
    "permit": ("/people", ".grid td a"),
    "correct": ("/jobs/114/step/5", "#readings a"),
    "correct-line": ("/jobs/114/ledger", ".every .l a.btn"),
    "take-back": ("/jobs/114/ledger", ".every .r a.btn"),
}
OF_A_CREW = ("correct", "correct-line", "take-back")
SMALLEST = 44  # px, so that a thumb or a gloved finger meets it
SMALL = """(smallest) => {
    const inText = (el) => {
        if (el.tagName !== "A" || getComputedStyle(el).display !== "inline") return false;
        const block = el.closest("p, li, dd, small, figcaption");
        return block !== null && block.innerText.trim() !== el.innerText.trim();
    };
    const found = [];
    const kinds = "a[href], button, select, textarea, summary, input:not([type=hidden])";
    for (const el of document.querySelectorAll(kinds)) {
        if (el.disabled || !el.checkVisibility({visibilityProperty: true})) continue;
        const box = el.getBoundingClientRect();
        if (!box.width || box.right < 0 || box.bottom < 0 || inText(el)) continue;
        let width = box.width, height = box.height;
        const label = el.closest("label");
        if (label) {
            const whole = label.getBoundingClientRect();
            // the PIN's field, for readers of the screen
            if (getComputedStyle(label).clipPath !== "none") continue;
            width = Math.max(width, whole.width);
            height = Math.max(height, whole.height);
        }
        if (width < smallest - 0.5 || height < smallest - 0.5)
            found.push(`${el.tagName} ${(el.innerText || el.name || el.className).slice(0, 40)}` +
                ` ${Math.round(width)}x${Math.round(height)}`);
    }
    return found;
}"""


def shoot(page: Page, name: str, sizes: dict[str, tuple[int, int]]) -> Iterator[str]:
    """Keep a screen at each size, light and dark; yield what is wrong with it."""
    for size, (width, height) in sizes.items():
        page.set_viewport_size({"width": width, "height": height})
        across = page.evaluate("document.documentElement.scrollWidth")
        if across > width:
            yield f"{name} at {size}: {across} px wide"
        for small in page.evaluate(SMALL, SMALLEST):
            yield f"{name} at {size}: {small}"
        for scheme in SCHEMES:
            page.emulate_media(color_scheme=scheme)
            page.screenshot(path=SCREENS / f"{name}-{size}-{scheme}.png", full_page=True)
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 1440, "height": 900})


def walk(shop: Shop, page: Page, who: str, pages: dict[str, str]) -> list[str]:
    """Open each address, keep its pictures; return everything that is wrong."""
    wrong = []
    for name, address in pages.items():
        answer = page.goto(shop.address + address)
        if answer is None or answer.status != 200:
            wrong.append(f"{name}: {address} answered {answer and answer.status}")
        wrong += shoot(page, f"{who}-{name}", SIZES)
    return wrong


def linked(shop: Shop, page: Page, names: Iterable[str]) -> dict[str, str]:
    """Return the addresses behind the first links of some pages."""
    found = {}
    for name in names:
        address, link = LINKED[name]
        page.goto(shop.address + address)
        found[name] = str(page.locator(link).first.get_attribute("href"))
    return found


def begin(shop: Shop, visit) -> Visitors:
    SCREENS.mkdir(exist_ok=True)
    return visit(shop)


@pytest.mark.xdist_group("screens")
def test_every_screen_of_a_teacher_holds_at_every_size(demo, visit):
    page = begin(demo, visit).open()
    wrong = list(shoot(page, "door", SIZES))
    sign_in_teacher(page)
    pages = TEACHER_PAGES | linked(demo, page, LINKED)
    wrong += walk(demo, page, "teacher", pages)
    page.goto(f"{demo.address}/board")
    wrong += shoot(page, "board", SIZES | WALL)
    assert wrong == []


@pytest.mark.xdist_group("journeys")
def test_every_screen_of_a_learner_holds_at_every_size(demo, visit):
    page = begin(demo, visit).open(has_touch=True)
    open_device(page, "Year 2 group")
    wrong = list(shoot(page, "names", SIZES))
    page.get_by_role("link", name="Wren", exact=True).click()
    page.wait_for_url("**/signin/who/**")  # loaded, however slow the machine is just now
    wrong += shoot(page, "pin", SIZES)
    page.go_back()
    sign_in_learner(page, "Wren")
    mine = {name: url for name, url in JOB_PAGES.items() if re.match("/jobs/114", url)}
    pages = SHOP_PAGES | mine | linked(demo, page, ("sheet", *OF_A_CREW))
    del pages["crew"]  # the teacher's
    wrong += walk(demo, page, "learner", pages)
    assert wrong == []


@pytest.mark.xdist_group("journeys")
def test_the_first_page_of_an_empty_shop_and_its_empty_pages_hold(empty, visit):
    page = begin(empty, visit).open()
    wrong = list(shoot(page, "start", SIZES))
    start_shop(page)
    pages = {name: TEACHER_PAGES[name] for name in ("jobs", "plan", "library", "people", "shop")}
    wrong += walk(empty, page, "empty", pages)
    assert wrong == []
