"""The question `fit`: how hard a ring is squeezed, what holds it, and where it lets go."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from specdb.estimate import Estimate
from specdb.records.answer import Answer, Frozen
from specdb.records.conditions import HeadState, Position
from specdb.records.joint import JointRequest
from specdb.records.quantities import Length, Roughness, Size, Temperature
from specdb.records.standard_fit import StandardFit

LimitKind = Literal["yields", "cracks"]


class Warmth(Frozen):
    """Mean temperatures of ring and head in one state of a hot cycle."""

    insert_temperature: Temperature = Field(description="Mean temperature of the ring.")
    head_temperature: Temperature = Field(description="Mean temperature of the head metal.")


def _warmths(given: object) -> object:
    """Texts such as 316/100 (ring, then head) and pairs, as records."""
    if isinstance(given, str):
        given = [given]
    if not isinstance(given, list | tuple):
        return given
    return tuple(_warmth(each) for each in given)


def _warmth(given: object) -> object:
    pair = given.split("/") if isinstance(given, str) else given
    if isinstance(pair, list | tuple) and len(pair) == 2:
        return {"insert_temperature": pair[0], "head_temperature": pair[1]}
    return given


class HeadMetal(Frozen):
    """What there is of the head round the counterbore, and the state of metal and surfaces."""

    hub_outer: Size | None = Field(
        None,
        description="Outside diameter of the head metal round the ring, taken as a ring itself.",
    )
    thinnest_metal: Size | None = Field(
        None, description="Thinnest metal round the counterbore: to a neighbour, water, plug, edge."
    )
    metal_below: Size | None = Field(
        None,
        description="Head metal below the ring, to port or water; not given, five ring heights.",
    )
    edge: Size | None = Field(
        None,
        description="Metal to a free edge beside the ring: chamber, plug or injector bore, water.",
    )
    hardness_hb: float | None = Field(
        None, gt=0, lt=1000, description="Brinell hardness of the head beside the seat."
    )
    insert_roughness: Roughness | None = Field(
        None, description="Roughness Rz of the ring's outside, such as 6.3 um."
    )
    bore_roughness: Roughness | None = Field(
        None, description="Roughness Rz of the counterbore, such as 6.3 um."
    )
    joining: Literal["pressed", "shrunk"] = Field(
        "pressed", description="Pressed in by force, or dropped in hot and cold."
    )
    surface: Literal["dry", "oiled"] = Field("dry", description="State of the two surfaces.")


class FitRequest(JointRequest, HeadMetal):
    """A ring in its counterbore, at the temperatures of ring and head."""

    bridge: Length | None = Field(
        None, description="Metal left to the next counterbore; negative where they overlap."
    )
    head_temperature: Temperature = Field(20.0, description="Mean temperature of the head metal.")
    insert_temperature: Temperature = Field(20.0, description="Mean temperature of the ring.")
    head_state: HeadState | None = Field(
        None, description="Sound casting, welded at the counterbore, or softened by heat."
    )
    position: Position = Field(
        "exhaust", description="Which valve: decides which running temperatures are compared."
    )
    cycle: Annotated[tuple[Warmth, ...], BeforeValidator(_warmths)] = Field(
        (),
        description="A state of a hot cycle, ring then head, as 316/100; not given, a usual one.",
    )


class FitFigures(Frozen):
    """What the metals carry, for one idea of the head round the ring.

    Stresses are tension positive. Those in the ring are elastic: above its strength the ring gives
    instead, and `pressure_mpa` is what it can then carry. Those in the head go with `pressure_mpa`.
    """

    hub: str
    """The head metal assumed round the ring, in words."""
    pressure_mpa: Estimate
    """Best estimate: pocket factor, where there is one, and capped at what the ring carries."""
    pressure_formula_mpa: Estimate
    """The plain two-ring formula, elastic."""
    insert_hoop_bore_mpa: Estimate
    insert_hoop_outer_mpa: Estimate
    head_hoop_bore_mpa: Estimate
    insert_von_mises_mpa: Estimate
    """At the ring's inside, where it is greatest."""
    head_von_mises_mpa: Estimate
    """At the counterbore."""
    insert_yield_ratio: Estimate | None
    """Stress over strength at temperature; above 1 the ring yields (`insert_limit_kind`)."""
    head_yield_ratio: Estimate | None
    """Stress over strength at temperature; above 1 the head yields or may crack."""
    insert_set_mm: Estimate | None
    """How much smaller the ring stays because it yields; 0 while it stays elastic."""
    insert_yield_press_mm: Estimate | None
    """Press from which the ring yields at its inside, at these temperatures."""
    pressure_ceiling_mpa: Estimate | None
    """The most the ring can carry, all of its wall yielding: beyond it more press buys nothing."""
    head_set_mm: Estimate | None
    """How much larger the counterbore stays because the head yields; 0 in a head that cracks."""
    head_limit_pressure_mpa: Estimate | None
    """Pressure at which the head begins to yield at the counterbore, or may crack there."""
    press_force_n: Estimate
    """To press it home at these temperatures, with the highest friction published."""
    hold_force_n: Estimate
    """Axial force it stands, with the lowest friction published; `low` is at the least fit."""


