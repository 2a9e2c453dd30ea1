"""Sizes of wires as people write them: a number alone is asked whose size it is."""

import pytest

from witnessmark.errors import BenchError
from witnessmark.networks.wire_sizes import bare_number, wire_area


@pytest.mark.reference(
    "AWG table: 14 AWG has 2.08 mm²; marine wire catalogue: SAE 14, 3702 cmil (1.88 mm²)"
)
def test_a_number_alone_is_asked_back_with_the_copper_of_each_size_it_may_be():
    with pytest.raises(BenchError) as raised:
        wire_area(" 14 ")
    assert raised.value.found == "“14” does not say whose size it is."
    assert raised.value.needed == (
        "It may be 14 mm², or 14 AWG, which is 2.08 mm², or SAE 14, which is 1.88 mm² of copper."
    )
    assert raised.value.do.endswith("write 14 mm², 14 AWG or SAE 14.")


@pytest.mark.parametrize("typed", ["2,5", "+14", "0", "4/0", "300", "14 ga", "12 gauge"])
def test_whatever_number_stands_alone_is_asked_back(typed):
    with pytest.raises(BenchError, match="does not say whose size it is"):
        wire_area(typed)


@pytest.mark.parametrize("typed", ["2.5 mm2", "14 AWG", "SAE 14", "14 sae", "4/0 AWG", "0.35 mm²"])
def test_a_size_with_its_unit_is_taken(typed):
    assert bare_number(typed) == ""
    area_mm2, standard = wire_area(typed)
    assert area_mm2 > 0
    assert standard in ("mm²", "AWG", "SAE")
