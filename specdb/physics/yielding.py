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
from specdb.physics.lame import between, check_hub

NEVER = 1e9
"""A strength [MPa] that stands for "does not yield"; a greater one, `inf` too, is taken as this."""
_NEWTON = 60


def ceiling_hub(yield_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Greatest pressure a hub can carry [MPa]: Y ln(D / d), at most Y.

    yield_mpa               strength [MPa], `inf` for a hub that never yields
    joint_mm, hub_outer_mm  [mm]; hub_outer_mm may be inf
    """
    d, outer = plain(joint_mm), plain(hub_outer_mm)
    check_hub(d, outer)
    return cast(V, _strength(yield_mpa) * _at_most(-_log(d / outer), 1.0))


def hub_flow_strength(yield_mpa: V, joint_mm: V, hub_outer_mm: V) -> V:
    """Strength [MPa] that makes a hub begin to yield here where von Mises says it does.

    2 Y / sqrt(3 + Q^4), 15 % above Y in thick metal. The laws of this module take the greatest
    difference of stresses; tests of ductile metal lie nearer to von Mises, in a ring both agree.
    yield_mpa [MPa]; joint_mm, hub_outer_mm [mm], hub_outer_mm may be inf
    """
    d, outer = plain(joint_mm), plain(hub_outer_mm)
    check_hub(d, outer)
    return cast(V, plain(yield_mpa) * 2.0 / (3.0 + (d / outer) ** 4) ** 0.5)


def ring_loss(share: float, q: float) -> float:
    """How much smaller a ring stays on its outside once let go, over its diameter, in Y / E [-].

    share   pressure on its outside over its strength, p / Y, at most 1 - q [-]
    q       bore over outside, above 0 [-]
    Zero while elastic; at the ceiling the least it can be, since there the ring gives way without
    more pressure. Floats, unchecked: it stands in the innermost loop.
    """
    first = (1.0 - q * q) / 2.0
    if share <= first:
        return 0.0
    return max(2.0 - q / ring_front(share, q) - share / first, 0.0)


def ring_front(share: float, q: float) -> float:
    """How far a ring yields from its bore, c / d [-]; q while elastic. Arguments as in `ring_loss`.

    k - sqrt(k^2 - 1) with k = (1 - p / Y) / q; as 1 / (k + sqrt(k^2 - 1)) it loses no digits for a
    large k.
    """
    k = max((1.0 - max(share, (1.0 - q * q) / 2.0)) / q, 1.0)
    return max(1.0 / (k + math.sqrt(k * k - 1.0)), q)


def hub_loss(share: float, ratio: float) -> float:
    """How much larger a hub stays in its bore once let go, over its diameter, in Y / E [-].

    share   pressure in its bore over its strength, p / Y, at most that of `ceiling_hub` [-]
    ratio   joint over outside, 0 for endless metal [-]
    Zero while elastic; at the ceiling the least it can be. Floats, unchecked.
    """
    first = (1.0 - ratio * ratio) / 2.0
    if share <= first:
        return 0.0
    front = hub_front(share, ratio)
    return max(front * front - share / first, 0.0)


def hub_front(share: float, ratio: float) -> float:
    """How far a hub yields from its bore, c / d [-]; 1 while elastic. Arguments as in `hub_loss`.

    The root g of ln g - g^2 Q^2 / 2 + 1/2 = p / Y, from 1 to 1 / Q. Newton's steps from 1 come up
    to the root from below and never pass it, since the left side bends down all the way; at the
    very ceiling, where it is level, they halve the way each time.
    """
    squared = ratio * ratio
    begun = max(share, (1.0 - squared) / 2.0)
    most = 1.0 / max(ratio, 1e-12)
    front = 1.0
    for _ in range(_NEWTON):
        missing = begun - (math.log(front) - front * front * squared / 2.0 + 0.5)
        step = max(missing, 0.0) / max(1.0 / front - front * squared, 1e-12)
        front = min(front + step, most)
        if step < 1e-15:
            break
    return front


def _strength(given: Any) -> Any:
    value = plain(given)
    require({"yield_mpa": value}, Rule("yield_mpa", between(value, 1e-3), "1e-3 MPa or more"))
    return _at_most(value, NEVER)


def _at_most(value: Any, most: Any) -> Any:
    if is_number(value) and is_number(most):
        return min(float(value), float(most))
    import numpy as np

    return np.minimum(value, most)


def _log(value: Any) -> Any:
    """Natural logarithm; of zero, minus infinity, which endless metal has for its share."""
    if is_number(value):
        return math.log(value) if value > 0.0 else -math.inf
    import numpy as np

    with np.errstate(divide="ignore"):
        return np.log(value)
