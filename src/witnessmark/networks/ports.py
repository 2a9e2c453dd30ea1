"""The same operating points by port reduction: one inverse for each way that contacts stand.

Between two scenarios with contacts alike little differs: the curved pieces and the faulted ones.
Seen from those few ports the rest of the circuit is a fixed matrix, so Newton works on a handful
of unknowns instead of on every point. `nodal` solves the same equations whole and is the second
way.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import Final

import numpy as np

from witnessmark.networks.compiled import Compiled, Numbers
from witnessmark.networks.laws import Laws
from witnessmark.networks.nodal import nodal_matrix, start_slope
from witnessmark.networks.reduced import Base, Reduced, reduced

MOST_BYTES: Final = 32e6  # of inverses kept for a circuit; 100 points make 80 kB each


@dataclass(slots=True)
class Ports:
    """Solves for the volts of every point, and keeps the inverses that it may use again.

    Attributes
    ----------
    book
        The circuit as arrays.
    slot
        Where the inverse of a standing is kept, by a name for how contacts, fuses and switches
        stand.
    base
        The inverses.
    lock
        Held while a name is looked up and what it misses is added.
    """

    book: Compiled
    slot: dict[bytes, int] = field(default_factory=dict)
    base: Base = field(init=False)
    lock: Lock = field(default_factory=Lock)

    def __post_init__(self) -> None:
        self._clear()

    def _clear(self) -> None:
        size = len(self.book.circuit.points)
        self.slot.clear()
        self.base = Base(
            conductance=np.zeros((0, len(self.book.pieces))), inverse=np.zeros((0, size, size))
        )

    def reduced(
        self, laws: Laws, standing: list[bytes], healthy: Callable[[Numbers], Laws]
    ) -> Reduced:
        """Return scenarios as their ports see them.

        Parameters
        ----------
        laws
            How current follows voltage in each of B scenarios.
        standing
            B names of how contacts, fuses and switches stand: scenarios alike in this share an
            inverse.
        healthy
            Gives for some of the scenarios the laws as everything stands, without the faults.

        Returns
        -------
        Reduced
            Of B scenarios.
        """
        with self.lock:  # requests of one circuit share it
            base = self.base_of(standing, healthy)
            slot = np.array([self.slot[name] for name in standing], dtype=np.intp)
        return reduced(base, slot, laws)

    def base_of(self, standing: list[bytes], healthy: Callable[[Numbers], Laws]) -> Base:
        """Return the inverses, those of every standing named among them.

        Parameters
        ----------
        standing
            Names of how contacts, fuses and switches stand.
        healthy
            Gives for some of these the laws without a fault.
        """
        wanted = {name: number for number, name in enumerate(standing)}
        missing = [name for name in wanted if name not in self.slot]
        each = self.base.inverse.shape[1] ** 2 * self.base.inverse.itemsize
        if (len(self.slot) + len(missing)) * each > MOST_BYTES:
            self._clear()
            missing = list(wanted)
        if missing:
            laws = healthy(np.array([wanted[name] for name in missing], dtype=np.intp))
            self.slot.update({name: len(self.slot) + at for at, name in enumerate(missing)})
            self._add(laws)
        return self.base

    def _add(self, laws: Laws) -> None:
        conductance = laws.conductance.copy()
        conductance[:, self.book.curved] += start_slope(laws.bent)
        inner = np.linalg.inv(nodal_matrix(self.book, conductance))
        inverse = np.zeros((len(inner), *self.base.inverse.shape[1:]))
        inverse[:, 1:, 1:] = (inner + inner.transpose(0, 2, 1)) / 2
        self.base = Base(
            conductance=np.concatenate([self.base.conductance, conductance]),
            inverse=np.concatenate([self.base.inverse, inverse]),
        )
