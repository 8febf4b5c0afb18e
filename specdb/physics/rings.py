"""Two rings of different materials pressed or shrunk together: thick-ring (Lame) elasticity.

Plane stress, linear elastic, round, of equal length, free to slide endwise, small strain. The
interference is *diametral*: outside of the inner ring minus bore of the outer one (the hub), both
at the temperature and in the state in question. With Q = joint / hub outside, q = ring bore /
joint (diameters), E the moduli and nu the Poisson ratios, i = ring, o = hub::

    beta_o = (1 + Q^2) / (1 - Q^2)            1 for an endless hub
    beta_i = (1 + q^2) / (1 - q^2)            1 for a solid inner part
    U / d  = p [ (beta_o + nu_o) / E_o + (beta_i - nu_i) / E_i ]

Source: classical theory of elasticity; checked against published worked examples and a
finite-element solution by the tests.
The traps: half of the books use radial interference, and a hub that is endless overstates the
pressure while it understates the stretch of the hub.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, cast, overload

from specdb.physics.kinds import Rule, V, plain, require
from specdb.physics.lame import (
    beta,
    between,
    check_hub,
    check_joint,
    check_ring,
    pressure_and_shapes,
)

if TYPE_CHECKING:
    from specdb.physics.kinds import Array

# Elements worked on at a time: the temporaries of a block stay in the cache of one core, so that
# a million joints cost little more than reading and writing them once.
_BLOCK = 16384


@dataclass(frozen=True, slots=True)
class PressFit(Generic[V]):
    """Pressure and stresses of a joint, MPa, tension positive; floats or arrays of one shape.

    `hoop` is the stress round the ring, `von_mises` the equivalent stress with no axial stress.
    """

    pressure_mpa: V
    ring_hoop_bore_mpa: V
    ring_hoop_joint_mpa: V
    hub_hoop_joint_mpa: V
    hub_hoop_outer_mpa: V
    ring_von_mises_joint_mpa: V
    hub_von_mises_joint_mpa: V

    @property
    def ring_von_mises_bore_mpa(self) -> V:
        """Equivalent stress at the bore of the ring, which governs the ring (pure hoop)."""
        return abs(self.ring_hoop_bore_mpa)


@overload
def press_fit(
    *,
    joint_mm: float,
    interference_mm: float,
    ring_bore_mm: float,
    hub_outer_mm: float,
    ring_modulus_mpa: float,
    ring_poisson: float,
    hub_modulus_mpa: float,
    hub_poisson: float,
) -> PressFit[float]: ...


@overload
def press_fit(
    *,
    joint_mm: float | Array,
    interference_mm: float | Array,
    ring_bore_mm: float | Array,
    hub_outer_mm: float | Array,
    ring_modulus_mpa: float | Array,
    ring_poisson: float | Array,
    hub_modulus_mpa: float | Array,
    hub_poisson: float | Array,
) -> PressFit[Any]: ...


def press_fit(
    *,
    joint_mm: Any,
    interference_mm: Any,
    ring_bore_mm: Any,
    hub_outer_mm: Any,
    ring_modulus_mpa: Any,
    ring_poisson: Any,
    hub_modulus_mpa: Any,
    hub_poisson: Any,
) -> PressFit[Any]:
    """Contact pressure and stresses of a ring in a hub.

    joint_mm          diameter of the joint [mm]
    interference_mm   diametral interference [mm], below the joint; zero or less: no pressure
    ring_bore_mm      bore of the ring [mm], 0 for a solid part (then "bore" is its centre)
    hub_outer_mm      outside diameter of the hub [mm], `inf` for endless metal
    ring_modulus_mpa, hub_modulus_mpa   Young's modulus [MPa]
    ring_poisson, hub_poisson           Poisson ratio [-]

    Floats, or arrays that broadcast; the result has their common shape. Raises BadRequest for
    sizes or constants that cannot be. Never NaN or infinite for what is accepted.
    """
    given = tuple(
        plain(value)
        for value in (
            joint_mm,
            interference_mm,
            ring_bore_mm,
            hub_outer_mm,
            ring_modulus_mpa,
            ring_poisson,
            hub_modulus_mpa,
            hub_poisson,
        )
    )
    if all(isinstance(value, float) for value in given):
        return PressFit(*_one_joint(given))
    return PressFit(*_by_blocks(given))


# In the ring the stresses round it are compression.
_COMPRESSION = (False, True, True, False, False, False, False)


def _one_joint(given: tuple[float, ...]) -> list[float]:
    check_joint(*given)
    pressure, *shapes = pressure_and_shapes(*cast(Any, given))
    stresses = [pressure, *(pressure * shape for shape in shapes)]
    # 0.0 - x and not -x: a joint with clearance has no stress, not a stress of minus zero.
    return [0.0 - x if minus else x for x, minus in zip(stresses, _COMPRESSION, strict=True)]


def _by_blocks(given: tuple[Any, ...]) -> tuple[Array, ...]:
    import numpy as np

    shape = np.broadcast_shapes(*(np.shape(value) for value in given))
    flat = [v if isinstance(v, float) else np.broadcast_to(v, shape).reshape(-1) for v in given]
    size = math.prod(shape)
    results = [np.empty(size) for _ in range(7)]
    for part in _parts(size):
        block = [v if isinstance(v, float) else v[part] for v in flat]
        check_joint(*block)
        pressure, *shapes = pressure_and_shapes(*cast(Any, block))
        results[0][part] = pressure
        for result, shape_, minus in zip(results[1:], shapes, _COMPRESSION[1:], strict=True):
            stress = np.multiply(pressure, shape_, out=result[part])
            if minus:
                np.subtract(0.0, stress, out=stress)
    return tuple(result.reshape(shape) for result in results)


def _parts(size: int) -> Iterator[slice]:
    return (slice(start, start + _BLOCK) for start in range(0, size, _BLOCK))


def joint_compliance(
    joint_mm: V,
    ring_bore_mm: V,
    hub_outer_mm: V,
    ring_modulus_mpa: V,
    ring_poisson: V,
    hub_modulus_mpa: V,
    hub_poisson: V,
) -> V:
    """Interference over diameter per MPa of pressure [1/MPa]; arguments as in `press_fit`."""
    d, bore, outer, e_i, nu_i, e_o, nu_o = (
        plain(value)
        for value in (
            joint_mm,
            ring_bore_mm,
            hub_outer_mm,
            ring_modulus_mpa,
            ring_poisson,
            hub_modulus_mpa,
            hub_poisson,
        )
    )
    check_joint(d, 0.0, bore, outer, e_i, nu_i, e_o, nu_o)
    return cast(V, (beta(d, outer) + nu_o) / e_o + (beta(bore, d) - nu_i) / e_i)


def interference_for_pressure(pressure_mpa: V, joint_mm: V, compliance_per_mpa: V) -> V:
    """Diametral interference [mm] that gives `pressure_mpa` [MPa] on `joint_mm` [mm].

    compliance_per_mpa   of the joint, from `joint_compliance` [1/MPa]
    """
    return cast(V, plain(pressure_mpa) * plain(joint_mm) * plain(compliance_per_mpa))


def interference_at(
    ring_outer_mm: V,
    bore_mm: V,
    ring_strain: V | float,
    hub_strain: V | float,
    smoothing_mm: V | float = 0.0,
) -> V:
    """Diametral interference at temperature [mm]: D (1 + e_ring) - d (1 + e_hub) - smoothing.

    ring_outer_mm, bore_mm    both at the reference temperature [mm]
    ring_strain, hub_strain   expansion from the reference temperature, dimensionless (1e-3, not
                              1000e-6), at the area-mean temperature of ring and of head
    smoothing_mm              interference lost as the roughness is flattened [mm]
    Below 0 it is clearance.
    """
    ring = plain(ring_outer_mm) * (1.0 + plain(ring_strain))
    return cast(V, ring - plain(bore_mm) * (1.0 + plain(hub_strain)) - plain(smoothing_mm))


def smoothing_mm(factor: V | float, ring_rz_mm: V, hub_rz_mm: V) -> V:
    """Diametral interference lost to flattened roughness [mm]: factor x (sum of both Rz [mm]).

    factor   0.4 in DIN 7190-1:2017, 0.8 in DIN 7190:2001 [-]; both empirical
    """
    return cast(V, plain(factor) * (plain(ring_rz_mm) + plain(hub_rz_mm)))


def axial_force(pressure_mpa: V, friction: V | float, joint_mm: V, length_mm: V) -> V:
    """Force to slide the joint endwise [N]: friction x pressure [MPa] x pi d [mm] x length [mm].

    For pressing in take a high friction, for holding a low one; greatest at full engagement.
    """
    area = plain(joint_mm) * math.pi * plain(length_mm)
    return cast(V, plain(friction) * plain(pressure_mpa) * area)


def close_in_mm(pressure_mpa: V, joint_mm: V, ring_bore_mm: V, ring_modulus_mpa: V) -> V:
    """How much the bore of the ring shrinks, on diameter [mm], under `pressure_mpa` [MPa] outside.

    2 p d^2 d0 / (E (d^2 - d0^2)); arguments [mm], [MPa]. This is what a guide closes in.
    """
    bore, d = plain(ring_bore_mm), plain(joint_mm)
    check_ring(bore, d)
    return cast(V, plain(pressure_mpa) * bore * (beta(bore, d) + 1.0) / plain(ring_modulus_mpa))


def elastic_limit_ring(yield_mpa: V, ring_bore_mm: V, joint_mm: V) -> V:
    """Pressure at which the bore of the ring begins to yield [MPa]: Y (1 - q^2) / 2.

    yield_mpa                 compressive yield strength [MPa]
    ring_bore_mm, joint_mm    [mm], q = bore / joint; a solid part (bore 0) begins at Y
    Pure hoop compression: every yield criterion says the same.
    """
    strength, bore, d = plain(yield_mpa), plain(ring_bore_mm), plain(joint_mm)
    check_ring(bore, d)
    q = bore / d
    return cast(V, strength * (1.0 - q * q) / (1.0 + (bore > 0.0)))


def pressure_ceiling_ring(yield_mpa: V, ring_bore_mm: V, joint_mm: V) -> V:
    """Greatest pressure the ring can carry [MPa]: Y (1 - q), every fibre at -Y round the ring.

    yield_mpa   compressive yield strength [MPa]; ring_bore_mm, joint_mm [mm], q = bore / joint
    Perfectly plastic; more interference only squeezes the ring, the pressure stays.
    """
    strength, bore, d = plain(yield_mpa), plain(ring_bore_mm), plain(joint_mm)
    check_ring(bore, d)
    return cast(V, strength * (1.0 - bore / d))


def elastic_limit_hub(yield_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Pressure at which the bore of the hub begins to yield [MPa], von Mises, plane stress.

    Y (1 - Q^2) / sqrt(3 + Q^4), Q = joint / hub outside
    yield_mpa                 tensile yield (proof) strength [MPa]
    joint_mm, hub_outer_mm    [mm]; hub_outer_mm may be inf
    """
    strength, d, outer = plain(yield_mpa), plain(joint_mm), plain(hub_outer_mm)
    check_hub(d, outer)
    square = (d / outer) ** 2
    return cast(V, strength * (1.0 - square) / (3.0 + square * square) ** 0.5)


