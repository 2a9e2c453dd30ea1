"""Severities between those that are laid: readings lie on a line between their neighbours."""

from dataclasses import replace

import numpy as np
import pytest

from diagnosis.sheets_shipped import circuit
from witnessmark.diagnosis import graded
from witnessmark.diagnosis.belief import METERS, meter_uncertainty
from witnessmark.diagnosis.graded import BENT_IN_U, graded_modes, own_rates, weighted_modes
from witnessmark.networks.faults import SHORT_TO_GROUND, SHORT_TO_SUPPLY
from witnessmark.networks.pieces import pieces_of
from witnessmark.networks.solver import solve

WITHIN = (0.15, 0.5, 0.85)  # of an interval, on a log scale
NAMES = ("headlamps.toml", "wiper-park.toml", "horn.toml", "charging.toml")


def farthest_in_u(sheet, modes):
    """How far anything between two neighbouring severities lies off their line, at most."""
    worst, pieces = 0.0, len(pieces_of(sheet))
    for mode in modes:
        for low, high in zip(mode.faults[:-1], mode.faults[1:], strict=True):
            ratio = high.value / low.value
            inner = [replace(low, value=low.value * ratio**share) for share in WITHIN]
            found = solve(sheet, [(fault,) for fault in (low, *inner, high)])
            if any((flags != flags[:1]).any() for flags in (found.contacts, found.blown)):
                continue  # readings jump there, and samples stand at its ends
            volts = found.volts.reshape(len(inner) + 2, -1)
            amps = found.currents[:, :, :pieces].reshape(len(inner) + 2, -1)
            for at in range(1, len(inner) + 1):
                three = [
                    sizes[[0, at, -1]] / meter_uncertainty(sizes[at], 0.01, METERS[kind])
                    for sizes, kind in ((volts, "volts"), (amps, "clamp"))
                ]
                first, middle, last = np.concatenate(three, axis=1)
                chord = last - first
                share = np.clip((middle - first) @ chord / max(chord @ chord, 1e-12), 0, 1)
                worst = max(worst, float(np.abs(middle - first - share * chord).max()))
    return worst


def shorts(modes):
    return [mode for mode in modes if mode.mode in (SHORT_TO_SUPPLY, SHORT_TO_GROUND)]


@pytest.mark.second_way("severities between those that are laid, solved by themselves")
@pytest.mark.parametrize("name", ["headlamps.toml", "horn.toml", "charging.toml"])
def test_what_lies_between_two_severities_lies_near_their_line(name):
    sheet = circuit(name)
    laid = shorts(grade.mode for grade in graded_modes(sheet)[0])

    assert farthest_in_u(sheet, shorts(weighted_modes(sheet, ()))) > 10 * BENT_IN_U
    # Five times at most: in three of the twenty circuits a little is left.
    assert farthest_in_u(sheet, laid) < 3.1 * BENT_IN_U


@pytest.mark.parametrize("name", NAMES)
def test_halves_keep_the_range_the_order_and_the_weight(name):
    sheet = circuit(name)
    grades, _ = graded_modes(sheet)
    for plain, grade in zip(weighted_modes(sheet, ()), grades, strict=True):
        sizes = grade.mode.severities

        assert (plain.key, plain.weight) == (grade.mode.key, grade.mode.weight)
        assert set(plain.severities) <= set(sizes)
        assert (sizes[0], sizes[-1]) == (plain.severities[0], plain.severities[-1])
        if len(sizes) == 1:
            assert grade.shares == ()
            continue
        steps = np.diff(np.array(sizes))
        assert (steps > 0).all() or (steps < 0).all()
        assert len(grade.shares) == len(sizes) - 1
        assert np.isclose(sum(grade.shares), 1)
    assert any(len(g.mode.severities) > len(p.severities)
               for g, p in zip(grades, weighted_modes(sheet, ()), strict=True))  # fmt: skip


def test_an_interval_without_a_size_is_not_halved():
    sheet = circuit("horn.toml")
    mode = shorts(weighted_modes(sheet, ()))[0]
    none = (replace(mode.faults[0], value=0.0), mode.faults[-1])

    assert graded._halved(graded._Seen(sheet), [none]) == {}


def test_rates_may_leave_only_faults_without_a_size():
    sheet = circuit("headlamps.toml")
    rates = dict.fromkeys(own_rates(sheet), 0.0) | {"battery/open": 1.0}
    (only,), solved = graded_modes(sheet, tuple(sorted(rates.items())))

    assert (only.mode.key, only.shares) == ("BAT:open", ())
    assert solved.scenarios == ((), only.mode.faults)
