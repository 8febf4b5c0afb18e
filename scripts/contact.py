"""Two bodies of finite elements pressed together on matching nodes, without friction.

Along the normal of the joint the displacements of a pair of nodes differ by the interference; that
is built in by elimination. A pair that would pull is let go.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

INTERFERENCE = 1e-3
"""On the radius, in joint radii: the answers are ratios."""
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Joint:
    """Degrees of freedom of matching nodes on ring and head, and the normal at each, outwards.

    All are arrays (directions, nodes); the normal is of length 1.
    """

    ring: Ints
    head: Ints
    normal: Floats

    def pressed(self, whole: Any, held: Ints, ordering: str = "COLAMD") -> tuple[Floats, Floats]:
        """Displacements, and forces on the ring along the normal.

        whole    stiffness of both bodies; held: degrees of freedom that stay
        """
        touching = np.ones(self.normal.shape[1], bool)
        while True:
            tie, given = self._tie(whole.shape[0], held, touching)
            reduced = (tie.T @ whole @ tie).tocsc()
            solver = splu(reduced, permc_spec=ordering)
            moved = tie @ solver.solve(-tie.T @ (whole @ given)) + given
            force = ((whole @ moved)[self.ring] * self.normal).sum(axis=0)
            pulling = touching & (force > 1e-12)
            if not pulling.any():
                return moved, np.where(touching, force, 0.0)
            touching &= ~pulling

    def _tie(self, size: int, held: Ints, touching: NDArray[np.bool_]) -> tuple[Any, Floats]:
        """The matrix from free displacements to all, and what the interference adds.

        n . (head - ring) = interference, solved for the ring's largest component of n.
        """
        largest = abs(self.normal).argmax(axis=0)
        slave = np.take_along_axis(self.ring, largest[None], axis=0)[0]
        pivot = np.take_along_axis(self.normal, largest[None], axis=0)[0]
        free = np.ones(size, bool)
        free[held] = free[slave[touching]] = False
        number = np.cumsum(free) - 1
        rows, columns = [np.nonzero(free)[0]], [number[free]]
        shares = [np.ones(int(free.sum()))]
        for direction, along in enumerate(self.normal):
            others = touching & (largest != direction)
            for dofs, share, pairs in (
                (self.head[direction], along, touching),
                (self.ring[direction], -along, others),
            ):
                moves = pairs & free[dofs]
                rows.append(slave[moves])
                columns.append(number[dofs[moves]])
                shares.append((share / pivot)[moves])
        entries = (np.concatenate(shares), (np.concatenate(rows), np.concatenate(columns)))
        given = np.zeros(size)
        given[slave[touching]] = -INTERFERENCE / pivot[touching]
        return coo_matrix(entries, (size, int(free.sum()))).tocsc(), given
