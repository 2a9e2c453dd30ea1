"""An empty field is answered by the page's own sentence at that field; what was typed stays."""

import pytest

from tests.web.test_web_find import opened, van  # noqa: F401 - fixtures
from tests.web.test_web_find import send as find_send
from tests.web.test_web_practice import case, fan, read, send  # noqa: F401 - fixtures


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
