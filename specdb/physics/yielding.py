"""Rings that yield: how far, what they still carry, and what they lose for good.

Plane stress, small strain, elastic and then perfectly plastic (no hardening), yielding by the
greatest difference of principal stresses (Tresca) with the flow that goes with it; the two parts
free to slide endwise. Lengths are diameters in mm, strengths and pressures MPa. With d the joint,
Y the strength, E and nu of the part, c the diameter to which it has yielded from its inside:

Ring under outside pressure, bore d0, q = d0 / d. Round the ring the stress is the only large one,
so where it has yielded it is -Y, and the metal flows in that direction and endwise alone::

    first yield   p = Y (1 - q^2) / 2
    between       p = Y [1 - (d0 / 2c) (1 + c^2 / d^2)],     c from d0 to d
    ceiling       p = Y (1 - q), the whole wall at -Y; more press only makes the ring smaller
    outside       -u / d = [Y (2 - d0 / c) - (1 + nu) p] / E

Hub under inside pressure, outside D, Q = d / D; radial and hoop stress differ by Y::

    first yield   p = Y (1 - Q^2) / 2
    between       p = Y [(1 - c^2 / D^2) / 2 + ln(c / d)]
    ceiling       p = Y ln(D / d), but at most Y: in a thin plate no more can be carried
    bore          u / d = [Y c^2 / d^2 - (1 - nu) p] / E

Let go, a ring springs back elastically. So does a hub up to twice its first-yield pressure, which
the ceiling passes only where D is above 2.2 d and the fit is let go from beyond it: there the set
given here is a little too large.

Source: classical theory of plasticity (the hub's pressure in every textbook on thick cylinders,
recalled); the rest derived. Checked against an incremental finite-element solution by the tests.
"""

from __future__ import annotations

import math
from typing import Any, cast

from specdb.physics.kinds import Rule, V, is_number, plain, require
from specdb.physics.lame import between, check_hub, check_ring

NEVER = 1e9
"""A strength [MPa] that stands for "does not yield"; a greater one, `inf` too, is taken as this."""
_NEWTON = 60


def ring_yielded_to_mm(pressure_mpa: V, yield_mpa: V, ring_bore_mm: V, joint_mm: V) -> V:
    """Diameter to which a ring has yielded from its bore [mm]; the bore itself while elastic.

    pressure_mpa              on its outside [MPa], at most its ceiling, which counts for more
    yield_mpa                 compressive yield strength [MPa], `inf` for a ring that never yields
    ring_bore_mm, joint_mm    [mm], bore above 0
    Floats or arrays that broadcast. c / d = k - sqrt(k^2 - 1) with k = (1 - p / Y) / q.
    """
    share, q = _ring(pressure_mpa, yield_mpa, ring_bore_mm, joint_mm)
    return cast(V, _ring_front(share, q) * plain(joint_mm))


def ring_set(pressure_mpa: V, yield_mpa: V, ring_bore_mm: V, joint_mm: V, ring_modulus_mpa: V) -> V:
    """How much smaller a ring stays on its outside once let go, over its diameter [-].

    Arguments as in `ring_yielded_to_mm`, and Young's modulus [MPa]. Zero while elastic; at the
    ceiling the least it can be, since there the ring gives way without more pressure.
    """
    share, q = _ring(pressure_mpa, yield_mpa, ring_bore_mm, joint_mm)
    return cast(V, ring_loss(share, q) * _strength(yield_mpa) / plain(ring_modulus_mpa))


