"""A ring in its pocket by finite elements, against the two-ring formula: the model of the table.

Axisymmetric linear elasticity, quadratic quadrilaterals (scikit-fem). Ring and head are meshed
apart with matching nodes on the joint; there the radial displacements differ by the radial
interference (tied by elimination), sliding along the axis is free, the floor carries nothing, and a
node that would pull is let go. Lengths are in joint radii, stresses in head moduli, so one case
stands for every size. Mean pressure comes from the nodal forces on the joint, which are free of the
corner singularity; no corner stress is read. Squeeze is the hoop stress of the ring's bore, where
the radial stress is zero. Stretch is that of the pocket wall at mid-height, from its displacement
and the mean pressure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import skfem
from scipy.sparse import block_diag
from skfem.helpers import grad

from scripts.contact import INTERFERENCE, Floats, Ints, Joint
from specdb.physics.factor_table import HEAD_POISSON, RING_POISSON
from specdb.physics.rings import press_fit

CELLS = 8
"""Elements over the height of the ring (over a joint radius where it is taller)."""


@dataclass(frozen=True)
class Case:
    """One shape: ratios only.

    `wall` ring inside over outside; `height` over joint diameter; `hub` joint diameter over head
    outside; `below`, `above` metal beyond the ring in ring heights; `moduli` ring over head; `port`
    diameter of the hole below over the joint diameter, the ring's inside if None; `proud` how far
    the ring stands out at each end, in joint diameters.
    """

    wall: float
    height: float
    hub: float
    below: float
    moduli: float
    above: float = 0.0
    port: float | None = None
    proud: float = 0.0
    ring_poisson: float = RING_POISSON
    head_poisson: float = HEAD_POISSON


@dataclass(frozen=True)
class Factors:
    """Ratios to the two-ring formula, as in `specdb.physics.pocket`."""

    pressure: float
    squeeze_bottom: float
    squeeze_middle: float
    squeeze_top: float
    stretch: float


def graded(start: float, end: float, cells: int, growth: float) -> Floats:
    """Cell edges from start to end; the last cell is `growth` times the first."""
    if end == start:
        return np.array([start])
    steps = growth ** (np.arange(cells) / max(cells - 1, 1))
    return start + (end - start) * np.r_[0.0, np.cumsum(steps)] / steps.sum()


def meshes(case: Case, cells: int) -> tuple[skfem.MeshQuad, skfem.MeshQuad]:
    """Ring and head, with the same nodes on the joint at r = 1, 0 <= z <= height."""
    height, proud = 2.0 * case.height, 2.0 * case.proud
    across = max(4, round(cells * (1.0 - case.wall) / min(height, 1.0)))
    levels = np.linspace(0.0, height, cells * math.ceil(max(height, 1.0)) + 1)
    out = graded(0.0, proud, 2 * cells, 10.0)[1:]
    along = np.r_[-out[::-1], levels, height + out]
    ring = skfem.MeshQuad.init_tensor(np.linspace(case.wall, 1.0, across + 1), along)
    port = case.wall if case.port is None else case.port
    inner = np.linspace(port, 1.0, across + 1)[:-1] if port < 1.0 else np.array([])
    radii = np.r_[inner, graded(1.0, 1.0 / case.hub, 2 * cells, 20.0)]
    below = -graded(0.0, case.below * height, 2 * cells, 30.0)[::-1]
    above = height + graded(0.0, case.above * height, 2 * cells, 30.0)
    head = skfem.MeshQuad.init_tensor(radii, np.r_[below[:-1], levels, above[1:]])
    centre = head.p[:, head.t].mean(axis=1)
    pocket = np.nonzero((centre[0] < 1.0) & (centre[1] > 0.0))[0]
    return ring, head.remove_elements(pocket) if len(pocket) else head


def stiffness(mesh: skfem.MeshQuad, modulus: float, poisson: float) -> tuple[Any, skfem.Basis]:
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()), intorder=4)
    lame = modulus * poisson / ((1 + poisson) * (1 - 2 * poisson))
    shear = modulus / 2 / (1 + poisson)

    @skfem.BilinearForm
    def energy(u: Any, v: Any, w: Any) -> Any:
        radius = w.x[0]
        du, dv = grad(u), grad(v)
        normal_u = (du[0, 0], du[1, 1], u[0] / radius)
        normal_v = (dv[0, 0], dv[1, 1], v[0] / radius)
        direct = sum(a * b for a, b in zip(normal_u, normal_v, strict=True))
        sliding = (du[0, 1] + du[1, 0]) * (dv[0, 1] + dv[1, 0])
        return (
            lame * sum(normal_u) * sum(normal_v) + 2 * shear * direct + shear * sliding
        ) * radius

    return energy.assemble(basis), basis


def on(basis: skfem.Basis, where: Any, component: int) -> Ints:
    """Degrees of freedom of a component on boundary facets, from bottom to top."""
    facets = basis.mesh.facets_satisfying(where, boundaries_only=True)
    dofs = basis.get_dofs(facets).all(f"u^{component}")
    return dofs[np.argsort(basis.doflocs[1, dofs])]


def solve(case: Case, cells: int = CELLS) -> Factors:
    """The ratios of one case to the two-ring formula."""
    height, near = 2.0 * case.height, 1e-9
    ring, head = meshes(case, cells)
    stiff_ring, ring_basis = stiffness(ring, case.moduli, case.ring_poisson)
    stiff_head, head_basis = stiffness(head, 1.0, case.head_poisson)

    def joint(x: Any) -> Any:
        return (abs(x[0] - 1.0) < near) & (x[1] > -near) & (x[1] < height + near)

    ring_dofs = on(ring_basis, joint, 1)
    head_dofs = on(head_basis, joint, 1) + stiff_ring.shape[0]
    held = [
        on(ring_basis, lambda x: abs(x[1] - ring.p[1].min()) < near, 2)[0],
        on(head_basis, lambda x: abs(x[1] - head.p[1].min()) < near, 2)[0] + stiff_ring.shape[0],
    ]
    whole = block_diag([stiff_ring, stiff_head]).tocsc()
    joint_nodes = Joint(ring_dofs[None], head_dofs[None], np.ones((1, len(ring_dofs))))
    moved, force = joint_nodes.pressed(whole, np.array(held))
    pressure = -force.sum() / height
    ring_hoop, formula, stretch = plain(case)
    inside = on(ring_basis, lambda x: abs(x[0] - case.wall) < near, 1)
    squeeze = case.moduli * moved[inside] / case.wall / ring_hoop
    levels = ring_basis.doflocs[1, inside] / height
    bottom, middle, top = (float(np.interp(at, levels, squeeze)) for at in (0.0, 0.5, 1.0))
    opening = np.interp(0.5, ring_basis.doflocs[1, ring_dofs] / height, moved[head_dofs])
    local = opening - case.head_poisson * pressure
    return Factors(float(pressure / formula), bottom, middle, top, float(local / stretch))


def plain(case: Case) -> tuple[float, float, float]:
    """The two-ring formula in head moduli: hoop stress at the ring's bore, pressure, and hoop
    stress of the head at the joint."""
    modulus = 1e5
    fit = press_fit(
        joint_mm=2.0,
        interference_mm=2.0 * INTERFERENCE,
        ring_bore_mm=2.0 * case.wall,
        hub_outer_mm=2.0 / case.hub,
        ring_modulus_mpa=case.moduli * modulus,
        ring_poisson=case.ring_poisson,
        hub_modulus_mpa=modulus,
        hub_poisson=case.head_poisson,
    )
    ring, pressure, head = fit.ring_hoop_bore_mpa, fit.pressure_mpa, fit.hub_hoop_joint_mpa
    return ring / modulus, pressure / modulus, head / modulus
