"""A second opinion on rings that yield: incremental plasticity on radial finite elements.

Plane stress, linear elements along the radius, a return mapping for each increment. The yield
hexagon is used as such: the nearest point of it in the energy of the metal, whichever side or
corner that lies on. No order of the stresses is assumed, and no front is followed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy.linalg

Array = Any
Law = Callable[[Array], tuple[Array, Array]]
"""Stress and energy of each element for its strain."""
# Corners of |s_r| <= 1, |s_t| <= 1, |s_r - s_t| <= 1, in order round it.
HEXAGON = np.array([[1, 1], [0, 1], [-1, 0], [-1, -1], [0, -1], [1, 0]], dtype=float)


def elastic(modulus: Array, poisson: Array) -> Array:
    """Stiffness of each element, (n, 2, 2), in (radial, hoop)."""
    one = np.ones_like(modulus)
    matrix = np.array([[one, poisson], [poisson, one]])
    return np.moveaxis(modulus / (1 - poisson**2) * matrix, 2, 0)


def onto_hexagon(trial: Array, strength: Array, compliance: Array) -> Array:
    """The point of the hexagon nearest to each trial stress, in the energy of the metal."""
    # In these coordinates the energy is plain distance.
    root = np.moveaxis(np.linalg.cholesky(compliance), 2, 1)
    corners = HEXAGON[None] * strength[:, None, None]
    start = np.einsum("nij,nkj->nki", root, corners)
    point = np.einsum("nij,nj->ni", root, trial)
    best = np.full(len(trial), np.inf)
    found = trial.copy()
    for k in range(6):
        a, b = start[:, k], start[:, (k + 1) % 6]
        along = b - a
        share = np.einsum("ni,ni->n", point - a, along) / np.einsum("ni,ni->n", along, along)
        share = np.clip(share, 0.0, 1.0)[:, None]
        distance = np.linalg.norm(a + share * along - point, axis=1)
        stress = corners[:, k] * (1 - share) + corners[:, (k + 1) % 6] * share
        closer = distance < best
        best[closer], found[closer] = distance[closer], stress[closer]
    radial, hoop = trial.T
    greatest = np.max(np.abs([radial, hoop, radial - hoop]), axis=0)
    inside = greatest <= strength
    found[inside] = trial[inside]
    return found


def onto_von_mises(trial: Array, strength: Array, modulus: Array, poisson: Array) -> Array:
    """Return to the ellipse of von Mises in plane stress, by halving for the multiplier."""
    total = (trial[:, 0] + trial[:, 1]) / np.sqrt(2)
    apart = (trial[:, 0] - trial[:, 1]) / np.sqrt(2)
    shear = modulus / (2 * (1 + poisson))

    def back(by: Array) -> tuple[Array, Array]:
        return total / (1 + by * modulus / (3 * (1 - poisson))), apart / (1 + 2 * by * shear)

    def equivalent(by: Array) -> Array:
        t, a = back(by)
        return np.sqrt(t**2 / 2 + 3 * a**2 / 2)

    low = np.zeros(len(trial))
    high = np.full(len(trial), 1e3) / modulus
    yields = equivalent(low) > strength
    for _ in range(80):
        middle = (low + high) / 2
        above = equivalent(middle) > strength
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    t, a = back(np.where(yields, (low + high) / 2, 0.0))
    return np.array([t + a, t - a]).T / np.sqrt(2)


def _energies(stress: Array, compliance: Array) -> Array:
    return np.einsum("ni,nij,nj->n", stress, compliance, stress) / 2


@dataclass
class Disc:
    """Rings bonded into one disc; `radii` of the nodes, `inner` marks elements of the ring."""

    radii: Array
    inner: Array
    law: str = "tresca"

    def __post_init__(self) -> None:
        self.middle = (self.radii[1:] + self.radii[:-1]) / 2
        self.length = np.diff(self.radii)
        self.plastic = np.zeros((len(self.middle), 2))
        self.moved = np.zeros(len(self.radii))

    def metal(self, ring: float, hub: float) -> Array:
        return np.where(self.inner, ring, hub)

    def step(
        self,
        modulus: Array,
        poisson: Array,
        strength: Array,
        free: Array,
        pressures: tuple[float, float] = (0.0, 0.0),
        held: dict[int, float] | None = None,
    ) -> Array:
        """One increment: `free` is thermal strain; `pressures` inside and outside; `held`
        prescribes movements by node. Stresses (n, 2); the plastic strains are kept."""
        stiffness = elastic(modulus, poisson)
        compliance = np.linalg.inv(stiffness)

        def springs(strain: Array) -> tuple[Array, Array]:
            trial = np.einsum("nij,nj->ni", stiffness, strain - self.plastic - free[:, None])
            return trial, _energies(trial, compliance)

        def yielding(strain: Array) -> tuple[Array, Array]:
            trial, whole = springs(strain)
            if self.law == "tresca":
                found = onto_hexagon(trial, strength, compliance)
            else:
                found = onto_von_mises(trial, strength, modulus, poisson)
            return found, whole - _energies(trial - found, compliance)

        held = held or {}
        start = self._balanced(springs, stiffness, pressures, held, self.moved)
        moved = self._balanced(yielding, stiffness, pressures, held, start)
        strain = self._strain(moved)
        now = yielding(strain)[0]
        kept = np.einsum("nij,nj->ni", compliance, now)
        self.plastic, self.moved = strain - free[:, None] - kept, moved
        return now

    def _strain(self, moved: Array) -> Array:
        across = (moved[1:] - moved[:-1]) / self.length
        around = (moved[1:] + moved[:-1]) / 2 / self.middle
        return np.array([across, around]).T

    def _balanced(
        self,
        law: Law,
        stiffness: Array,
        pressures: tuple[float, float],
        held: dict[int, float],
        start: Array,
    ) -> Array:
        """The movements of least energy: Newton's steps, shortened by a share of the elastic
        stiffness that grows while a step does not pay. The energy is convex, so it is found."""
        moved = start.copy()
        for node, value in held.items():
            moved[node] = value
        fixed = np.array(sorted(held), dtype=int)
        size = np.abs(stiffness[:, 0, 0] * self.middle / 1000).max()
        share, energy = 1e-6, self._energy(law, moved, pressures)
        for _ in range(2000):
            strain = self._strain(moved)
            rest = self._forces(law(strain)[0], pressures)
            rest[fixed] = 0.0
            if np.abs(rest).max() < 1e-8 * size:
                return moved
            tangent = self._tangent(law, strain) + share * stiffness
            tried = moved - self._solve(tangent, rest, fixed)
            now = self._energy(law, tried, pressures)
            if now <= energy + 1e-14 * abs(energy):
                moved, energy, share = tried, now, max(share / 10, 1e-9)
            else:
                share = min(share * 4, 1e3)
        raise AssertionError(f"no balance: {np.abs(rest).max()} of {size}")

    def _energy(self, law: Law, moved: Array, pressures: tuple[float, float]) -> float:
        """Elastic energy and the work of yielding, less the work of the pressures."""
        inside, outside = pressures
        work = inside * self.radii[0] * moved[0] - outside * self.radii[-1] * moved[-1]
        return float(law(self._strain(moved))[1] @ (self.middle * self.length) - work)

    def _forces(self, stress: Array, pressures: tuple[float, float]) -> Array:
        """Forces left over at the nodes, per radian and thickness."""
        weight = self.middle * self.length
        across, around = (stress * weight[:, None]).T
        rest = np.zeros(len(self.radii))
        rest[1:] += across / self.length + around / 2 / self.middle
        rest[:-1] += -across / self.length + around / 2 / self.middle
        rest[0] -= pressures[0] * self.radii[0]
        rest[-1] += pressures[1] * self.radii[-1]
        return rest

    def _tangent(self, law: Law, strain: Array) -> Array:
        """Stress over strain, by small differences."""
        by, now = 1e-9, law(strain)[0]
        sides = [(law(strain + by * np.eye(2)[k])[0] - now) / by for k in range(2)]
        return np.stack(sides, axis=2)

    def _solve(self, tangent: Array, rest: Array, fixed: Array) -> Array:
        weight = self.middle * self.length
        shape = np.zeros((len(weight), 2, 2))
        shape[:, 0, 0], shape[:, 0, 1] = -1 / self.length, 1 / self.length
        shape[:, 1, :] = (1 / 2 / self.middle)[:, None]
        local = np.einsum("nki,nkl,nlj,n->nij", shape, tangent, shape, weight)
        n = len(self.radii)
        bands = np.zeros((3, n))
        bands[1, :-1] += local[:, 0, 0]
        bands[1, 1:] += local[:, 1, 1]
        bands[0, 1:], bands[2, :-1] = local[:, 0, 1], local[:, 1, 0]
        for node in fixed:
            bands[1, node] = 1.0
            if node + 1 < n:
                bands[0, node + 1] = 0.0
            if node > 0:
                bands[2, node - 1] = 0.0
        return scipy.linalg.solve_banded((1, 1), bands, rest)


def pressed(
    joint: float, bore: float, outer: float, law: str = "tresca", elements: int = 240
) -> tuple[Disc, int]:
    """A ring in a hub, diameters in mm, and the node where they meet."""
    ring = np.linspace(bore / 2, joint / 2, elements + 1)
    hub = np.geomspace(joint / 2, outer / 2, elements + 1)
    radii = np.concatenate([ring, hub[1:]])
    return Disc(radii, np.arange(len(radii) - 1) < elements, law), elements