class BridgeFigures(Frozen):
    """Thin metal on one side of the ring: a `neighbour` counterbore with a like ring, or an `edge`.

    The stretches are those of a plate: metal below shares them. They go with `pressure_mpa` of the
    fit, capped where ring or head yields.
    """

    kind: Literal["neighbour", "edge"]
    thickness_mm: float
    mean_pressure_factor: Estimate
    """Mean pressure round the ring over that in thick metal; it is in the fit's `pressure_mpa`."""
    facing_share: float
    """Pressure facing the thin metal, 15 degrees to each side, over the mean pressure."""
    pressure_mpa: Estimate
    """Pressure facing the thin metal."""
    bore_stretch_mpa: Estimate
    """The greatest round the counterbore."""
    far_stretch_mpa: Estimate
    """The greatest on the far side: the free edge, or half-way to the neighbour."""
    yield_ratio: Estimate | None
    """The greater stretch over the head's strength; above 1 it yields, or cracks."""


class RunningState(Frozen):
    """The fit in one running state: ring and head at the temperatures a row gives."""

    state: str
    head_temperature_c: float
    insert_temperature_c: float
    interference_mm: Estimate
    pressure_mpa: Estimate
    pressure_formula_mpa: Estimate
    margin_k: Estimate | None
    """How far the head may still warm, the ring alike, before the fit lets go."""
    why: str


class CycleState(Frozen):
    """The fit in one state of a hot cycle, with all that ring and head have lost up to there."""

    state: str
    insert_temperature_c: float
    head_temperature_c: float
    press_left_mm: Estimate
    """On diameter, at these temperatures; negative is clearance."""
    pressure_mpa: Estimate
    insert_set_mm: Estimate
    head_set_mm: Estimate
    why: str


class FitResult(Answer, FitFigures):
    """Interference, pressure, stress, force and the temperature at which the fit lets go."""

    verdict: str
    """The press at 20 degC beside the recommended range and where that comes from, in a line."""
    strength_verdict: str
    """Whether ring and head carry it, in a line."""
    grip_verdict: str
    """Where it lets go, and how far a working and an overheated head are from there."""
    deciding_verdict: str | None
    """The running state with the least press left, and how much that is."""
    press_verdict: Literal["inside", "below", "above"] | None
    """Where the press at 20 degC lies, at the diameters given."""
    recommended_mm: Estimate | None
    """The recommended range of press at this diameter, about its middle."""
    standard_fits: tuple[StandardFit, ...]
    """The fit of each standard that comes nearest to the recommended range."""
    interference_mm: Estimate
    """On diameter, at the temperatures asked for, smoothing taken off; negative is clearance."""
    interference_cold_mm: Estimate
    """Ring less counterbore, both at 20 degC, as measured."""
    smoothing_mm: Estimate
    """What the roughness peaks give up when they are flattened."""
    pocket_factor: Estimate | None
    """Mean pressure in the pocket over the two-ring formula with the same head metal."""
    squeeze_bottom_mpa: Estimate | None
    """Squeeze of the ring at the bottom of its inside, elastic: the ring closes conically."""
    squeeze_top_mpa: Estimate | None
    bridges: tuple[BridgeFigures, ...]
    """Thin metal that was told, `bridge` first."""
    insert_limit_kind: LimitKind
    head_limit_kind: LimitKind
    insert_strength_mpa: Estimate | None
    head_strength_mpa: Estimate | None
    grip_lost_c: Estimate | None
    """Ring and head both at this temperature, evenly soaked: no interference is left."""
    grip_lost_after_set_c: Estimate | None
    """The same once a yielded ring has taken its set; None where it does not yield."""
    running: tuple[RunningState, ...]
    deciding_state: str | None
    """The running state with the least press left."""
    deciding_margin_k: Estimate | None
    """How far the head may still warm there before the fit lets go."""
    cycle: tuple[CycleState, ...]
    """Through heat and back, in order, each state with the losses of those before it."""
    outside_chance: Estimate | None
    """How likely the fit lies outside its recommended range, by the tolerances told, per cent."""
    thin_metal: FitFigures | None
    """The second set, for thin metal, where nobody said how much metal there is."""
    remarks: tuple[str, ...]
    """What the figures say, in words."""