def ceiling_hub(yield_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Greatest pressure a hub can carry [MPa]: Y ln(D / d), at most Y.

    yield_mpa               strength [MPa], `inf` for a hub that never yields
    joint_mm, hub_outer_mm  [mm]; hub_outer_mm may be inf
    """
    d, outer = plain(joint_mm), plain(hub_outer_mm)
    check_hub(d, outer)
    return cast(V, _strength(yield_mpa) * _at_most(-_log(d / outer), 1.0))


def hub_yielded_to_mm(pressure_mpa: V, yield_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Diameter to which a hub has yielded from its bore [mm]; the bore itself while elastic.

    pressure_mpa             in its bore [MPa], at most `ceiling_hub`, which counts for more
    yield_mpa                strength [MPa], `inf` for a hub that never yields
    joint_mm, hub_outer_mm   [mm]; hub_outer_mm may be inf
    """
    share, ratio = _hub(pressure_mpa, yield_mpa, joint_mm, hub_outer_mm)
    return cast(V, _hub_front(share, ratio) * plain(joint_mm))


def hub_set(pressure_mpa: V, yield_mpa: V, joint_mm: V, hub_outer_mm: V, hub_modulus_mpa: V) -> V:
    """How much larger a hub stays in its bore once let go, over its diameter [-].

    Arguments as in `hub_yielded_to_mm`, and Young's modulus [MPa]. Zero while elastic; at the
    ceiling the least it can be.
    """
    share, ratio = _hub(pressure_mpa, yield_mpa, joint_mm, hub_outer_mm)
    return cast(V, hub_loss(share, ratio) * _strength(yield_mpa) / plain(hub_modulus_mpa))


def hub_flow_strength(yield_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Strength [MPa] that makes a hub begin to yield here where von Mises says it does.

    2 Y / sqrt(3 + Q^4), 15 % above Y in thick metal. The laws of this module take the greatest
    difference of stresses; tests of ductile metal lie nearer to von Mises, in a ring both agree.
    yield_mpa [MPa]; joint_mm, hub_outer_mm [mm], hub_outer_mm may be inf
    """
    d, outer = plain(joint_mm), plain(hub_outer_mm)
    check_hub(d, outer)
    return cast(V, plain(yield_mpa) * 2.0 / (3.0 + (d / outer) ** 4) ** 0.5)


def ring_loss(share: V, q: V) -> V:
    """`ring_set` in units of Y / E, from p / Y (at most 1 - q) and q = bore / joint; unchecked."""
    first = (1.0 - q * q) / 2.0
    lost = 2.0 - q / _ring_front(_at_least(share, first), q) - share / first
    return cast(V, _at_least(lost, 0.0) * (share > first))


def hub_loss(share: V, ratio: V) -> V:
    """`hub_set` in units of Y / E, from p / Y (at most the ceiling's) and joint / outside;
    unchecked."""
    first = (1.0 - ratio * ratio) / 2.0
    front = _hub_front(_at_least(share, first), ratio)
    return cast(V, _at_least(front * front - share / first, 0.0) * (share > first))


def _ring(pressure: Any, strength: Any, bore: Any, d: Any) -> tuple[Any, Any]:
    """Pressure over strength, up to the ceiling, and bore over outside."""
    inner, outer = plain(bore), plain(d)
    check_ring(inner, outer)
    require({"ring_bore_mm": inner}, Rule("ring_bore_mm", inner > 0.0, "more than 0"))
    q = inner / outer
    return _at_most(_share(pressure, strength), 1.0 - q), q


def _hub(pressure: Any, strength: Any, d: Any, outer: Any) -> tuple[Any, Any]:
    """Pressure over strength, up to the ceiling, and bore over outside."""
    joint, outside = plain(d), plain(outer)
    check_hub(joint, outside)
    ratio = joint / outside
    return _at_most(_share(pressure, strength), _at_most(-_log(ratio), 1.0)), ratio


def _share(pressure: Any, strength: Any) -> Any:
    given = plain(pressure)
    require({"pressure_mpa": given}, Rule("pressure_mpa", between(given, 0.0, 1e7), "0 to 1e7 MPa"))
    return given / _strength(strength)


def _strength(given: Any) -> Any:
    value = plain(given)
    require({"yield_mpa": value}, Rule("yield_mpa", between(value, 1e-3), "1e-3 MPa or more"))
    return _at_most(value, NEVER)


def _ring_front(share: Any, q: Any) -> Any:
    """How far a ring yields, c / d. As 1 / (k + sqrt(k^2 - 1)) it loses no digits for a large k."""
    k = _at_least((1.0 - share) / q, 1.0)
    return _at_least(1.0 / (k + (k * k - 1.0) ** 0.5), q)


def _hub_front(share: Any, ratio: Any) -> Any:
    """How far a hub yields, c / d: the root g of ln g - g^2 Q^2 / 2 + 1/2 = p / Y, from 1 to 1 / Q.

    Newton's steps from 1 come up to the root from below and never pass it, since the left side
    bends down all the way; at the very ceiling, where it is level, they halve the way each time.
    """
    begun = _at_least(share, (1.0 - ratio * ratio) / 2.0)
    squared = ratio * ratio
    front = begun * 0.0 + 1.0
    for _ in range(_NEWTON):
        missing = begun - (_log(front) - front * front * squared / 2.0 + 0.5)
        slope = 1.0 / front - front * squared
        step = _at_least(missing, 0.0) / _at_least(slope, 1e-12)
        front = _at_most(front + step, 1.0 / _at_least(ratio, 1e-12))
        if _all_below(step, 1e-15):
            break
    return front


def _at_least(value: Any, least: Any) -> Any:
    if is_number(value) and is_number(least):
        return max(float(value), float(least))
    import numpy as np

    return np.maximum(value, least)


def _at_most(value: Any, most: Any) -> Any:
    if is_number(value) and is_number(most):
        return min(float(value), float(most))
    import numpy as np

    return np.minimum(value, most)


def _all_below(value: Any, most: float) -> bool:
    return bool(value < most) if is_number(value) else bool((value < most).all())


def _log(value: Any) -> Any:
    """Natural logarithm; of zero, minus infinity, which endless metal has for its share."""
    if is_number(value):
        return math.log(value) if value > 0.0 else -math.inf
    import numpy as np

    with np.errstate(divide="ignore"):
        return np.log(value)
