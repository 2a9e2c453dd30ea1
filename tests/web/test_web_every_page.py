"""What every page carries, and what a page says when the program itself fails."""

import logging

import pytest

from witnessmark.shop.models import Shop
from witnessmark.web import gate

PAGES = ["/jobs", "/jobs/114", "/jobs/114/step/1", "/people", "/shop", "/library", "/signin/me"]


@pytest.mark.parametrize("page", PAGES)
def test_invented_data_says_so_on_every_page_of_a_demo_shop(cast, job, page):
    teacher = cast.browser(cast.teacher)
    assert "Demo, invented" not in teacher.get(page).content.decode()
    Shop.objects.update(is_demo=True)
    assert "Demo, invented" in teacher.get(page).content.decode()


def test_a_failure_is_told_by_a_number_that_stands_in_the_log(cast, job, monkeypatch, caplog):
    teacher = cast.browser(cast.teacher)
    teacher.raise_request_exception = False

    def broken(person):
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(gate, "jobs_of", broken)
    with caplog.at_level(logging.ERROR):
        answer = teacher.get("/jobs")
    page = answer.content.decode()
    assert answer.status_code == 500
    assert "This was not kept." in page and "the disk is full" not in page
    number = caplog.records[0].args[1]
    assert f"{number[:4]} {number[4:]}" in page


def test_the_navigation_of_a_learner_leaves_people_out(cast, job):
    assert 'href="/people"' not in cast.browser(cast.on_it).get("/jobs").content.decode()
    assert 'href="/people"' in cast.browser(cast.teacher).get("/jobs").content.decode()


def test_a_page_that_is_not_there_says_so_in_the_shops_own_words(cast, job):
    answer = cast.browser(cast.on_it).get("/jobs/999")
    assert answer.status_code == 404
    assert "Nothing here for you" in answer.content.decode()
