"""A ring pressed into a head: pressure, stresses and forces with their bands, over plain figures.

The two-ring formula of `specdb.physics.rings`, and what yields of ring and head
(`specdb.physics.hot_cycle`), once at the figures given and once for each end of each band
(`specdb.estimate.propagate`): diameters and smoothing are limits; expansion, stiffness, strength,
friction and the factor of the pocket are spreads.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from specdb.estimate import Estimate, exact, propagate
from specdb.physics import hot_cycle, lame, rings, yielding

SIZES = ("insert_diameter", "bore", "smoothing", "insert_strain", "head_strain")
ELASTIC = (*SIZES, "insert_modulus", "insert_poisson", "head_modulus", "head_poisson")
SHAPED = (*ELASTIC, "pocket")
CAPPED = (*SHAPED, "insert_strength")
CEILING = ("bore", "insert_strength")
USES = {
    "interference_mm": SIZES,
    "pressure_formula_mpa": ELASTIC,
    "insert_hoop_bore_mpa": SHAPED,
    "insert_hoop_outer_mpa": SHAPED,
    "insert_von_mises_mpa": SHAPED,
    "press_force_n": (*CAPPED, "press_friction"),
    "hold_force_n": (*CAPPED, "hold_friction"),
    "pressure_ceiling_mpa": CEILING,
    "head_set_mm": (*CAPPED, "head_strength"),
    "head_yield_ratio": (*CAPPED, "head_strength"),
    "insert_yield_press_mm": (*CEILING, *SHAPED[len(SIZES) :]),
    "head_limit_pressure_mpa": ("bore", "head_strength", "pocket"),
}
"""The inputs a figure stands on, so that it names no other rows; those not here: `CAPPED`,
and the strength of a head that yields."""

UNITS = {
    "interference_mm": "mm",
    "pressure_mpa": "MPa",
    "pressure_formula_mpa": "MPa",
    "insert_hoop_bore_mpa": "MPa",
    "insert_hoop_outer_mpa": "MPa",
    "head_hoop_bore_mpa": "MPa",
    "insert_von_mises_mpa": "MPa",
    "head_von_mises_mpa": "MPa",
    "press_force_n": "N",
    "hold_force_n": "N",
}


FROM_ZERO = (0.0, math.inf)
BOUNDS = {
    "pressure_mpa": FROM_ZERO,
    "pressure_formula_mpa": FROM_ZERO,
    "insert_hoop_bore_mpa": (-math.inf, 0.0),
    "insert_hoop_outer_mpa": (-math.inf, 0.0),
    "head_hoop_bore_mpa": FROM_ZERO,
    "insert_von_mises_mpa": FROM_ZERO,
    "head_von_mises_mpa": FROM_ZERO,
    "press_force_n": FROM_ZERO,
    "hold_force_n": FROM_ZERO,
    "insert_yield_ratio": FROM_ZERO,
    "insert_set_mm": FROM_ZERO,
    "insert_yield_press_mm": FROM_ZERO,
    "pressure_ceiling_mpa": FROM_ZERO,
    "head_yield_ratio": FROM_ZERO,
    "head_set_mm": FROM_ZERO,
    "head_limit_pressure_mpa": FROM_ZERO,
}
"""What these figures can be: a fit that does not press has none of them."""
BENT = {"insert_set_mm": "insert_yield_ratio", "head_set_mm": "head_yield_ratio"}
"""Nothing until a part yields, and then a lot; driven by how near it is."""
OF_RING = {
    "insert_yield_ratio": "1",
    "insert_set_mm": "mm",
    "insert_yield_press_mm": "mm",
    "pressure_ceiling_mpa": "MPa",
}
OF_HEAD = {"head_yield_ratio": "1", "head_set_mm": "mm", "head_limit_pressure_mpa": "MPa"}
"""Figures that need the strength of the part."""


@dataclass(frozen=True, slots=True)
class Part:
    """Ring or head at its temperature: strain from 20 degC (1), stiffness and strength (MPa).

    `strength` is what `limit` compares with: yield, or tensile strength where it `cracks`; None
    where nobody knows it.
    """

    strain: Estimate
    modulus: Estimate
    poisson: Estimate
    strength: Estimate | None
    limit: str


@dataclass(frozen=True, slots=True)
class Press:
    """What a fit depends on: lengths in mm at 20 degC, friction (1)."""

    insert_diameter: Estimate
    bore: Estimate
    smoothing: Estimate
    insert_inner: float
    height: float
    insert: Part
    head: Part
    press_friction: Estimate
    hold_friction: Estimate

    def spreads(self) -> dict[str, Estimate]:
        """The inputs that are spreads, under the names `_outcome` takes them by."""
        named = {
            "insert_strain": self.insert.strain,
            "insert_modulus": self.insert.modulus,
            "insert_poisson": self.insert.poisson,
            "insert_strength": self.insert.strength,
            "head_strain": self.head.strain,
            "head_modulus": self.head.modulus,
            "head_poisson": self.head.poisson,
            "head_strength": self.head.strength,
            "press_friction": self.press_friction,
            "hold_friction": self.hold_friction,
        }
        return {name: given for name, given in named.items() if given is not None}


ONE = exact(1.0, "1")


@dataclass(frozen=True, slots=True)
class Pocket:
    """What the shape of the head does to the two-ring formula.

    `factor`: pressure over the formula's. Per unit of that, over the formula's: `squeeze` of the
    ring at its inside, half-way up, and `stretch` of the head, there too.
    """

    factor: Estimate
    squeeze: float = 1.0
    stretch: Estimate = ONE


PLAIN = Pocket(ONE)
"""The formula as it is."""


@dataclass(frozen=True, slots=True)
class Hub:
    """The head metal round the ring: of outside diameter `outer`, or `metal` thick, mm."""

    outer: float = math.inf
    metal: float | None = None
    pocket: Pocket = PLAIN

    def diameter(self, bore: float) -> float:
        """Outside diameter of the metal round a counterbore of `bore`, mm."""
        return self.outer if self.metal is None else rings.equivalent_hub_mm(bore, self.metal)


def figures(press: Press, hub: Hub) -> dict[str, Estimate]:
    """Every figure of `UNITS`, and where strengths are known those of `OF_RING` and `OF_HEAD`.

    And `grip_mm`, the interference at 20 degC that ring and head give back when it is let go.
    """
    units = UNITS | {"grip_mm": "mm"}
    if press.insert.strength is not None:
        units |= OF_RING
    if press.head.strength is not None:
        units |= OF_HEAD

    def outcome(**at: float) -> dict[str, float]:
        return _outcome(press, hub, at)

    limits = {
        "insert_diameter": press.insert_diameter,
        "bore": press.bore,
        "smoothing": press.smoothing,
    }
    spreads = press.spreads()
    if hub.pocket is not PLAIN:
        spreads |= {"pocket": hub.pocket.factor, "stretch": hub.pocket.stretch}
    found = propagate(
        outcome,
        units=units,
        limits=limits,
        spreads=spreads,
        bounds=BOUNDS,
        bent={loss: driver for loss, driver in BENT.items() if loss in units},
    )
    inputs = {**limits, **spreads}
    usual: tuple[str, ...] = CAPPED
    if "head_set_mm" in found and found["head_set_mm"].high > 0.0:
        # A head that does not yield has no say in the pressure.
        usual = (*CAPPED, "head_strength")
    return {name: _sourced(figure, USES.get(name, usual), inputs) for name, figure in found.items()}


def _sourced(figure: Estimate, uses: Iterable[str], inputs: dict[str, Estimate]) -> Estimate:
    """The figure with the rows of the inputs it depends on: no expansion of a part at 20 degC,
    where it has none whatever its rows say."""
    used = [inputs[each] for each in uses if each in inputs]
    used = [each for each in used if (each.low, each.high) != (0.0, 0.0)]
    return replace(figure, sources=tuple(row for each in used for row in each.sources))


def interference(at: dict[str, float]) -> float:
    """Interference on diameter at temperature, smoothing taken off, mm; negative is clearance."""
    return rings.interference_at(
        at["insert_diameter"],
        at["bore"],
        at["insert_strain"],
        at["head_strain"],
        at["smoothing"],
    )


def sizes(press: Press, hub: Hub, at: Mapping[str, float]) -> hot_cycle.Sizes:
    """The diameters of the joint."""
    return hot_cycle.Sizes(at["bore"], press.insert_inner, hub.diameter(at["bore"]))


def state(press: Press, hub: Hub, at: Mapping[str, float]) -> hot_cycle.State:
    """Stiffness and strength of both parts; one whose strength nobody knows never yields, nor
    does a head that cracks.

    The ring yields by the mean pressure over its height, of which its ceiling is made; half-way up
    it is squeezed by `Pocket.squeeze` of that, by the table seldom more than the whole, so what it
    loses may begin a little before `insert_yield_ratio` comes to 1, never late.
    """
    strength = at.get("head_strength", math.inf) * _relief(hub, at)
    if press.head.limit == "cracks":
        strength = math.inf
    return hot_cycle.State(
        ring_strain=at["insert_strain"],
        ring_modulus_mpa=at["insert_modulus"],
        ring_poisson=at["insert_poisson"],
        ring_yield_mpa=at.get("insert_strength", math.inf),
        hub_strain=at["head_strain"],
        hub_modulus_mpa=at["head_modulus"],
        hub_poisson=at["head_poisson"],
        hub_yield_mpa=yielding.hub_flow_strength(strength, at["bore"], hub.diameter(at["bore"])),
        factor=_factor(hub, at),
    )


def _factor(hub: Hub, at: Mapping[str, float]) -> float:
    return at.get("pocket", hub.pocket.factor.value)


def _stretch(hub: Hub, at: Mapping[str, float]) -> float:
    return at.get("stretch", hub.pocket.stretch.value)


def _relief(hub: Hub, at: Mapping[str, float]) -> float:
    """How much less a pressure strains the head at the bore than the formula says: the ratio of the
    equivalent stresses."""
    stretch = _stretch(hub, at)
    if stretch == 1.0:
        return 1.0
    hoop = lame.beta(at["bore"], hub.diameter(at["bore"]))
    shared = hoop * stretch
    return math.sqrt((hoop * hoop + hoop + 1.0) / (shared * shared + shared + 1.0))


def _outcome(press: Press, hub: Hub, at: dict[str, float]) -> dict[str, float]:
    left = interference(at)
    plain = rings.press_fit(
        joint_mm=at["bore"],
        interference_mm=max(left, 0.0),
        ring_bore_mm=press.insert_inner,
        hub_outer_mm=hub.diameter(at["bore"]),
        ring_modulus_mpa=at["insert_modulus"],
        ring_poisson=at["insert_poisson"],
        hub_modulus_mpa=at["head_modulus"],
        hub_poisson=at["head_poisson"],
    )
    elastic = plain.pressure_mpa * _factor(hub, at)
    joint, metals = sizes(press, hub, at), state(press, hub, at)
    held = hot_cycle.held_at(joint, metals, max(left, 0.0))
    # Elastic, it is the formula times the factor to the last bit.
    yields = held.ring_set_mm > 0.0 or held.hub_set_mm > 0.0
    pressure = held.pressure_mpa if yields else elastic
    squeeze = _factor(hub, at) * hub.pocket.squeeze
    strain = _factor(hub, at) * (pressure / elastic if elastic > 0 else 1.0)
    along = (at["bore"], press.height)
    found = {
        "interference_mm": left,
        "pressure_mpa": pressure,
        "pressure_formula_mpa": plain.pressure_mpa,
        "insert_hoop_bore_mpa": squeeze * plain.ring_hoop_bore_mpa,
        "insert_hoop_outer_mpa": squeeze * plain.ring_hoop_joint_mpa,
        "head_hoop_bore_mpa": strain * _stretch(hub, at) * plain.hub_hoop_joint_mpa,
        "insert_von_mises_mpa": squeeze * plain.ring_von_mises_bore_mpa,
        "head_von_mises_mpa": strain * plain.hub_von_mises_joint_mpa / _relief(hub, at),
        "press_force_n": rings.axial_force(pressure, at["press_friction"], *along),
        "hold_force_n": rings.axial_force(pressure, at["hold_friction"], *along),
        "insert_set_mm": held.ring_set_mm,
        "head_set_mm": held.hub_set_mm,
        "grip_mm": at["insert_diameter"] - at["bore"] - at["smoothing"],
    }
    found["grip_mm"] -= held.ring_set_mm + held.hub_set_mm
    if "insert_strength" in at:
        soft = hot_cycle.compliance(joint, metals)
        found |= _of_ring(press, hub, at, found, soft)
    if "head_strength" in at:
        found |= _of_head(press, hub, at, found)
    return found


def _of_ring(
    press: Press, hub: Hub, at: dict[str, float], found: dict[str, float], soft: float
) -> dict[str, float]:
    """Figures that need the strength of the ring; `soft`: compliance of the joint, 1/MPa."""
    asked = (at["insert_strength"], press.insert_inner, at["bore"])
    first = rings.elastic_limit_ring(*asked) / hub.pocket.squeeze
    return {
        "insert_yield_ratio": found["insert_von_mises_mpa"] / at["insert_strength"],
        "insert_yield_press_mm": rings.interference_for_pressure(first, at["bore"], soft),
        "pressure_ceiling_mpa": rings.pressure_ceiling_ring(*asked),
    }


def _of_head(
    press: Press, hub: Hub, at: dict[str, float], found: dict[str, float]
) -> dict[str, float]:
    """Figures that need the strength of the head."""
    cracks = press.head.limit == "cracks"
    less = 1.0 / _stretch(hub, at) if cracks else _relief(hub, at)
    asked = (at["head_strength"] * less, at["bore"], hub.diameter(at["bore"]))
    worst = "head_hoop_bore_mpa" if cracks else "head_von_mises_mpa"
    limit = rings.cracking_pressure_hub if cracks else rings.elastic_limit_hub
    return {
        "head_yield_ratio": found[worst] / at["head_strength"],
        "head_limit_pressure_mpa": limit(*asked),
    }
