"""Factors out of finite elements: how pockets and bridges differ from two plain rings."""

from __future__ import annotations

from specdb.records.rows.cells import Fact, Id, Key, Number


class PocketFactor(Fact):
    """How a ring in a pocket differs from two plain rings, for one shape: ratios to the formula.

    `wall_ratio` ring inside over outside, `height_ratio` height over diameter, `hub_ratio` joint
    over outside of the head metal, `below_ratio` metal below in ring heights, `modulus_ratio`
    ring over head.
    """

    id: Id
    placement: Key
    wall_ratio: Number
    height_ratio: Number
    hub_ratio: Number
    below_ratio: Number
    modulus_ratio: Number
    pressure_factor: Number
    squeeze_bottom: Number
    squeeze_middle: Number
    squeeze_top: Number
    stretch_factor: Number
    REFERENCES = {"placement": "vocabulary:placement"}


class BridgeFactor(Fact):
    """What thin metal on one side of a ring does, for one shape: ratios to endless metal all round.

    `wall_ratio` ring inside over outside, `bridge_ratio` bridge over joint diameter,
    `modulus_ratio` ring over head. Pressures are over that of the two-ring formula in endless
    metal, stretches over its stretch at the joint.
    """

    id: Id
    kind: Key
    wall_ratio: Number
    bridge_ratio: Number
    modulus_ratio: Number
    mean_pressure_factor: Number
    bridge_pressure_factor: Number
    bore_stretch_factor: Number
    bridge_stretch_factor: Number
    REFERENCES = {"kind": "vocabulary:bridge-kind"}
