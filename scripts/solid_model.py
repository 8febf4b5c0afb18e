"""A ring in its pocket beside thin metal, in three dimensions: may the two factors be multiplied?

    python -m scripts.solid_model    half a minute a line; see `bridge_model` and `pocket_model`

The answers take what a pocket does (rings all round) times what a bridge does (a plate). Here both
are there at once: half of a block of head metal, the ring flush with its face, a floor with a port
of the ring's inside below, thin metal on one side through the whole block. What the bridge costs is
the mean pressure with it over that without, on the same mesh; beside it stands the same of a plate
that ends as far away. Coarse: of 3.8 mm of metal beside a ring 38/31, 8 high, it keeps 0.811 of the
pressure, 0.810 with three elements where there are two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import skfem
from scipy.sparse import block_diag
from skfem.helpers import ddot, eye, sym_grad, trace

from scripts import bridge_model
from scripts.contact import Floats, Ints, Joint
from specdb.physics.factor_table import HEAD_POISSON, RING_POISSON

FAR = 8.0
"""Where the block ends on the other sides, in joint radii."""


@dataclass(frozen=True)
class Case:
    """As `bridge_model.Case`; `height` of the ring over joint diameter, `below` in ring heights."""

    kind: str
    wall: float
    bridge: float
    moduli: float
    height: float
    below: float = 5.0


def mean_pressure(case: Case, cells: int = 2) -> float:
    """Mean pressure on the joint, in head moduli over relative interference; `bridge` may be
    `inf`, which ends the block as far away on that side as on the others."""
    height = 2.0 * case.height
    edge = min(1.0 + (2.0 if case.kind == "edge" else 1.0) * case.bridge, FAR)
    angles = bridge_model.around(edge, FAR, cells)
    up = np.linspace(0.0, height, cells + 1)
    ring = solid(angles, np.linspace(0.0, 1.0, cells), up, case.wall, edge)
    down = -height * case.below * np.linspace(1.0, 0.0, cells + 2)[:-1] ** 2
    out = np.r_[np.linspace(0.0, 1.0, cells), 1.0 + np.linspace(0.0, 1.0, 2 * cells + 1)[1:]]
    head = solid(angles, out, np.r_[down, up], case.wall, edge)
    stiff_ring, ring_basis = stiffness(ring, case.moduli, RING_POISSON)
    stiff_head, head_basis = stiffness(head, 1.0, HEAD_POISSON)
    start = stiff_ring.shape[0]
    nodes = joint(ring_basis, head_basis, start, height)
    held = [flat(ring_basis, 1, 0.0), flat(head_basis, 1, 0.0) + start]
    held += [lowest(ring_basis, 2), lowest(head_basis, 2) + start]
    if case.kind == "neighbour":
        held.append(flat(head_basis, 0, edge) + start)
    else:
        held.append(lowest(head_basis, 0) + start)
    whole = block_diag([stiff_ring, stiff_head]).tocsc()
    _, force = nodes.pressed(whole, np.unique(np.concatenate(held)), "MMD_AT_PLUS_A")
    return float(-force.sum() / (math.pi * height))


def solid(angles: Floats, out: Floats, up: Floats, wall: float, edge: float) -> skfem.MeshHex:
    """Half a block round the axis; `out` runs from 0 at the ring's bore to 1 at the joint and 2 at
    the block's ends. Above the floor there is nothing inside the joint but where `out` ends there:
    the ring."""
    mesh = skfem.MeshHex.init_tensor(angles, out, up)
    angle, share, level = mesh.p
    with np.errstate(divide="ignore"):
        ahead = np.where(np.cos(angle) > 0.0, edge, FAR) / abs(np.cos(angle))
        room = np.minimum(ahead, FAR / abs(np.sin(angle))) - 1.0
    growth = np.log1p(5.0 * room)
    beyond = 1.0 + room * np.expm1(growth * np.maximum(share - 1.0, 0.0)) / np.expm1(growth)
    radius = np.where(share <= 1.0, wall + (1.0 - wall) * share, beyond)
    if out[-1] > 1.0:
        middle = mesh.p[:, mesh.t].mean(axis=1)
        pocket = np.nonzero((middle[1] < 1.0) & (middle[2] > 0.0))[0]
        place = np.array([radius * np.cos(angle), radius * np.sin(angle), level])
        return skfem.MeshHex(place, mesh.t).remove_elements(pocket)
    return skfem.MeshHex(np.array([radius * np.cos(angle), radius * np.sin(angle), level]), mesh.t)


def stiffness(mesh: skfem.MeshHex, modulus: float, poisson: float) -> tuple[Any, skfem.Basis]:
    """The stiffness of a body, quadratic in all directions."""
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementHex2()), intorder=4)
    lame = modulus * poisson / ((1 + poisson) * (1 - 2 * poisson))
    shear = modulus / 2 / (1 + poisson)

    @skfem.BilinearForm
    def energy(u: Any, v: Any, w: Any) -> Any:
        strain = sym_grad(u)
        stress = lame * eye(trace(strain), 3) + 2 * shear * strain
        return ddot(stress, sym_grad(v))

    return energy.assemble(basis), basis


def joint(ring: skfem.Basis, head: skfem.Basis, start: int, height: float) -> Joint:
    """The matching nodes on the joint. Those between two corners lie on the chord of the circle,
    in both bodies alike."""
    on_ring, at = skin(ring, height)
    on_head, where = skin(head, height)
    assert np.allclose(at, where, atol=1e-9), "the nodes of the joint do not match"
    normal = at[:2] / np.hypot(*at[:2])
    return Joint(on_ring, on_head + start, normal)


def skin(basis: skfem.Basis, height: float) -> tuple[Ints, Floats]:
    """Degrees of freedom (x, y) and places of the nodes on the joint, in one order."""
    mesh = basis.mesh

    def on_joint(x: Any) -> Any:
        # seen at the middle of its chord, a facet lies a little inside the circle
        beside = (x[2] > 1e-9) & (x[2] < height - 1e-9)
        return (abs(np.hypot(x[0], x[1]) - 1.0) < 0.05) & beside & (x[1] > 1e-9)

    facets = mesh.facets_satisfying(on_joint, boundaries_only=True)
    each = [basis.get_dofs(facets).all(f"u^{axis}") for axis in (1, 2)]
    at = basis.doflocs[:, each[0]]
    order = np.lexsort(np.round(np.array([np.arctan2(at[1], at[0]), at[2]]), 6))
    return np.array(each)[:, order], at[:, order]


def flat(basis: skfem.Basis, axis: int, at: float) -> Ints:
    """Degrees of freedom along `axis` on the plane where that coordinate is `at`."""
    facets = basis.mesh.facets_satisfying(lambda x: abs(x[axis] - at) < 1e-9, boundaries_only=True)
    dofs: Ints = basis.get_dofs(facets).all(f"u^{axis + 1}")
    return dofs


def lowest(basis: skfem.Basis, axis: int) -> Ints:
    """What keeps a body from drifting along `axis`: one node far from the joint."""
    dofs = basis.get_dofs().all(f"u^{axis + 1}")
    place = basis.doflocs[:, dofs]
    return dofs[[int(np.argmin(place[0] + 1e-3 * place[2]))]]


def in_the_plate(case: Case, cells: int = 6) -> float:
    """What the bridge costs in a plate: mean pressure with it over that without."""
    plate = bridge_model.Case(case.kind, case.wall, case.bridge, case.moduli, FAR)
    wide = replace(plate, bridge=(FAR - 1.0) / (2.0 if case.kind == "edge" else 1.0))
    found = (bridge_model.solve(each, cells).mean_pressure for each in (plate, wide))
    return next(found) / next(found)


def in_the_block(case: Case, cells: int = 2) -> float:
    """The same where the ring sits in its pocket."""
    without = mean_pressure(replace(case, bridge=math.inf), cells)
    return mean_pressure(case, cells) / without


def main() -> None:
    """Print both for seats of every day, and the power of the plate's factor the block's is."""
    usual = Case("edge", 31 / 38, 0.1, 205 / 72, 8 / 38)
    print(
        "| kind, bridge and height over joint, metal below | in the block | in the plate | power |"
    )
    for case in (
        *(replace(usual, bridge=bridge) for bridge in (0.05, 0.1, 0.25)),
        *(replace(usual, kind="neighbour", bridge=bridge) for bridge in (0.05, 0.1)),
        *(replace(usual, height=height) for height in (0.12, 0.3)),
        replace(usual, below=1.0),
        replace(usual, moduli=205 / 110),
        replace(usual, wall=0.88),
    ):
        block, plate = in_the_block(case), in_the_plate(case)
        said = f"{case.kind}, {case.bridge:g}, {case.height:.2f}, {case.below:g}"
        power = math.log(block) / math.log(plate)
        print(f"| {said} | {block:.3f} | {plate:.3f} | {power:.2f} |", flush=True)


if __name__ == "__main__":
    main()
