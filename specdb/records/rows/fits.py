"""Fits: the interference of the trade, friction, roughness, standard limits and fits."""

from __future__ import annotations

from typing import Literal

from specdb.records.rows.cells import Converted, Fact, Id, Key, Number, Text


class InterferenceRange(Fact):
    """A range (or single figure) of interference on diameter for one case.

    `form`: `band` (minimum to maximum), `per-mm` (`minimum` and `maximum` are the rule per unit of
    diameter, valid from `diameter_from` to `diameter_to`) or `single`. `head_known` says whether
    the source names the head material or it was assumed: an assumed one decides nothing alone.
    `work` `production` marks what a maker uses in a new casting: shown, but no rule for a repair.
    """

    id: Id
    part: Key
    head_class: Key
    insert_class: Key
    position: Key
    diameter_from: Number | None
    diameter_to: Number | None
    diameter_unit: Text | None
    minimum: Number
    maximum: Number
    unit: Text
    form: Literal["band", "per-mm", "single"]
    retention: Key
    seat_in: Literal["head", "block"]
    head_known: Literal["stated", "assumed", "rule"]
    work: Literal["repair", "production"]
    CONVERTED = {
        "diameter_from_mm": Converted("diameter_from", "diameter_unit", "mm"),
        "diameter_to_mm": Converted("diameter_to", "diameter_unit", "mm"),
        "minimum_mm": Converted("minimum", "unit", "mm"),
        "maximum_mm": Converted("maximum", "unit", "mm"),
    }
    REFERENCES = {
        "part": "vocabulary:part",
        "head_class": "vocabulary:head-class",
        "insert_class": "vocabulary:fit-insert-class",
        "position": "vocabulary:position",
        "retention": "vocabulary:retention",
    }


class Friction(Fact):
    """A friction coefficient range (`kind` friction), a test ratio or a plain finding."""

    id: Id
    kind: Literal["friction", "ratio", "finding"]
    head_class: Key
    joining: Literal["pressed", "shrunk", "any"]
    surface: Literal["dry", "oiled", "any"]
    pair: Text
    condition: Text | None
    low: Number | None
    high: Number | None
    meaning: Text | None
    confidence: Key | None
    REFERENCES = {"head_class": "vocabulary:head-class"}


class SurfaceAllowance(Fact):
    """What surfaces do to a fit: press lost to smoothing, roughness converted, a finding."""

    id: Id
    kind: Literal["smoothing", "conversion", "assembly", "finding"]
    scope: Text
    rule: Text | None
    low: Number | None
    high: Number | None
    unit: Text | None
    meaning: Text | None
    confidence: Key | None


class ToleranceGrade(Fact):
    """The width of a tolerance grade over one range of sizes, above one and up to the other."""

    id: Id
    grade: Text
    above: Number
    up_to: Number
    size_unit: Text
    value: Number
    unit: Text
    CONVERTED = {
        "above_mm": Converted("above", "size_unit", "mm"),
        "up_to_mm": Converted("up_to", "size_unit", "mm"),
        "value_mm": Converted("value", "unit", "mm"),
    }


class FundamentalDeviation(Fact):
    """`part` shaft: lower deviation ei (upper for letters before js); hole: as `symbol` says."""

    id: Id
    part: Literal["shaft", "hole", "delta"]
    symbol: Text
    grades: Text
    above: Number
    up_to: Number
    size_unit: Text
    value: Number
    unit: Text
    CONVERTED = {
        "above_mm": Converted("above", "size_unit", "mm"),
        "up_to_mm": Converted("up_to", "size_unit", "mm"),
        "value_mm": Converted("value", "unit", "mm"),
    }


class InchFit(Fact):
    """Inch standard force fits: limits of hole and shaft from the nominal size."""

    id: Id
    fit: Text
    above: Number
    up_to: Number
    size_unit: Text
    interference_min: Number | None
    interference_max: Number | None
    hole_lower: Number | None
    hole_upper: Number | None
    shaft_lower: Number | None
    shaft_upper: Number | None
    unit: Text | None
    CONVERTED = {
        "above_mm": Converted("above", "size_unit", "mm"),
        "up_to_mm": Converted("up_to", "size_unit", "mm"),
        "interference_min_mm": Converted("interference_min", "unit", "mm"),
        "interference_max_mm": Converted("interference_max", "unit", "mm"),
    }
