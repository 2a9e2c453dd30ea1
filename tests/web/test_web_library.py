"""The Library: checked line by line, versions kept, the text shown as it was written."""

from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile

from tests.web.cast import PROCEDURE
from witnessmark.shop.models import LibraryItem


def put_in(cast, text=PROCEDURE, **more):
    sent = {"id": str(uuid4()), "kind": "procedure", "text": text, **more}
    return cast.browser(cast.teacher).post("/library/new", sent, follow=True)


def test_a_procedure_is_put_in_and_shown_as_it_was_written(cast):
    page = put_in(cast).content.decode()
    assert "Thermostat housing, version 1 is in the Library." in page
    assert "Engine cold. Housing off." in page
    assert "Thermostat housing" in cast.browser(cast.on_it).get("/library").content.decode()


def test_a_file_is_put_in_with_the_line_ends_of_any_machine(cast):
    file = SimpleUploadedFile("thermostat.toml", PROCEDURE.replace("\n", "\r\n").encode())
    put_in(cast, text="", file=file)
    assert LibraryItem.objects.get().text == PROCEDURE


def test_every_mistake_is_shown_with_its_line_and_the_text_stays(cast):
    wrong = PROCEDURE.replace("minutes = 10", "minuets = 10").replace("20 to 30", "20 till 30")
    answer = put_in(cast, text=wrong)
    page = answer.content.decode()
    assert answer.status_code == 422
    lines = wrong.splitlines()
    assert len(answer.context["mistakes"]) >= 2
    for word in ("minuets", "till"):
        number = next(at for at, line in enumerate(lines, 1) if word in line)
        assert f"Line {number}." in page
    assert "20 till 30" in page
    assert not LibraryItem.objects.exists()


def test_a_changed_text_becomes_a_new_version_and_the_same_text_does_not(cast):
    put_in(cast)
    put_in(cast, text=PROCEDURE.replace("minutes = 10", "minutes = 12"))
    assert [item.version for item in LibraryItem.objects.order_by("version")] == [1, 2]
    same = put_in(cast, text=LibraryItem.objects.order_by("-version")[0].text)
    assert same.status_code == 422
    assert "word for word" in same.content.decode()


def test_a_picture_is_no_sheet(cast):
    answer = put_in(cast, text="", file=SimpleUploadedFile("x.toml", b"\xff\xd8\xff"))
    assert answer.status_code == 422
    assert "not a text in UTF-8" in answer.content.decode()


def test_what_people_write_is_shown_as_text_and_never_as_a_page(cast):
    put_in(cast, text=PROCEDURE.replace("Housing off.", "<script>alert(1)</script>"))
    item = LibraryItem.objects.get()
    page = cast.browser(cast.teacher).get(f"/library/{item.pk}").content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page


def test_a_learner_puts_nothing_in(cast):
    sent = {"id": str(uuid4()), "kind": "procedure", "text": PROCEDURE}
    assert cast.browser(cast.on_it).post("/library/new", sent).status_code == 403
    assert not LibraryItem.objects.exists()


def test_general_circuits_stand_in_groups_with_a_sentence_each(cast):
    page = cast.browser(cast.on_it).get("/library").content.decode()
    for words in ("Starting and charging", "Lamps and horn", "Wipers and windows", "Charging</a>"):
        assert words in page
    assert "An alternator charges the battery; a lamp warns while it does not." in page


def test_a_teacher_starts_a_sheet_from_a_general_circuit(cast):
    page = cast.browser(cast.teacher).get("/library/general/charging").content.decode()
    assert '<a class="btn" href="/library/circuit?general=charging">Start from it</a>' in page


def test_a_learner_reads_a_general_circuit_and_an_unknown_one_is_not_there(cast):
    learner = cast.browser(cast.on_it)
    page = learner.get("/library/general/charging").content.decode()
    assert "fusible link" in page
    assert "Start from it" not in page
    assert learner.get("/library/general/unknown").status_code == 404
