"""Gross misreads are named and sent back; nothing is dropped."""

import numpy as np
import pytest
from scipy.stats import studentized_range

from witnessmark.metrology import (
    Bench,
    Instrument,
    Place,
    Reading,
    grubbs,
    grubbs_critical,
    misreads,
    range_critical,
)
from witnessmark.quantities import parse

BORE = Place(characteristic="bush-bore", position="2")


def bench(repeat_u=0.003):
    gauge = Instrument(
        id="gauge", name="bore gauge", unit="mm", resolution=0.001, repeat_u=repeat_u
    )
    return Bench(instruments={"gauge": gauge})


def reads(*texts):
    return [
        Reading(id=str(number), place=BORE, quantity=parse(text, "mm"), instrument="gauge")
        for number, text in enumerate(texts)
    ]


TABLE = {
    (0.05, False): "1.1543 1.4813 1.7150 1.8871 2.0200 2.1266 2.2150 2.2900",
    (0.05, True): "1.1531 1.4625 1.6714 1.8221 1.9381 2.0317 2.1096 2.1761",
    (0.01, False): "1.1547 1.4962 1.7637 1.9728 2.1391 2.2744 2.3868 2.4821",
}


@pytest.mark.reference("Grubbs table, a public copy without its two misprints, n 3 to 10")
@pytest.mark.parametrize(("kind", "row"), TABLE.items())
def test_the_table_of_critical_values(kind, row):
    for count, printed in enumerate(row.split(), start=3):
        # the public copy prints three decimals
        assert grubbs_critical(count, *kind) == pytest.approx(float(printed), abs=0.001)


@pytest.mark.reference("misprint of a public Grubbs table at n = 7: 2.202; the formula gives 2.020")
def test_a_misprint_that_is_copied_often():
    assert grubbs_critical(7, 0.05) == pytest.approx(2.020, abs=5e-4)
    assert grubbs_critical(7, 0.05) != pytest.approx(2.202, abs=0.1)


@pytest.mark.reference("from memory: a handbook's eight masses, G 2.4688 against 2.0317")
def test_the_handbook_outlier():
    masses = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    assert grubbs(masses) == pytest.approx(2.4688, abs=5e-5)
    assert grubbs(masses) > grubbs_critical(8, 0.05, one_sided=True)


@pytest.mark.reference("from memory: table of the studentized range, 5 % and 1 %, infinite freedom")
@pytest.mark.parametrize(
    ("count", "five", "one"), [(2, 2.77, 3.64), (3, 3.31, 4.12), (5, 3.86, 4.60), (10, 4.47, 5.16)]
)
def test_the_table_of_the_range(count, five, one):
    assert range_critical(count, 0.05) == pytest.approx(five, abs=0.006)
    assert range_critical(count, 0.01) == pytest.approx(one, abs=0.006)


@pytest.mark.second_way("the studentized range of a statistics library, infinite freedom")
@pytest.mark.parametrize("count", [2, 3, 4, 8, 20])
def test_the_range_agrees_with_a_library(count):
    theirs = studentized_range.isf(0.01, count, np.inf)
    assert range_critical(count, 0.01) == pytest.approx(theirs, abs=1e-4)


def test_readings_that_agree_are_left_alone():
    assert misreads(reads("49.841", "49.845", "49.838"), bench()) == ()
    assert misreads(reads("49.841"), bench()) == ()


def test_two_readings_that_cannot_both_be_right_are_both_named():
    (found,) = misreads(reads("49.841", "49.861"), bench())
    assert found.suspects == ("0", "1")
    assert found.sentence == (
        "bush-bore:2: 49.841 mm and 49.861 mm are 0.020 mm apart. "
        "Both cannot be right: read it again."
    )


def test_one_far_from_two_is_the_one_in_doubt():
    (found,) = misreads(reads("49.841", "50.342", "49.843"), bench())
    assert found.suspects == ("1",)
    assert "50.342 mm stands apart from the other 2" in found.sentence
    assert "0.5 mm is one turn of a thimble" in found.sentence


def test_without_a_known_scatter_the_readings_judge_themselves():
    unknown = bench(repeat_u=0)
    (found,) = misreads(reads("49.841", "49.842", "49.840", "49.841", "49.881"), unknown)
    assert found.suspects == ("4",)
    assert misreads(reads("49.841", "49.881"), unknown) == ()


@pytest.mark.second_way("a thousand simulated places with good readings: one in a hundred flagged")
@pytest.mark.parametrize("count", [2, 3])
def test_false_alarms_are_as_rare_as_promised(count):
    random = np.random.default_rng(3)
    flagged = 0
    for _ in range(1000):
        texts = [f"{49.84 + 0.003 * random.standard_normal():.6f}" for _ in range(count)]
        flagged += bool(misreads(reads(*texts), bench()))
    # 10 expected, standard deviation 3.1
    assert 2 <= flagged <= 20
