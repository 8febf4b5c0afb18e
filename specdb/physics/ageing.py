"""How much a warm hour ages an age-hardened casting, as time at the temperature that hardened it.

Arrhenius: with activation energy Q, a stay of t at T counts as::

    t exp[ Q / R (1 / T0 - 1 / T) ]        T, T0 in kelvin

at the reference temperature T0, that of the ageing step (155 degC for the usual Al-Si-Mg casting).
Good as an order of magnitude. Q differs from alloy to alloy and from paper to paper (100 to
140 kJ/mol); above about 165 degC published times to peak hardness are longer than the Q of their
own paper says, so that a hot short stay is made to look worse than it is. It says nothing of
where strength goes: that needs the alloy's own curve of hardness against time.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from specdb.physics.kinds import Rule, require
from specdb.physics.lame import between

REFERENCE_C = 155.0
"""Temperature of the ageing step that equivalent times are told for [degC]."""

_GAS = 8.31446261815324e-3  # kJ/(mol K), by definition of the SI
_ZERO_C = 273.15
_STEPS = 64  # of Simpson's rule for a stretch of changing temperature; even


def rate(at_c: float, activation_kj_mol: float, reference_c: float = REFERENCE_C) -> float:
    """How much faster an alloy ages at `at_c` than at `reference_c` [-]; both [degC].

    activation_kj_mol   activation energy [kJ/mol]
    Raises BadRequest below -200 degC, above 600 degC, and for energies outside 10 to 500 kJ/mol.
    """
    require(
        {"at_c": at_c, "reference_c": reference_c, "activation_kj_mol": activation_kj_mol},
        Rule("at_c", between(at_c, -200.0, 600.0), "-200 to 600 degC"),
        Rule("reference_c", between(reference_c, -200.0, 600.0), "-200 to 600 degC"),
        Rule("activation_kj_mol", between(activation_kj_mol, 10.0, 500.0), "10 to 500 kJ/mol"),
    )
    colder = 1.0 / (reference_c + _ZERO_C) - 1.0 / (at_c + _ZERO_C)
    return math.exp(activation_kj_mol / _GAS * colder)


def equivalent_hours(
    history: Iterable[tuple[float, float]],
    activation_kj_mol: float,
    reference_c: float = REFERENCE_C,
) -> float:
    """Hours at `reference_c` [degC] that age as much as a heating history.

    history             (hours since the start, degC) in order, straight lines between them; two
                        points of one time are a sudden change
    activation_kj_mol   activation energy [kJ/mol]
    Raises BadRequest for times that run backwards and what `rate` refuses.
    """
    points = list(history)
    total = 0.0
    for (start, cold), (end, hot) in pairwise(points):
        require({"history": end}, Rule("history", 0.0 <= end - start < math.inf, "times in order"))
        total += (end - start) * _mean_rate(cold, hot, activation_kj_mol, reference_c)
    return total


def held_hours(
    at_c: float, hours: float, activation_kj_mol: float, reference_c: float = REFERENCE_C
) -> float:
    """`equivalent_hours` of a stay of `hours` [h] at one temperature [degC]."""
    return equivalent_hours([(0.0, at_c), (hours, at_c)], activation_kj_mol, reference_c)


def _mean_rate(cold: float, hot: float, activation: float, reference_c: float) -> float:
    """Mean of `rate` along a straight line of temperature, by Simpson's rule."""
    if cold == hot:
        return rate(cold, activation, reference_c)
    total = 0.0
    for step in range(_STEPS + 1):
        weight = 1.0 if step in (0, _STEPS) else 4.0 if step % 2 else 2.0
        total += weight * rate(cold + (hot - cold) * step / _STEPS, activation, reference_c)
    return total / (3.0 * _STEPS)
