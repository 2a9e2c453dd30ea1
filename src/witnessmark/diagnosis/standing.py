"""The samples that still stand, few enough to compare every test with them."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.sparse import csr_matrix

from witnessmark.diagnosis.belief import Floats, Indices
from witnessmark.diagnosis.dictionary import Dictionary, Mixture
from witnessmark.diagnosis.evidence import Weighed
from witnessmark.diagnosis.next_test import compact, likeliest

NEGLIGIBLE: Final = 1e-6  # of the strongest belief: such samples cannot move a gain
RUNS_PER_SUSPECT: Final = 4  # pieces into which the severities of a suspect are cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The samples that still stand, cut into runs of neighbouring severities.

    Attributes
    ----------
    belief
        Belief in each run; adds up to 1.
    suspect, place
        Its suspect, and its repair among those worth telling apart.
    kept
        How many repairs there are.
    first
        The mixture at the beginning of each run.
    ends
        Twice the runs by scenario: the mixtures at the beginning of each run, then at its end.
    supply
        Supply of the vehicle over that of the sheet, by run.
    sample
        The sample in the middle of each run.
    """

    belief: Floats
    suspect: Indices
    place: Indices
    kept: int
    first: Mixture
    ends: csr_matrix
    supply: Floats
    sample: Indices

    @property
    def likeliest(self) -> float:
        """Share of the likeliest repair among the suspects."""
        return likeliest(self.belief, self.place)


def standing(book: Dictionary, weighed: Weighed) -> Standing:
    """Return the samples that still stand.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.

    Notes
    -----
    Any reading that some suspect predicts speaks against 'something else', which predicts
    nothing. That is no reason to take it: a test is worth what it tells among the suspects.
    """
    held = np.where(book.known, weighed.belief, 0.0)
    alive = np.flatnonzero(held > NEGLIGIBLE * held.max())
    belief = held[alive] / held[alive].sum()
    suspect = book.suspect[alive]
    # A run ends where the suspect ends, or where a quarter of the suspect's belief is passed.
    whole = np.bincount(suspect, weights=belief, minlength=len(book.suspects))
    passed = np.cumsum(belief) - belief / 2.0
    before = np.concatenate([[0.0], np.cumsum(whole)[:-1]])[suspect]
    share = (passed - before) / np.maximum(whole[suspect], 1e-300)
    two = np.array([len(one.parts) > 1 for one in book.suspects])[suspect]
    # Two faults at once have severities in a plane: their samples stand for themselves.
    cut = np.where(two, np.arange(len(alive)), np.floor(share * RUNS_PER_SUSPECT))
    new = np.concatenate([[True], (suspect[1:] != suspect[:-1]) | (cut[1:] != cut[:-1])])
    starts = np.flatnonzero(new)
    ends = np.append(starts[1:], len(alive)) - 1
    run_belief = np.add.reduceat(belief, starts)
    of_run = alive[(starts + ends) // 2]
    place, kept = compact(run_belief, book.repair[of_run], len(book.repairs))
    return Standing(
        belief=run_belief,
        suspect=book.suspect[of_run],
        place=place,
        kept=kept,
        first=book.mix.rows(alive[starts]),
        ends=_by_scenario(book.mix.rows(alive[np.concatenate([starts, ends])]), len(book.solved)),
        supply=weighed.supply[of_run],
        sample=of_run,
    )


def _by_scenario(mix: Mixture, scenarios: int) -> csr_matrix:
    """Return sample by scenario: the weights of mixtures."""
    corners = mix.weight.shape[1]
    rows = np.arange(0, mix.weight.size + 1, corners)
    shape = (len(mix.weight), scenarios)
    weight = mix.weight.ravel().astype(np.float32)
    return csr_matrix((weight, mix.corner.ravel(), rows), shape=shape)
