"""Boxes of severities of two faults at once, which are cut smaller where they matter."""

from dataclasses import dataclass

import numpy as np

from witnessmark.diagnosis.belief import Floats, Indices
from witnessmark.diagnosis.dictionary import Mixture


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """Boxes of severities between four solved scenarios; x and y run from 0 to 1 within them."""

    pair: Indices  # number of the pair
    corner: Indices  # cell by four: low-low, high-low, low-high, high-high
    x: Floats  # cell by two
    y: Floats
    log_prior: Floats

    def at(self, x: Floats, y: Floats) -> Mixture:
        """Return the mixtures at some place in each cell."""
        weight = np.stack([(1 - x) * (1 - y), x * (1 - y), (1 - x) * y, x * y], axis=1)
        return Mixture(corner=self.corner, weight=weight)

    def middle(self) -> Mixture:
        """Return the mixtures in the middle of each cell."""
        return self.at(self.x.mean(axis=1), self.y.mean(axis=1))

    def ends(self) -> list[Mixture]:
        """Return the mixtures at the four corners of each cell."""
        return [self.at(self.x[:, i], self.y[:, j]) for i in (0, 1) for j in (0, 1)]

    def rows(self, chosen: Indices) -> "Cells":
        """Return some of the cells."""
        return Cells(
            pair=self.pair[chosen],
            corner=self.corner[chosen],
            x=self.x[chosen],
            y=self.y[chosen],
            log_prior=self.log_prior[chosen],
        )

    def cut(self, across: Indices, along: Indices) -> "Cells":
        """Cut each cell into so many pieces in either direction."""
        pieces = across * along
        row = np.repeat(np.arange(len(pieces)), pieces)
        number = np.arange(len(row)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
        i, j = number % across[row], number // across[row]
        width_x = (self.x[:, 1] - self.x[:, 0]) / across
        width_y = (self.y[:, 1] - self.y[:, 0]) / along
        x = self.x[row, 0] + np.stack([i, i + 1], axis=0) * width_x[row]
        y = self.y[row, 0] + np.stack([j, j + 1], axis=0) * width_y[row]
        return Cells(
            pair=self.pair[row],
            corner=self.corner[row],
            x=x.T,
            y=y.T,
            log_prior=self.log_prior[row] - np.log(pieces[row]),
        )
