"""Declared stand-ins: what a curve borrows where its own rows end.

Beyond the last own node the stand-in's curve is taken over, moved and scaled to meet the own one:
the scale is own mean expansion over the stand-in's, both over the stretch nearest the joint
where the two overlap (80 K of it at most; with less than 40 K in common, the two slopes at the
joint). A material without any curve borrows the whole of it, unscaled, from 20 degC on.

The band grows from the joint on by the share of the borrowed strain that is uncertain: the
stand-in's own uncertainty, the own one of the scale, and the declared `extra_percent`, in
quadrature, since they have nothing to do with each other. Borrowed nodes say so for ever.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from specdb.build.observations import ROOM_C
from specdb.build.strain_curve import Strain

NEAREST = 80.0
ENOUGH = 40.0


def at(nodes: Sequence[Strain], where: float, field: str = "strain") -> float:
    """A field of a curve between its nodes, straight lines; the ends hold beyond."""
    return float(
        np.interp(where, [node.at for node in nodes], [getattr(node, field) for node in nodes])
    )


def borrowed(
    own: Sequence[Strain],
    stand_in: Sequence[Strain],
    *,
    above: bool,
    extra_percent: float,
    declared: tuple[str, ...],
) -> list[Strain]:
    """The nodes to add to `own` on one side (`above` or below its last node), nearest first.

    Empty where the stand-in reaches no further than `own`. `declared` is the id of the row that
    names the stand-in (or ids of the rows borrowed from).
    """
    joint = own[-1 if above else 0]
    if not stand_in or not stand_in[0].at - 1.0 <= joint.at <= stand_in[-1].at + 1.0:
        return []
    scale, own_share = (1.0, 0.0) if len(own) == 1 else _scale(own, stand_in, joint, above=above)
    beyond = [node for node in stand_in if (node.at > joint.at if above else node.at < joint.at)]
    found = []
    for node in beyond if above else reversed(beyond):
        grown = scale * (node.strain - at(stand_in, joint.at))
        far = abs(node.at - ROOM_C)
        their_share = node.half / max(abs(node.strain), 1.0) if far > 1.0 else 0.0
        share = math.hypot(own_share, their_share, extra_percent / 100.0)
        found.append(
            Strain(
                node.at,
                joint.strain + grown,
                joint.half + share * abs(grown),
                scale * node.slope,
                tuple(sorted({*joint.rows, *node.rows, *declared})),
                True,
            )
        )
    return found


def _scale(
    own: Sequence[Strain], stand_in: Sequence[Strain], joint: Strain, *, above: bool
) -> tuple[float, float]:
    """Own over borrowed mean expansion next to the joint, and the relative half-band of the own."""
    low, high = max(own[0].at, stand_in[0].at), min(own[-1].at, stand_in[-1].at)
    start, end = (max(low, joint.at - NEAREST), joint.at)
    if not above:
        start, end = (joint.at, min(high, joint.at + NEAREST))
    if end - start < ENOUGH:
        ratio = joint.slope / max(at(stand_in, joint.at, "slope"), 1e-3)
    else:
        ratio = (at(own, end) - at(own, start)) / (at(stand_in, end) - at(stand_in, start))
    outer = max((own[0], own[-1]), key=lambda node: abs(node.at - ROOM_C))
    near = [node for node in own if abs(node.at - ROOM_C) >= 60.0] or [outer]
    nearest = min(near, key=lambda node: abs(node.at - joint.at))
    return ratio, nearest.half / max(abs(nearest.strain), 1.0)
