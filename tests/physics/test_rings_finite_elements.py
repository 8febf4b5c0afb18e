"""The two-ring formulas against a finite-element solution that knows none of them.

Plane-stress elasticity on a quarter of both rings, quadratic quadrilaterals in x and y, the press
put in as the free growth U / d of the ring. Nothing of the thick-ring theory goes in: only the
law of elasticity and the geometry.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from skfem import (
    Basis,
    BilinearForm,
    BoundaryFacetBasis,
    ElementQuad2,
    ElementVector,
    InteriorFacetBasis,
    LinearForm,
    MeshQuad,
    MeshQuad2,
    condense,
    solve,
)
from skfem.helpers import ddot, sym_grad, trace

from specdb.physics import rings


@dataclass(frozen=True)
class Joint:
    joint_mm: float
    interference_mm: float
    ring_bore_mm: float
    hub_outer_mm: float
    ring_modulus_mpa: float
    ring_poisson: float
    hub_modulus_mpa: float
    hub_poisson: float


JOINTS = {
    "steel seat in aluminium": Joint(38.0, 0.14, 31.0, 76.0, 205e3, 0.29, 72e3, 0.33),
    "iron seat in iron": Joint(42.0, 0.08, 35.0, 57.0, 130e3, 0.26, 110e3, 0.26),
    "bronze guide in aluminium": Joint(12.0, 0.03, 7.0, 24.0, 110e3, 0.34, 72e3, 0.33),
}


def plane_stress(modulus: Any, poisson: Any, strain: Any) -> Any:
    """Stress of a strain, with none across the plane."""
    identity = np.eye(2)[:, :, None, None]
    shear = modulus / (1.0 + poisson)
    return shear * (strain + poisson / (1.0 - poisson) * trace(strain) * identity)


def quarter(joint: Joint) -> Any:
    r = [joint.ring_bore_mm / 2.0, joint.joint_mm / 2.0, joint.hub_outer_mm / 2.0]
    radii = np.concatenate([np.linspace(r[0], r[1], 17)[:-1], np.geomspace(r[1], r[2], 25)])
    mesh = MeshQuad2.from_mesh(MeshQuad.init_tensor(radii, np.linspace(0.0, np.pi / 2.0, 13)))
    radius, angle = mesh.doflocs
    return MeshQuad2(np.array([radius * np.cos(angle), radius * np.sin(angle)]), mesh.t)


def solved(joint: Joint) -> dict[str, float]:
    mesh = quarter(joint)
    middle = mesh.p[:, mesh.t[:4]].mean(axis=1)
    in_ring = np.hypot(*middle) < joint.joint_mm / 2.0
    modulus = np.where(in_ring, joint.ring_modulus_mpa, joint.hub_modulus_mpa)[:, None]
    poisson = np.where(in_ring, joint.ring_poisson, joint.hub_poisson)[:, None]
    growth = np.where(in_ring, joint.interference_mm / joint.joint_mm, 0.0)[:, None]
    element = ElementVector(ElementQuad2())
    basis = Basis(mesh, element, intorder=6)

    @BilinearForm
    def stiffness(u: Any, v: Any, w: Any) -> Any:
        return ddot(plane_stress(modulus, poisson, sym_grad(u)), sym_grad(v))

    @LinearForm
    def load(v: Any, w: Any) -> Any:
        free = np.eye(2)[:, :, None, None] * growth
        return ddot(plane_stress(modulus, poisson, free), sym_grad(v))

    fixed = np.unique(
        np.concatenate(
            [
                basis.get_dofs(lambda x: np.abs(x[0]) < 1e-9).all(["u^1"]),
                basis.get_dofs(lambda x: np.abs(x[1]) < 1e-9).all(["u^2"]),
            ]
        )
    )
    u = solve(*condense(stiffness.assemble(basis), load.assemble(basis), D=fixed))
    return read_stresses(joint, mesh, element, u)


def read_stresses(joint: Joint, mesh: Any, element: Any, u: Any) -> dict[str, float]:
    """Mean hoop and radial stress along the circles the formulas speak of."""
    ring = (joint.ring_modulus_mpa, joint.ring_poisson)
    hub = (joint.hub_modulus_mpa, joint.hub_poisson)
    free = joint.interference_mm / joint.joint_mm
    found = {}
    for name, diameter, metal, grown in (
        ("ring_bore", joint.ring_bore_mm, ring, free),
        ("ring_joint", joint.joint_mm, ring, free),
        ("hub_joint", joint.joint_mm, hub, 0.0),
        ("hub_outer", joint.hub_outer_mm, hub, 0.0),
    ):
        ends = np.hypot(*mesh.p[:, mesh.facets])
        facets = np.nonzero(np.all(np.abs(ends - diameter / 2.0) < 1e-9, axis=0))[0]
        basis = facet_basis(mesh, element, facets, metal is ring)
        strain = sym_grad(basis.interpolate(u)) - grown * np.eye(2)[:, :, None, None]
        stress = plane_stress(*metal, strain)
        points = np.asarray(basis.global_coordinates())
        outward = points / np.hypot(*points)
        radial = np.einsum("iab,ijab,jab->ab", outward, stress, outward)
        length = basis.dx.sum()
        found[f"{name}_hoop"] = float(((trace(stress) - radial) * basis.dx).sum() / length)
        found[f"{name}_radial"] = float((radial * basis.dx).sum() / length)
    return found


def facet_basis(mesh: Any, element: Any, facets: Any, inside: bool) -> Any:
    """The facets of one circle, seen from its inner side (the ring at the joint) or its outer."""
    if np.all(mesh.f2t[1, facets] == -1):
        return BoundaryFacetBasis(mesh, element, facets=facets, intorder=6)
    first = mesh.p[:, mesh.t[:4, mesh.f2t[0, facets]]].mean(axis=1)
    circle = np.hypot(*mesh.p[:, mesh.facets[0, facets]])
    first_inside = np.hypot(*first) < circle
    assert first_inside.all() or not first_inside.any()
    side = 0 if first_inside.all() == inside else 1
    return InteriorFacetBasis(mesh, element, facets=facets, intorder=6, side=side)


@pytest.mark.parametrize("joint", JOINTS.values(), ids=JOINTS)
def test_pressure_and_hoop_stress(joint: Joint) -> None:
    lame = rings.press_fit(**vars(joint))
    found = solved(joint)
    assert found["ring_joint_radial"] == pytest.approx(-lame.pressure_mpa, rel=2e-3)
    assert found["hub_joint_radial"] == pytest.approx(-lame.pressure_mpa, rel=2e-3)
    assert found["ring_bore_hoop"] == pytest.approx(lame.ring_hoop_bore_mpa, rel=1e-3)
    assert found["ring_joint_hoop"] == pytest.approx(lame.ring_hoop_joint_mpa, rel=1e-3)
    assert found["hub_joint_hoop"] == pytest.approx(lame.hub_hoop_joint_mpa, rel=1e-3)
    assert found["hub_outer_hoop"] == pytest.approx(lame.hub_hoop_outer_mpa, rel=1e-3)
    assert abs(found["ring_bore_radial"]) < 0.005 * lame.pressure_mpa
    assert abs(found["hub_outer_radial"]) < 0.005 * lame.pressure_mpa
