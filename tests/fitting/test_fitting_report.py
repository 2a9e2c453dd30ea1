"""A whole fit: the invented training six, judged from its readings."""

from pathlib import Path

import pytest

import witnessmark
from witnessmark.errors import BenchError
from witnessmark.fitting.report import judge_fit, uncertainty_in_words
from witnessmark.metrology import Place, Reading, Verdict
from witnessmark.quantities import parse
from witnessmark.sheets.assembly import read_assembly
from witnessmark.sheets.readings import read_readings

EXAMPLES = Path(witnessmark.__file__).parent / "examples"
SHEET = (EXAMPLES / "assemblies/training-six.toml").read_text(encoding="utf-8")
TABLE = (EXAMPLES / "readings/training-six.csv").read_text(encoding="utf-8")
ASSEMBLY = read_assembly(SHEET, "training-six.toml")
READINGS = read_readings(TABLE, "training-six.csv", ASSEMBLY)


def read(key, position, text, number, instrument="bore-gauge"):
    return Reading(
        id=f"more {number}",
        place=Place(characteristic=key, position=position),
        quantity=parse(text, "" if instrument == "eye" else "mm"),
        instrument=instrument,
    )


def without(*places):
    return [reading for reading in READINGS if str(reading.place) not in places]


def test_the_four_clearances_and_what_is_said_of_them():
    report = judge_fit(ASSEMBLY, READINGS)
    assert [row.number() for row in report.rows] == ["82", "91", "105", "124"]
    assert {row.plus_minus() for row in report.rows} == {"8"}
    assert [row.judgement.verdict for row in report.rows] == [
        Verdict.WITHIN,
        Verdict.WITHIN,
        Verdict.TOO_CLOSE,
        Verdict.OUTSIDE,
    ]
    assert not report.is_all_within


def test_what_to_do_next_stands_in_sentences():
    assert judge_fit(ASSEMBLY, READINGS).advice == (
        "Bearing 3: read bore and journal twice more each. "
        "If the means stay, ± 6 µm and 96%: within.",
        "Bearing 4: 14 µm over the limit. Stop: the teacher chooses what is changed.",
        "Bearing 3: 31% open, shop rule 75%. Turn it 8° back before pressing in. "
        "Up to 4° either way stays at 75%.",
    )


def test_where_the_uncertainty_comes_from_is_said():
    row = judge_fit(ASSEMBLY, READINGS).rows[0]
    assert uncertainty_in_words(row, ASSEMBLY) == (
        "± 8 µm (k = 2), from bore reading: 3 µm, journal reading: 2 µm, "
        "setting of the bore gauge: 2 µm. "
        "The zero of the micrometer is in both readings and cancels."
    )


def test_the_advice_holds_when_it_is_followed():
    more = [read("bush-bore", "3", "49.604", number) for number in range(2)]
    more += [read("cam-journal", "3", "49.499", 2 + n, "micrometer") for n in range(2)]
    row = judge_fit(ASSEMBLY, [*READINGS, *more]).rows[2]
    assert row.judgement.verdict is Verdict.WITHIN
    assert row.plus_minus() == "6"


def test_a_bearing_that_was_not_read_is_neither_within_nor_outside():
    report = judge_fit(ASSEMBLY, without("bush-bore:2", "cam-journal:2", "cam-journal:4"))
    assert report.unread == (
        "Bearing 2: bore and journal not read yet.",
        "Bearing 4: journal not read yet.",
    )
    assert [row.position for row in report.rows] == ["1", "3"]


def test_all_within_needs_every_reading_and_every_bush_in_its_place():
    good = [
        *without("bush-bore:3", "bush-bore:4", "bush-turn:3"),
        read("bush-bore", "3", "49.584", 1),
        read("bush-bore", "4", "49.336", 2),
    ]
    assert judge_fit(ASSEMBLY, good).is_all_within
    swapped = [
        read(r.place.characteristic, r.place.position, "2", r.id, "eye")
        if str(r.place) == "bush-at:1"
        else r
        for r in good
    ]
    assert not judge_fit(ASSEMBLY, swapped).is_all_within


def test_a_journal_larger_than_its_bore_is_a_misread_and_no_verdict():
    readings = [*without("bush-bore:1"), read("bush-bore", "1", "49.983", 1)]
    report = judge_fit(ASSEMBLY, readings)
    assert report.rows[0].judgement.verdict is Verdict.TOO_CLOSE
    assert report.rows[0].advice == (
        "Bearing 1: journal reads 50.001 mm and bore 49.983 mm. The journal cannot be larger "
        "than the bore. Check that both were read on the same scale, then measure again."
    )
    assert report.rows[0].advice in report.remarks


def test_a_wide_pair_is_sent_back_although_its_mean_would_pass():
    readings = [*READINGS, read("bush-bore", "1", "50.123", 1)]
    row = judge_fit(ASSEMBLY, readings).rows[0]
    assert row.judgement.verdict is Verdict.TOO_CLOSE
    assert row.advice.startswith(
        "Bearing 1, bore: 50.083 mm by Esme and 50.123 mm are 0.040 mm apart"
    )


def test_a_turned_bush_is_judged_by_its_worst_hole():
    report = judge_fit(ASSEMBLY, READINGS)
    assert [hole.judgement.verdict for hole in report.holes] == [
        Verdict.WITHIN,
        Verdict.WITHIN,
        Verdict.OUTSIDE,
        Verdict.WITHIN,
    ]


def test_looking_twice_at_a_bush_is_no_scatter_and_the_last_look_counts():
    looks = [read("bush-at", "3", text, number, "eye") for number, text in enumerate("23")]
    report = judge_fit(ASSEMBLY, [*READINGS, *looks])
    assert (report.remarks, report.order, report.lying["3"]) == ((), (), "3")
    report = judge_fit(ASSEMBLY, [*READINGS, looks[0]])
    assert report.order[0].startswith("Bush 2 lies at bore 3")


def test_the_block_is_explained():
    assert judge_fit(ASSEMBLY, READINGS).along == (
        "Housing bores step down, so each bush fits one place.",
        "The shaft goes in at the front end, its smallest journal leads.",
    )


def test_a_reading_of_something_else_is_sent_back():
    with pytest.raises(BenchError, match="“piston” is not measured on Training six"):
        judge_fit(ASSEMBLY, [read("piston", "1", "80", 1)])


def test_a_bore_read_with_the_protractor_is_sent_back():
    with pytest.raises(BenchError, match=r"as a length with “protractor”.*reads an angle"):
        judge_fit(ASSEMBLY, [*READINGS, read("bush-bore", "1", "50.083", 1, "protractor")])


def test_without_readings_nothing_is_within():
    assert not judge_fit(ASSEMBLY, []).is_all_within
