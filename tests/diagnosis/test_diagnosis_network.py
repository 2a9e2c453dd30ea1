"""The posterior against exact inference on the same case built as a Bayesian network."""

from dataclasses import replace

import numpy as np
import pytest

from diagnosis.fan_book import fan_book
from witnessmark.diagnosis import evidence, likelihood
from witnessmark.diagnosis import observations as o
from witnessmark.diagnosis.intermittent import HERE, SEEN_AWAY
from witnessmark.diagnosis.outcomes import lamp_outcomes
from witnessmark.diagnosis.reports import LOOKS, REPORTED

EACH = 25  # every so many samples of the fan circuit are kept, and 'something else'


def small_book():
    book = fan_book(lamp=True)
    kept = np.append(np.arange(0, len(book.suspect) - 1, EACH), len(book.suspect) - 1)
    return replace(
        book,
        suspect=book.suspect[kept],
        log_prior=book.log_prior[kept],
        mix=book.mix.rows(kept),
    )


def lamp(point, outcome, present):
    return o.TestReading(
        id=f"{point}{outcome}{present}", kind="lamp", point=point, state="run",
        text=outcome, outcome=outcome, present=present,
    )  # fmt: skip


def network(book, readings):
    """Fault, supply and whether it comes and goes; below them what is reported and seen."""
    from pgmpy.factors.discrete import TabularCPD
    from pgmpy.models import DiscreteBayesianNetwork

    samples = len(book.suspect)
    shares = likelihood.SUPPLY_SHARES
    prior = np.exp(book.log_prior - book.log_prior.max())
    goes = book.comes_and_goes
    supply = np.exp(-0.5 * ((shares - 1) / likelihood.SUPPLY_SPREAD) ** 2)
    edges = [("fault", "goes"), ("fault", "report")]
    looks = evidence.looks(book, book.troubles[0]).copy()
    looks[~book.known] = 1 / len(LOOKS)
    tables = [
        TabularCPD("fault", samples, (prior / prior.sum())[:, None]),
        TabularCPD("supply", len(shares), (supply / supply.sum())[:, None]),
        TabularCPD(
            "goes",
            2,
            np.stack([1 - goes, goes]),
            ["fault"],
            [samples],
        ),
        TabularCPD("report", 4, (looks @ REPORTED["customer"]).T, ["fault"], [samples]),
    ]
    for number, reading in enumerate(readings):
        here, said, shown = f"here{number}", f"said{number}", f"shown{number}"
        edges += [("goes", here), ("goes", said), (here, said)]
        edges += [("fault", shown), ("supply", shown), (here, shown)]
        # A fault that does not come and go is always there.
        tables.append(TabularCPD(here, 2, [[0, 1 - HERE], [1, HERE]], ["goes"], [2]))
        # Columns: goes away, here. A crew sees what comes and goes; of a steady one it may err.
        away = [SEEN_AWAY, SEEN_AWAY, 1, 0]
        tables.append(TabularCPD(said, 2, [away, [1 - x for x in away]], ["goes", here], [2, 2]))
        column = book.solved.lamp["lamp", ""][:, 0, book.point(reading.point)]
        faulty = book.mix.of(column)[:, None] * shares[None, :]
        healthy = np.broadcast_to(column[0] * shares, faulty.shape)
        chances = np.stack(
            [lamp_outcomes(volts, reading.test) for volts in (healthy, faulty)], axis=2
        )
        chances[~book.known, :, 1] = 1 / 3
        tables.append(
            TabularCPD(
                shown,
                3,
                np.moveaxis(chances, 3, 0).reshape(3, -1),
                ["fault", "supply", here],
                [samples, len(shares), 2],
            )
        )
    model = DiscreteBayesianNetwork(edges)
    model.add_cpds(*tables)
    assert model.check_model()
    return model


@pytest.mark.second_way("pgmpy, exact inference by variable elimination")
@pytest.mark.parametrize(
    "readings",
    [
        [lamp("D", "lit", True)],
        [lamp("D", "lit", True), lamp("E", "dim", True)],
        [lamp("E", "dark", False), lamp("D", "dim", None)],
        [lamp("E", "dim", None), lamp("F", "dim", True), lamp("E", "dark", False)],
    ],
)
def test_the_belief_is_the_exact_posterior_of_the_network(readings):
    from pgmpy.inference import VariableElimination

    book = small_book()
    seen = {"report": LOOKS.index("weak")}
    for number, reading in enumerate(readings):
        seen[f"shown{number}"] = ("dark", "dim", "lit").index(reading.outcome)
        if reading.present is not None:
            seen[f"said{number}"] = int(reading.present)
    exact = VariableElimination(network(book, readings)).query(
        ["fault"], evidence=seen, show_progress=False
    )

    weighed = evidence.weigh(book, [o.Observation(complaint="slow")], readings)
    assert np.abs(weighed.belief - exact.values).max() < 1e-9
    assert weighed.belief.max() < 0.5  # not trivially sure
