"""The thick-ring (Lame) formulas themselves, each written once, and what they can be asked.

They serve a float and a block of an array alike. Notation as in `specdb.physics.rings`.
"""

from __future__ import annotations

import math
from typing import Any

from specdb.physics.kinds import Rule, V, is_number, require


def pressure_and_shapes(
    d: V, press: V, bore: V, outer: V, e_i: V, nu_i: V, e_o: V, nu_o: V
) -> tuple[V, ...]:
    """The formulas, once, for a float and for a block of an array.

    The pressure, and each further stress of PressFit, in its order, as a multiple of it.
    """
    beta_i, beta_o = beta(bore, d), beta(d, outer)
    # In place, which a float takes too: fewer blocks in the cache. One division, not four:
    # p = U E_i E_o / (d (compliance of hub and ring) E_i E_o).
    soft = beta_i - nu_i
    soft *= e_o
    hub = beta_o + nu_o
    hub *= e_i
    soft += hub
    soft *= d
    # U + |U| is 2 U where it presses and exactly zero where there is clearance.
    pressure = press + abs(press)
    pressure *= 0.5
    pressure *= e_i
    pressure *= e_o
    pressure /= soft
    return (
        pressure,
        beta_i + (bore > 0.0),  # a hole, however small, carries beta + 1; a solid centre 1
        beta_i,
        beta_o,
        beta_o - 1.0,
        _equivalent(beta_i, -1.0),
        _equivalent(beta_o, 1.0),
    )


def beta(inner: V, outer: V) -> V:
    """(1 + k^2) / (1 - k^2) with k = inner / outer; 1 for a solid part or endless metal."""
    square = inner / outer
    square *= square
    top = 1.0 + square
    top /= 1.0 - square
    return top


def _equivalent(hoop: V, sign: float) -> V:
    """Equivalent stress over pressure where hoop is +-`hoop` and radial -1, in pressures."""
    square = hoop + sign
    square *= hoop
    square += 1.0
    square **= 0.5
    return square  # type: ignore[no-any-return]  # float ** float is Any to the checker


def check_joint(
    d: Any, press: Any, bore: Any, outer: Any, e_i: Any, nu_i: Any, e_o: Any, nu_o: Any
) -> None:
    """Refuse a joint that cannot be; arguments in the order of `press_fit`."""
    if type(d) is type(bore) is type(outer) is type(press) is float:
        sizes = 0.0 <= bore < d < outer and 1e-6 <= d <= 1e6 and -1e6 <= press < d
        stiff = all(type(e) is float and 1.0 <= e <= 1e7 for e in (e_i, e_o))
        if sizes and stiff and all(type(n) is float and -0.999 <= n <= 0.999 for n in (nu_i, nu_o)):
            return  # one fine joint: no message is needed, and there are many of them
    given = {
        "joint_mm": d,
        "interference_mm": press,
        "ring_bore_mm": bore,
        "hub_outer_mm": outer,
        "ring_modulus_mpa": e_i,
        "ring_poisson": nu_i,
        "hub_modulus_mpa": e_o,
        "hub_poisson": nu_o,
    }
    require(
        given,
        Rule("joint_mm", between(d, 1e-6, 1e6), "a diameter from 1e-6 to 1e6 mm"),
        Rule("ring_bore_mm", between(bore, 0.0), "0 (solid) or more"),
        Rule("ring_bore_mm", bore < d, "less than the joint diameter"),
        Rule("hub_outer_mm", outer > d, "more than the joint diameter, or inf"),
        Rule("interference_mm", between(press, -1e6), "a finite length"),
        Rule("interference_mm", press < d, "less than the joint diameter"),
        *(
            Rule(name, between(given[name], 1.0, 1e7), "1 to 1e7 MPa")
            for name in ("ring_modulus_mpa", "hub_modulus_mpa")
        ),
        *(
            Rule(name, between(given[name], -0.999, 0.999), "-0.999 to 0.999")
            for name in ("ring_poisson", "hub_poisson")
        ),
    )


def between(value: Any, least: float, most: float = math.inf) -> Any:
    """Whether `value` lies in the closed range; for an array one bool each if some do not."""
    if is_number(value):
        return bool(least <= value <= most)
    # Two reductions are cheaper than two arrays of bools, and both are NaN where there is one.
    if not value.size or (value.min() >= least and (most == math.inf or value.max() <= most)):
        return True
    return (value >= least) & (value <= most)


def check_ring(bore: Any, d: Any) -> None:
    """Refuse a ring whose bore is not inside its outside."""
    if type(bore) is type(d) is float and 0.0 <= bore < d and 1e-6 <= d <= 1e6:
        return
    require(
        {"ring_bore_mm": bore, "joint_mm": d},
        Rule("joint_mm", between(d, 1e-6, 1e6), "a diameter from 1e-6 to 1e6 mm"),
        Rule("ring_bore_mm", between(bore, 0.0), "0 (solid) or more"),
        Rule("ring_bore_mm", bore < d, "less than the joint diameter"),
    )


def check_hub(d: Any, outer: Any) -> None:
    """Refuse a hub whose outside is not outside its bore."""
    if type(d) is type(outer) is float and 1e-6 <= d <= 1e6 and outer > d:
        return
    require(
        {"joint_mm": d, "hub_outer_mm": outer},
        Rule("joint_mm", between(d, 1e-6, 1e6), "a diameter from 1e-6 to 1e6 mm"),
        Rule("hub_outer_mm", outer > d, "more than the joint diameter, or inf"),
    )
