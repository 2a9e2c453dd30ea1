"""An empty field is answered by the page's own sentence at that field; what was typed stays."""

from uuid import uuid4

import pytest

from tests.record.whole_shop import LAMP_SHEET
from tests.web.test_web_find import FAN, opened, van  # noqa: F401 - fixtures
from tests.web.test_web_find import send as find_send
from tests.web.test_web_practice import HERE, case, fan, read, send  # noqa: F401 - fixtures
from witnessmark.record.acts.by import By
from witnessmark.record.acts.practice import set_case
from witnessmark.record.acts.school import put_in_library
from witnessmark.record.models import PracticeRanking

LAMP_TEXT = (
    LAMP_SHEET
    + """
[[complaints]]
key = "dark"
words = "The lamp stays dark"
load = "L1"
state = "on"
looks = "dead"
"""
)


@pytest.mark.parametrize(
    ("what", "typed", "field", "sentence"),
    [
        ("test", {"kind": "volts", "expected": "about 7"}, 'value="A"', "No point was chosen."),
        ("test", {"kind": "volts", "place": "E"}, 'id="rd"', "It does not say what you expect."),
        ("name", {"repair": "mend splice S9"}, "<summary", "No cause was chosen."),
        ("name", {"suspect": "S9:high"}, 'id="repair"', "It does not say what puts it right."),
    ],
)
def test_in_practice(cast, case, what, typed, field, sentence):  # noqa: F811
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    answer = send(isla, what, **({"state": "run"} | typed))
    page = read(answer)

    assert answer.status_code == 422
    assert page.count(sentence) == 1 and page.count('id="at_field"') == 1
    (begins,) = [part for part in page.split("<") if " autofocus" in part]
    assert field in f"<{begins}"
    for value in typed.values():
        assert value in page
    assert " required" not in page.partition('id="next"')[2].partition("</form>")[0]


def test_a_part_that_is_ranked_twice_is_answered_at_its_second_place(cast, case):  # noqa: F811
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    answer = send(isla, "rank", part=["G7", "", "G7"])
    page = read(answer)

    assert answer.status_code == 422
    assert page.count("G7 stands twice in the ranking.") == 1
    assert 'id="rank3" name="part" autofocus' in page
    ranking = page.partition('id="ranking"')[2]
    assert ranking.count('<option value="G7" selected>') == 2  # what was typed stays
    assert not PracticeRanking.objects.exists()


def test_a_cause_is_chosen_by_its_part_without_script(cast, case):  # noqa: F811
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    page = read(send(isla, "name", suspect="S9:high", repair=""))
    part = next(one for one in page.split('<details name="cause"') if ">S9 splice</summary>" in one)

    assert part.startswith(" open")  # what was chosen is seen again
    assert part.count('type="radio"') == 2
    assert part.count(" checked") == 1
    assert page.count('<details name="cause" open') == 1


@pytest.mark.parametrize("reading", ["text", "what", "value"])
def test_in_find(opened, van, reading):  # noqa: F811
    typed = {
        "text": ("reading", {"kind": "volts", "place": "E", "state": "run", "text": " "}),
        "what": ("look", {"what": "", "value": "1.2 mm"}),
        "value": ("look", {"what": "Lining, left rear shoe", "value": ""}),
    }[reading]
    answer = find_send(opened, van, typed[0], **typed[1])
    page = read(answer)

    assert answer.status_code == 422
    assert page.count('id="at_field"') == 1
    (begins,) = [part for part in page.split("<") if " autofocus" in part]
    assert f'name="{reading}"' in begins
    assert ("Nothing is typed." in page) == (reading == "text")
    for value in typed[1].values():
        assert value.strip() in page


@pytest.mark.parametrize(
    ("what", "sentence"),
    [
        ("cause", "The readings leave more than one cause."),  # its field stands there once proved
        ("evidence", "The cause says nothing."),  # its form waits for a reading or a photo
    ],
)
def test_what_is_said_of_a_field_that_is_not_there_stands_on_top(
    opened,  # noqa: F811
    van,  # noqa: F811
    what,
    sentence,
):
    page = read(find_send(opened, van, what, statement=""))
    assert page.count(sentence) == 1
    assert page.count('role="alert"') == 1 and 'id="at_field"' not in page


def test_a_hazard_is_said_also_where_nothing_was_typed(cast, opened, van):  # noqa: F811
    """On a restraint circuit no field is drawn: nothing may be read there."""
    text = FAN.read_text("utf-8").replace("[circuit]", "[circuit]\nrestraint = true", 1)
    by = By(person=cast.teacher)
    item = put_in_library(by, uuid4(), kind="circuit", text=text, name="restraint.toml")
    find_send(opened, van, "open", sheet=str(item.pk), sheet_id=str(uuid4()))
    answer = find_send(opened, van, "reading", test="volts A state=run", text="")
    page = read(answer)
    assert answer.status_code == 422
    assert "Nothing is read here." in page and "tell the teacher" in page


def test_a_test_that_no_part_of_the_circuit_allows_has_no_button(cast):
    """A battery and a lamp: no wire to move, no part to warm."""
    item = put_in_library(
        By(person=cast.teacher), uuid4(), kind="circuit", text=LAMP_TEXT, name="lamp.toml"
    )
    set_case(By(person=cast.teacher), uuid4(), item=item, section=cast.section, seed=3)
    isla = cast.browser(cast.on_it)
    send(isla, "begin")
    for kind in ("wiggle", "heat", "jumper", "clamp"):
        asked = read(isla.get(f"{HERE}/1?kind={kind}")).partition('id="next"')[2]
        assert "On no part of this circuit can that be done." in asked
        assert "<button" not in asked.partition("</form>")[0]
        page = read(send(isla, "test", kind=kind, state="on", expected="x"))
        assert page.count("No part was chosen.") == 1 and 'id="at_field"' not in page
