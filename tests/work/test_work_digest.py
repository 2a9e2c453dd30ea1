import hashlib
import json
from dataclasses import replace
from datetime import timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.work.digest import (
    canonical,
    cause_form,
    digest,
    read_form,
    release_form,
    short,
    step_form,
)
from witnessmark.work.evidence import SuspectSeen
from witnessmark.work.marks import Mark, MarkState, mark_state
from witnessmark.work.step_json import step_from_json, step_to_json
from witnessmark.work.steps import Hold
from work.evidence_seen import (
    BACK,
    CAUSE,
    NOTE,
    RELEASE,
    SEEN,
    STEP,
    TOUCHED,
    at,
    corrected,
    reading,
)

RFC = "RFC 8785 (June 2020), {}; example seen quoted in public test vectors"


@pytest.mark.reference(RFC.format("section 3.2.2"))
def test_canonical_json_writes_the_published_example():
    written = canonical(
        json.loads(
            r"""{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
            "literals": [null, true, false]}"""
        )
    )

    assert written == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        r""""string":"€$\u000f\nA'B\"\\\\\"/"}"""
    )


@pytest.mark.reference(RFC.format("section 3.2.3"))
def test_canonical_json_sorts_keys_as_published():
    keys = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }

    assert list(json.loads(canonical(keys)).values()) == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]


@pytest.mark.second_way("SHA-256 of the canonical text, with hashlib alone")
def test_the_digest_is_the_sha_256_of_the_canonical_text():
    form = step_form(SEEN)

    assert digest(form) == hashlib.sha256(canonical(form).encode("utf-8")).hexdigest()
    assert short(digest(form)).replace(" ", "") == digest(form)[:8]


def test_a_form_carries_its_number_and_reads_back_the_same():
    form = step_form(SEEN)

    assert form["form"] == 1
    assert read_form(canonical(form)) == form


def test_a_form_holds_no_name_of_a_person_and_no_float():
    form = step_form(corrected())

    def values(part):
        if isinstance(part, dict):
            return [v for one in part.values() for v in values(one)]
        if isinstance(part, list):
            return [v for one in part for v in values(one)]
        return [part]

    assert not [one for one in values(form) if isinstance(one, float)]
    assert form["readings"][0]["who"] == "person-tam"


def test_the_order_in_which_rows_come_does_not_matter():
    both = replace(SEEN, readings=(reading(), reading(id="r9", position="1", when=at(10, 41))))
    turned = replace(both, readings=both.readings[::-1])

    assert digest(step_form(both)) == digest(step_form(turned))


def test_the_time_zone_in_which_a_time_comes_does_not_matter():
    there = timezone(timedelta(hours=9))
    moved = replace(SEEN, readings=(reading(when=at(10, 40).astimezone(there)),))

    assert digest(step_form(moved)) == digest(step_form(SEEN))


@pytest.mark.parametrize("touched", TOUCHED.values(), ids=TOUCHED.keys())
def test_whatever_moves_gives_another_digest(touched):
    assert digest(step_form(touched)) != digest(step_form(SEEN))


def marked(seen, id="mark-1", replaces=None) -> Mark:
    form = step_form(seen)
    return Mark(
        id=id,
        subject=seen.id,
        digest=digest(form),
        form=canonical(form),
        by="person-aldane",
        at=at(10, 47),
        replaces=replaces,
    )


def now(seen) -> str:
    return digest(step_form(seen))


def test_a_mark_is_whole_until_something_moves():
    assert mark_state([marked(SEEN)], now(SEEN)) is MarkState.WHOLE
    assert mark_state([marked(SEEN)], now(corrected())) is MarkState.BROKEN


def test_a_changed_reading_set_back_does_not_heal_the_mark():
    back = replace(
        corrected(),
        readings=(
            *corrected().readings,
            reading(id="r3", text="25", when=at(10, 58), replaces="r2"),
        ),
    )

    assert mark_state([marked(SEEN)], now(back)) is MarkState.BROKEN


def test_a_broken_mark_that_was_seen_again_is_marked_again_and_can_break_again():
    marks = [marked(SEEN), marked(corrected(), id="mark-2", replaces="mark-1")]

    assert mark_state(marks, now(corrected())) is MarkState.AGAIN
    more = replace(corrected(), notes=(NOTE,))
    assert mark_state(marks, now(more)) is MarkState.BROKEN


def test_a_call_does_not_hide_a_broken_mark():
    assert mark_state([marked(SEEN)], now(corrected()), called=True) is MarkState.BROKEN


@pytest.mark.parametrize(
    ("hold", "called", "state"),
    [
        (Hold.NONE, False, MarkState.NONE),
        (Hold.WITNESS, False, MarkState.WITNESS),
        (Hold.HOLD, False, MarkState.HOLD),
        (Hold.HOLD, True, MarkState.CALLED),
    ],
)
def test_without_a_mark_the_hold_decides(hold, called, state):
    assert mark_state([], now(SEEN), hold=hold, called=called) is state


@pytest.mark.parametrize(
    "change",
    [
        {"statement_digest": "00" * 32},
        {"complaints": ()},
        {"belief": (SuspectSeen(suspect="G7, bad joint", share="96%"),)},
        {"sheet_digest": "00" * 32},
        {"readings": ()},
        {"replaces": "cause-0"},
    ],
)
def test_whatever_moves_in_a_cause_gives_another_digest(change):
    assert digest(cause_form(replace(CAUSE, **change))) != digest(cause_form(CAUSE))


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "road test"},
        {"cause_digest": "00" * 32},
        {"correction_digest": "00" * 32},
        {"odometer_out": "181 352 km"},
        {"marks": (replace(RELEASE.marks[0], state="broken"),)},
        {"marks": (replace(RELEASE.marks[0], same_person=True),)},
        {"said": ("Have the wheel nuts checked after 50 km.",)},
    ],
)
def test_whatever_moves_in_a_release_gives_another_digest(change):
    assert digest(release_form(replace(RELEASE, **change))) != digest(release_form(RELEASE))


def test_a_step_goes_to_json_and_comes_back_the_same():
    assert step_from_json(step_to_json(STEP)) == STEP


@given(
    st.lists(
        st.tuples(st.sampled_from("123"), st.integers(0, 40)),
        unique_by=lambda one: one[1],
        max_size=8,
    )
)
def test_every_added_reading_changes_the_digest(added):
    seen, digests = SEEN, {now(SEEN)}
    for count, (position, minute) in enumerate(added):
        more = reading(id=f"x{count}", position=position, when=at(11, minute))
        seen = replace(seen, readings=(*seen.readings, more))
        digests.add(now(seen))

    assert len(digests) == len(added) + 1


def test_the_answer_to_a_question_is_in_the_digest_and_only_there():
    plain = step_form(replace(SEEN, moved=(BACK,)))
    asked = step_form(replace(SEEN, moved=(replace(BACK, answered_digest="4 L out, 5 L in."),)))

    assert digest(asked) != digest(plain)
    assert asked["moved"][0].pop("answered") == "4 L out, 5 L in."
    assert asked == plain
