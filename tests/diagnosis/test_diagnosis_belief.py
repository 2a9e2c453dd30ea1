"""Belief on plain arrays: the fan circuit as one series loop, in closed form."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from diagnosis.fan_book import ELSE_WEIGHT, LOOP, SOURCE_V, WEIGHTS, severities, volts
from witnessmark.diagnosis import belief as b
from witnessmark.diagnosis import reports as r
from witnessmark.diagnosis.kinds import LAMP_OUTCOMES
from witnessmark.diagnosis.next_test import outcome_gains, size_gains
from witnessmark.errors import BenchError

SPAN_V = 13.0


def fan_samples(count=40):
    suspects = [*WEIGHTS, "else"]
    samples = [(s, *sample) for s in WEIGHTS for sample in severities(s, count)]
    index = np.array([suspects.index(s[0]) for s in samples] + [len(suspects) - 1])
    prior = np.array([WEIGHTS[s[0]] / count for s in samples] + [ELSE_WEIGHT])
    return suspects, samples, index, prior


def predicted(samples, point):
    return np.array([volts(point, *sample[1:]) for sample in samples] + [0.0])


def fan_belief(readings, count=40):
    suspects, samples, index, prior = fan_samples(count)
    known = np.array([True] * len(samples) + [False])
    logs = [
        b.volts_log_likelihood(predicted(samples, point), value, 0.1, SPAN_V, known=known)
        for point, value in readings
    ]
    held = b.gathered(b.posterior(np.log(prior), logs), index, len(suspects))
    return dict(zip(suspects, held, strict=True))


@pytest.mark.reference("worked figures of the fan circuit, computed apart from this program")
def test_the_healthy_fan_circuit_falls_as_worked_out_by_hand():
    worked = {"A": 12.44, "B": 12.40, "C": 12.32, "D": 12.05, "E": 0.18, "F": 0.02}
    assert {point: round(volts(point), 2) for point in worked} == worked


@pytest.mark.reference("worked figures of the fan circuit, computed apart from this program")
def test_two_readings_leave_the_ground_joint_the_motor_and_the_splice():
    held = fan_belief([("A", 12.5), ("D", 12.2)])

    # The worked figures take u as 0.08 V and no misreadings; ours is 0.08 V at 12 V as well.
    assert held["G7"] == pytest.approx(0.545, abs=0.01)
    assert held["Fan"] == pytest.approx(0.274, abs=0.01)
    assert held["S9"] == pytest.approx(0.182, abs=0.01)
    assert held["K3"] + held["C4"] + held["F12"] + held["else"] < 0.01


@pytest.mark.reference("worked figures of the fan circuit, computed apart from this program")
def test_a_third_reading_clears_the_motor():
    held = fan_belief([("A", 12.5), ("D", 12.2), ("E", 2.9)])

    assert held["G7"] == pytest.approx(0.75, abs=0.01)
    assert held["S9"] == pytest.approx(0.25, abs=0.01)


@pytest.mark.second_way("vehicles drawn at random, kept where the meter shows what was read")
def test_belief_agrees_with_vehicles_drawn_at_random():
    random = np.random.default_rng(20)
    weights = np.array([*WEIGHTS.values()])
    part = random.choice(len(weights), size=3_000_000, p=weights / weights.sum())
    share = random.random(len(part))
    ohms = {name: np.full(len(part), ohm) for name, ohm in LOOP.items()}
    for number, name in enumerate(WEIGHTS):
        worse = part == number
        if name == "Fan":
            ohms[name][worse] *= 1.15 + 0.85 * share[worse]
        else:
            ohms[name][worse] += 0.15 * 8.0 ** share[worse]
    current = SOURCE_V / sum(ohms.values())
    fits = np.ones(len(part), dtype=bool)
    for value, before in ((12.5, ["Ri"]), (12.2, ["Ri", "F12", "K3", "W", "C4"])):
        true_v = SOURCE_V - current * sum(ohms[name] for name in before)
        shown = random.normal(true_v, np.hypot(0.006 * true_v, 0.03))
        slip = random.random(len(part)) < 0.02
        shown[slip] = random.uniform(0.0, SPAN_V, slip.sum())
        fits &= np.isclose(shown.round(1), value)
    kept = np.bincount(part[fits], minlength=len(weights))

    held = fan_belief([("A", 12.5), ("D", 12.2)])
    known = 1.0 - held["else"]
    for number, name in enumerate(WEIGHTS):
        assert held[name] / known == pytest.approx(kept[number] / kept.sum(), abs=0.004)
    assert kept.sum() > 100_000


def test_one_senseless_reading_does_not_clear_the_culprit():
    held = fan_belief([("A", 12.5), ("D", 12.2), ("E", 2.9), ("F", 9.9), ("E", 2.9), ("F", 2.9)])

    assert max(held, key=held.get) == "G7"


def test_readings_that_nothing_explains_raise_something_else():
    held = fan_belief([("A", 7.0), ("B", 3.0), ("C", 9.0), ("D", 2.0)])

    assert max(held, key=held.get) == "else"


def test_a_slip_is_certain_far_away_and_unlikely_at_the_spot():
    chances = b.misread_chance(np.array([12.0, 12.0, 2.0]), 12.0, 0.1, SPAN_V)

    assert chances.round().tolist() == [0, 0, 1]


@pytest.mark.second_way("the density integrated by quadrature over the whole range")
def test_the_likelihood_of_a_reading_is_a_density():
    def density(reading_v):
        log = b.volts_log_likelihood(np.array([4.0]), reading_v, 0.01, SPAN_V)
        return float(np.exp(log[0]))

    total = quad(density, 0.0, SPAN_V, points=[3.8, 4.0, 4.2], limit=200)[0]

    assert total == pytest.approx(1.0, abs=1e-6)


def test_lamp_chances_add_up_and_move_from_dark_to_lit():
    chances = b.lamp_chances(np.linspace(-13.0, 13.0, 53))

    assert np.allclose(chances.sum(axis=-1), 1.0)
    assert (chances > 0).all()
    words = [LAMP_OUTCOMES[n] for n in b.lamp_chances(np.array([0, 5, 12, -12])).argmax(-1)]
    assert words == ["dark", "dim", "lit", "lit"]


def test_every_row_of_reports_adds_up():
    for rows in r.REPORTED.values():
        assert np.allclose(rows.sum(axis=1), 1.0)


def test_what_was_seen_here_counts_more_than_what_the_customer_says():
    looks = r.look_chances(np.array([1.0, 0.5, 0.0]), np.array([1.0, 0.5, 0.0]), True)

    here = np.exp(r.report_log_likelihood(looks, "weak", "here"))
    says = np.exp(r.report_log_likelihood(looks, "weak", "customer"))

    assert here[1] / here[0] > says[1] / says[0] > 1
    assert here[1] / here[2] > says[1] / says[2] > 1


def test_a_load_that_runs_unasked_looks_on():
    looks = r.look_chances(np.array([0.0, 0.0]), np.array([0.0, 1.0]), False)

    assert looks[0].argmax() == r.WORKS
    assert looks[1].argmax() == r.ON


def test_an_unknown_look_is_refused():
    looks = r.look_chances(np.array([1.0]), np.array([1.0]), True)

    with pytest.raises(BenchError, match="must be one of works, weak, dead, on"):
        r.report_log_likelihood(looks, "tired", "here")
    with pytest.raises(BenchError, match="Say who saw it"):
        r.report_log_likelihood(looks, "weak", "neighbour")


@pytest.mark.second_way("mutual information by quadrature over every reading")
def test_the_gain_of_a_meter_reading_agrees_with_quadrature():
    belief = np.array([0.5, 0.3, 0.2])
    predicted_v = np.array([[0.2, 5.0], [0.25, 5.0], [0.6, 5.1]])
    group = np.array([0, 1, 2])
    low, high = -1.5, 12.6 + 2.5

    def density(reading_v, true_v):
        u_v = float(b.meter_uncertainty(true_v, 0.01))
        fit = math.exp(-0.5 * ((reading_v - true_v) / u_v) ** 2) / u_v / math.sqrt(2 * math.pi)
        return 0.98 * fit + 0.02 / (high - low)

    def information(test):
        def term(reading_v):
            each = [
                w * density(reading_v, v) for w, v in zip(belief, predicted_v[:, test], strict=True)
            ]
            total = sum(each)
            return sum(
                e * math.log2(e / (w * total)) for e, w in zip(each, belief, strict=True) if e > 0
            )

        near = sorted({*predicted_v[:, test]})
        inner = quad(term, near[0] - 0.6, near[-1] + 0.6, points=near, limit=400)[0]
        return inner + quad(term, low, near[0] - 0.6)[0] + quad(term, near[-1] + 0.6, high)[0]

    none = np.zeros(predicted_v.shape, dtype=bool)
    gains = size_gains(belief, group, 3, predicted_v, predicted_v, none).bits

    # Outcomes in bins of less than one u lose a little.
    assert gains[0] == pytest.approx(information(0), rel=0.06)
    assert gains[1] == pytest.approx(information(1), rel=0.10)


def test_a_point_that_reads_alike_for_all_or_wanders_gains_nothing():
    belief = np.array([0.5, 0.5])
    predicted_v = np.array([[7.0, 1.0], [7.0, 12.0]])
    wanders = np.array([[False, True], [False, True]])

    told = size_gains(belief, np.array([0, 1]), 2, predicted_v, predicted_v, wanders)

    assert np.allclose(told.bits, 0.0, atol=1e-9)
    assert np.allclose(told.right, belief.max())


def test_telling_twins_of_one_repair_apart_gains_nothing():
    belief = np.array([0.5, 0.5])
    predicted_v = np.array([[1.0], [12.0]])
    steady = np.zeros((2, 1), dtype=bool)

    alike = size_gains(belief, np.array([0, 0]), 1, predicted_v, predicted_v, steady)
    apart = size_gains(belief, np.array([0, 1]), 2, predicted_v, predicted_v, steady)

    assert np.isclose(alike.bits[0], 0)
    assert np.isclose(alike.right[0], belief.sum())
    assert 0 < apart.bits[0] <= b.entropy_bits(belief)
    assert belief.max() < apart.right[0] <= alike.right[0]


@pytest.mark.second_way("mutual information added up outcome by outcome")
def test_the_gain_of_a_lamp_agrees_with_a_sum():
    belief = np.array([0.2, 0.3, 0.5])
    group = np.array([0, 1, 1])
    chances = b.lamp_chances(np.array([[0.0], [6.0], [12.0]]))

    expected = 0.0
    for outcome in range(3):
        whole = sum(belief[s] * chances[s, 0, outcome] for s in range(3))
        for members in ([0], [1, 2]):
            share = sum(belief[s] for s in members)
            both = sum(belief[s] * chances[s, 0, outcome] for s in members)
            expected += both * math.log2(both / (share * whole))

    told = outcome_gains(belief, group, 2, chances)
    likeliest = sum(
        max(belief[0] * chances[0, 0, o], belief[1:] @ chances[1:, 0, o]) for o in range(3)
    )

    assert told.bits[0] == pytest.approx(expected, rel=1e-9)
    assert told.right[0] == pytest.approx(likeliest, rel=1e-9)
