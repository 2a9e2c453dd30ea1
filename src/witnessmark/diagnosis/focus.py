"""Leaving out what cannot matter any more: samples that hardly anybody believes in."""

from dataclasses import replace
from typing import Final

import numpy as np

from witnessmark.diagnosis.dictionary import Dictionary
from witnessmark.diagnosis.evidence import Weighed

NEGLIGIBLE: Final = 1e-7  # of the strongest belief


def focused(book: Dictionary, weighed: Weighed) -> tuple[Dictionary, Weighed]:
    """Return dictionary and belief with the samples that still count, at least one per suspect.

    Parameters
    ----------
    book
        Dictionary of the circuit.
    weighed
        Belief so far.
    """
    kept = weighed.belief > NEGLIGIBLE * weighed.belief.max()
    order = np.lexsort((-weighed.belief, book.suspect))
    likeliest = order[np.searchsorted(book.suspect[order], np.arange(len(book.suspects)))]
    kept[likeliest] = True
    small = replace(
        book,
        suspect=book.suspect[kept],
        log_prior=book.log_prior[kept],
        mix=book.mix.rows(kept),
    )
    return small, replace(weighed, belief=weighed.belief[kept], supply=weighed.supply[kept])
