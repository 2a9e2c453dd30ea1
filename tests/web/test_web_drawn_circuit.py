"""A circuit's page in the Library: drawn at rest, in three sizes, on three screens."""

from importlib import resources
from uuid import uuid4

import pytest

from tests.papers.drawn_circuits import drawn_circuit
from tests.papers.drawn_page import CLASHES
from tests.web.browser import watched
from tests.web.test_web_find_browser import SMALL_TARGETS
from witnessmark.papers.circuit import Overlay
from witnessmark.record.acts.by import By
from witnessmark.record.acts.school import put_in_library
from witnessmark.web.circuit_drawing import whole_drawing

CIRCUITS = resources.files("witnessmark") / "examples" / "circuits"


@pytest.fixture
def starting(cast):
    """The sheet of a starting circuit in the Library."""
    text = (CIRCUITS / "starting.toml").read_text("utf-8")
    return put_in_library(
        By(person=cast.teacher), uuid4(), kind="circuit", text=text, name="starting.toml"
    )


@pytest.mark.django_db
def test_the_page_of_a_circuit_draws_it_and_tells_it_as_a_table(cast, starting):
    page = cast.browser(cast.on_it).get(f"/library/{starting.pk}").content.decode()

    assert 'class="cct"' in page
    assert ">starter motor</text>" in page
    assert "<td><b>G2</b></td><td>engine to chassis strap (ground)</td>" in page
    assert "M, chassis; E, engine block" in page


def test_any_page_draws_a_circuit_that_is_not_finished_with_one_call():
    drawing = whole_drawing(drawn_circuit("begun"), Overlay(ranks={"L1": 1}))

    assert 'form="none"' in drawing  # its buttons are never sent with a form of the page
    assert ">1</text>" in drawing
    assert drawing.count("<svg") == drawing.count('role="img"') == 1
    assert "Supply" not in drawing.partition("<svg")[2].partition(">")[2]


@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_a_circuit_is_looked_at_in_every_size(transactional_db, cast, starting, live_server):
    signed_in = cast.browser(cast.teacher).cookies.items()
    with watched(live_server.url) as browser:
        browser.context.add_cookies(
            [{"name": key, "value": one.value, "url": live_server.url} for key, one in signed_in]
        )
        page = browser.page()
        page.goto(f"{live_server.url}/library/{starting.pk}")
        browser.shoot(page, "library-circuit")
        width = "document.querySelector('.cct').getBoundingClientRect().width"
        for screen in (1440, 820, 390):
            page.set_viewport_size({"width": screen, "height": 900})
            assert page.evaluate(SMALL_TARGETS) == []
            page.get_by_label("Own size").check()
            own = page.evaluate(width)
            page.get_by_label("Larger").check()
            assert page.evaluate(width) > 1.4 * own
            assert page.evaluate("document.documentElement.scrollWidth") <= screen
            page.get_by_label("Whole width").check()
            assert page.evaluate(width) <= min(own + 1, screen)
        page.get_by_label("Own size").check()
        assert page.evaluate(CLASHES) == []
        page.emulate_media(color_scheme="dark")
        browser.shoot(page, "library-circuit-dark")