def cracking_pressure_hub(tensile_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Pressure at which a brittle hub reaches its tensile strength at the bore [MPa]: R / beta_o.

    tensile_mpa               tensile strength [MPa], for iron, which cracks and does not yield
    joint_mm, hub_outer_mm    [mm]; hub_outer_mm may be inf
    """
    strength, d, outer = plain(tensile_mpa), plain(joint_mm), plain(hub_outer_mm)
    check_hub(d, outer)
    return cast(V, strength / beta(d, outer))


def equivalent_hub_mm(joint_mm: V, thinnest_metal_mm: V) -> V:
    """Outside diameter of a hub as thick all round as the thinnest metal [mm]: d + 2 t.

    joint_mm            diameter of the joint [mm]
    thinnest_metal_mm   metal between the counterbore and the nearest neighbour, water or edge [mm]

    Its limits (derived: finite elements of a steel ring 38/31 in aluminium with one straight
    edge). Thin on one side only, the real joint holds more than this hub says (t = 8 mm: 69
    against 54 MPa on the mean), and the stretch of the metal peaks higher (191 against 159 MPa).
    So it is a low figure for the grip and no upper figure for the stretch between seats.
    """
    d, metal = plain(joint_mm), plain(thinnest_metal_mm)
    require(
        {"joint_mm": d, "thinnest_metal_mm": metal},
        Rule("joint_mm", between(d, 1e-6, 1e6), "a diameter from 1e-6 to 1e6 mm"),
        Rule("thinnest_metal_mm", (metal > 0.0) & (d + 2.0 * metal > d), "more than 0"),
    )
    return cast(V, d + 2.0 * metal)
