"""A ring in a plate with thin metal on one side, by finite elements: the model of the bridge table.

Plane stress, quadratic quadrilaterals (scikit-fem), the upper half of the plate. Ring and plate
are meshed apart with matching nodes on the joint; there the displacements along the normal differ
by the radial interference (tied by elimination), sliding is free, and a node that would pull is let
go. Lengths are in joint radii, stresses in head moduli. The plate ends far from the joint, but on
one side at the bridge: at a free straight edge, the hardest case for a neighbour of like size, or
at the mirror plane half-way to a like counterbore with a like ring. Pressures come from nodal
forces.
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
from specdb.physics.rings import joint_compliance

CELLS = 8
"""Elements over the 15 degrees facing the bridge; the whole mesh follows."""
SECTOR = math.radians(15.0)


@dataclass(frozen=True)
class Case:
    """`wall` ring inside over outside; `bridge` metal over joint diameter; `moduli` ring over head;
    `kind` `edge` (free) or `neighbour` (a like ring on the far side of the bridge); `far` where the
    plate ends on the other sides, in joint radii."""

    kind: str
    wall: float
    bridge: float
    moduli: float
    far: float = 20.0


@dataclass(frozen=True)
class Factors:
    """Over the two-ring formula in endless metal: mean pressure, pressure over the 15 degrees
    facing the bridge; and over its pressure, which is its stretch too: greatest stretch at the
    bore, and along the far side of the bridge (free edge, or mirror plane)."""

    mean_pressure: float
    bridge_pressure: float
    bore_stretch: float
    bridge_stretch: float


def solve(case: Case, cells: int = CELLS) -> Factors:
    """The ratios of one case."""
    edge = 1.0 + (2.0 if case.kind == "edge" else 1.0) * case.bridge
    angles = around(edge, case.far, cells)
    ring, head = ring_mesh(angles, case.wall, cells), head_mesh(angles, edge, case.far, 8 * cells)
    stiff = [stiffness(ring, case.moduli, RING_POISSON), stiffness(head, 1.0, HEAD_POISSON)]
    whole = block_diag([each[0] for each in stiff]).tocsc()
    (ring_basis, head_basis), start = (each[1] for each in stiff), stiff[0][0].shape[0]
    joint = Round(ring_basis, head_basis, start)
    held = [*on_axis(ring_basis), *(on_axis(head_basis) + start)]
    if case.kind == "edge":
        held.append(at(head_basis, lambda x: abs(x[0] + case.far) < 1e-9, 1)[0] + start)
    else:
        held += list(at(head_basis, lambda x: abs(x[0] - edge) < 1e-9, 1) + start)
    moved, force = joint.nodes.pressed(whole, np.array(held))
    formula = INTERFERENCE / 2.0 / plain(case)
    pressure = joint.pressures(force)
    facing = joint.middles < SECTOR
    local = float((pressure * joint.lengths)[facing].sum() / SECTOR)
    mean = float((pressure * joint.lengths).sum() / math.pi)
    bore = joint.hoop(moved, pressure)
    far = across(head_basis, moved[start:], edge)
    return Factors(*(float(each) / formula for each in (mean, local, bore.max(), far)))


def plain(case: Case) -> float:
    """Radial interference over joint radius, doubled, per unit of pressure, in endless metal."""
    modulus = 1e5
    give = joint_compliance(
        2.0, 2.0 * case.wall, math.inf, case.moduli * modulus, RING_POISSON, modulus, HEAD_POISSON
    )
    return give * modulus / 2.0


def around(edge: float, far: float, cells: int) -> Floats:
    """Angles of the mesh from the bridge round to the far side, denser at the bridge, with lines at
    the end of the facing sector and at the corners of the plate."""
    first, last = (math.atan2(far, each) for each in (edge, -far))
    steps = 2.0 ** (np.arange(4 * cells) / (4 * cells - 1))
    return np.r_[
        np.linspace(0.0, SECTOR, cells, endpoint=False),
        SECTOR + (first - SECTOR) * np.r_[0.0, np.cumsum(steps)[:-1]] / steps.sum(),
        np.linspace(first, last, 4 * cells, endpoint=False),
        np.linspace(last, math.pi, 3 * cells + 1),
    ]


def ring_mesh(angles: Floats, wall: float, cells: int) -> skfem.MeshQuad2:
    """The ring; its facets lie on circles."""
    return bent(angles, cells, lambda angle, share: wall + (1.0 - wall) * share)


def head_mesh(angles: Floats, edge: float, far: float, cells: int) -> skfem.MeshQuad2:
    """The plate from the joint to its straight ends, closer at the joint."""

    def radius(angle: Floats, share: Floats) -> Floats:
        with np.errstate(divide="ignore"):
            ahead = np.where(np.cos(angle) > 0.0, edge, far) / abs(np.cos(angle))
            out = np.minimum(ahead, far / abs(np.sin(angle))) - 1.0
        growth = np.log1p(5.0 * out)
        return 1.0 + out * np.expm1(growth * share) / np.expm1(growth)

    return bent(angles, cells, radius)


def bent(angles: Floats, cells: int, radius: Any) -> skfem.MeshQuad2:
    """A mesh of angles and shares of the way out, bent into place with curved sides."""
    flat = skfem.MeshQuad.init_tensor(angles, np.linspace(0.0, 1.0, cells + 1))
    mesh = skfem.MeshQuad2.from_mesh(flat)
    angle, share = mesh.doflocs
    out = radius(angle, share)
    return skfem.MeshQuad2(np.array([out * np.cos(angle), out * np.sin(angle)]), mesh.t)


def stiffness(mesh: skfem.MeshQuad2, modulus: float, poisson: float) -> tuple[Any, skfem.Basis]:
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()), intorder=4)
    normal, shear = modulus / (1.0 - poisson**2), modulus / 2.0 / (1.0 + poisson)

    @skfem.BilinearForm
    def energy(u: Any, v: Any, w: Any) -> Any:
        a, b = grad(u), grad(v)
        direct = a[0, 0] * b[0, 0] + a[1, 1] * b[1, 1]
        direct += poisson * (a[0, 0] * b[1, 1] + a[1, 1] * b[0, 0])
        return normal * direct + shear * (a[0, 1] + a[1, 0]) * (b[0, 1] + b[1, 0])

    return energy.assemble(basis), basis


def at(basis: skfem.Basis, where: Any, component: int) -> Ints:
    """Degrees of freedom of a component on boundary facets, by angle from the bridge."""
    facets = basis.mesh.facets_satisfying(where, boundaries_only=True)
    dofs = basis.get_dofs(facets).all(f"u^{component}")
    return dofs[np.argsort(np.arctan2(basis.doflocs[1, dofs], basis.doflocs[0, dofs]))]


def on_axis(basis: skfem.Basis) -> Ints:
    """Displacements across the axis of symmetry, which are none."""
    return at(basis, lambda x: abs(x[1]) < 1e-9, 2)


class Round:
    """The matching nodes of ring and plate on the joint, from the bridge round."""

    def __init__(self, ring: skfem.Basis, head: skfem.Basis, start: int) -> None:
        def circle(x: Any) -> Any:
            # seen at the middle of its chord, a facet lies a little inside the circle
            return (abs(np.hypot(*x) - 1.0) < 5e-3) & (x[1] > 1e-9)

        on_ring = np.array([at(ring, circle, each) for each in (1, 2)])
        self.head = np.array([at(head, circle, each) + start for each in (1, 2)])
        places = ring.doflocs[:, on_ring[0]]
        self.angles = np.arctan2(places[1], places[0])
        self.normal = np.array([np.cos(self.angles), np.sin(self.angles)])
        self.nodes = Joint(on_ring, self.head, self.normal)
        self.lengths = np.diff(self.angles[::2])
        self.middles = self.angles[1::2]

    def pressures(self, force: Floats) -> Floats:
        """Pressure in the middle of each facet: its middle node carries two thirds of the facet."""
        return -force[1::2] / (self.lengths * 2.0 / 3.0)

    def hoop(self, moved: Floats, pressure: Floats) -> Floats:
        """Stress of the plate round the joint at the corners of facets (radial is -pressure)."""
        x, y = (moved[each][::2] for each in self.head)
        angles, (nx, ny) = self.angles[::2], self.normal[:, ::2]
        along = y * nx - x * ny
        # mirrored past both ends, where symmetry turns the displacement along the joint about
        ends = np.r_[-angles[1], angles, 2.0 * math.pi - angles[-2]]
        strain = np.gradient(np.r_[-along[1], along, -along[-2]], ends)[1:-1] + x * nx + y * ny
        return strain - HEAD_POISSON * np.interp(angles, self.middles, pressure)


def across(head: skfem.Basis, moved: Floats, edge: float) -> float:
    """Greatest tension along the far side of the bridge, in head moduli."""
    mesh = head.mesh
    facets = mesh.facets_satisfying(lambda x: abs(x[0] - edge) < 1e-9, boundaries_only=True)
    side = skfem.FacetBasis(mesh, head.elem, facets=facets, intorder=4)
    strain = grad(side.interpolate(moved))
    tension = (strain[1, 1] + HEAD_POISSON * strain[0, 0]) / (1.0 - HEAD_POISSON**2)
    return float(tension.max())
