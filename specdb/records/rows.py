"""One class for each table of `data/`: the columns of its CSV file, in order.

A cell stays the text it was written as: a number is checked here, never changed, so that a
release's digest is taken over what the curator typed. What a person cannot look at in a cell,
the value in the house unit, is a *converted* column: the build computes it, the database holds it
beside the text, `CONVERTED` says from which cells.

Every row has an `id`, its own for ever (a release's is its `ordinal`), and the `release` that
brought it (`next` for a draft). A table of things (`materials`, `media`, ...) has a `key`
besides, by which other rows name the thing; among the rows live in one release a key stands once.
"""

from __future__ import annotations

import math
import re
from typing import Annotated, ClassVar, Literal, NamedTuple

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

Seen = Literal["text", "excerpt", "secondary", "memory", "common-practice", "derived"]
Basis = Literal["stands", "proxy", "outlier", "example", "unverified", "superseded"]
"""How far a row may be used: only rows that stand enter an average."""

KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
ID = re.compile(r"[a-z0-9]+(?:[.-][a-z0-9]+)*")


def _key(text: str) -> str:
    if not KEY.fullmatch(text):
        raise ValueError(f"{text!r} is not a key: lower-case letters, digits, single hyphens")
    return text


def _id(text: str) -> str:
    if not ID.fullmatch(text):
        raise ValueError(f"{text!r} is not an id: words of a-z and 0-9 joined by '.' or '-'")
    return text


def _number(text: str) -> str:
    try:
        finite = math.isfinite(float(text))
    except ValueError:
        finite = False
    if not finite or text != text.strip() or "_" in text:
        raise ValueError(f"{text!r} is not a finite number")
    return text


def _numbers(text: str) -> str:
    for part in text.split(";"):
        _number(part)
    return text


def _keys(text: str) -> str:
    for part in text.split(";"):
        _key(part)
    return text


def _release(text: str) -> str:
    if text != "next" and not re.fullmatch(r"20\d\d\.\d\d(?:\.\d+)?", text):
        raise ValueError(f"{text!r} is not a release: 'next' or a version such as 2026.11")
    return text


Key = Annotated[str, AfterValidator(_key)]
Id = Annotated[str, AfterValidator(_id)]
Keys = Annotated[str, AfterValidator(_keys)]
"""Keys joined by ';'."""
Number = Annotated[str, AfterValidator(_number)]
Numbers = Annotated[str, AfterValidator(_numbers)]
"""Numbers joined by ';'."""
Release = Annotated[str, AfterValidator(_release)]
Text = Annotated[str, Field(min_length=1)]


class Converted(NamedTuple):
    """How a converted column comes about: the cell, the cell of its unit, the house unit.

    `house` is a unit, `by-property` (the unit the vocabulary gives the row's property), or
    `as-feature` (lengths in mm, all else in the unit written). `difference` marks a temperature
    difference, which converts without the zero point.
    """

    cell: str
    unit: str
    house: str
    difference: bool = False


class Row(BaseModel):
    """A row as written. An empty cell is None."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    CONVERTED: ClassVar[dict[str, Converted]] = {}
    REFERENCES: ClassVar[dict[str, str]] = {}
    """Column -> `table` its key(s) must be found in, or `vocabulary:list`."""


class Fact(Row):
    """What every fact says of itself.

    `printed` is the figure as the source prints it, when the cells are not that already;
    `locator` the place in the source; `basis` how far the row may be used.
    """

    source: Keys
    seen: Seen
    locator: Text | None
    printed: Text | None
    basis: Basis
    note: Text | None
    release: Release


class Source(Row):
    id: Id
    key: Key
    kind: Key
    title: Text
    author_or_body: Text | None
    year: Text | None
    identifier: Text | None
    url: Text | None
    licence_or_status: Text | None
    note: Text | None
    release: Release
    REFERENCES = {"kind": "vocabulary:source-kind"}


class Vocabulary(Row):
    """An allowed word of a list, its meaning and, for quantities, the house unit."""

    id: Id
    list: Key
    word: Text
    definition: Text
    unit: Text | None
    release: Release


class Material(Fact):
    id: Id
    key: Key
    name: Text
    family: Key
    material_class: Key
    designations: Text | None
    condition: Text | None
    composition: Text | None
    fails_by: Literal["yields", "cracks"]
    """What its strength is compared with: yield, or (iron, brittle rings) tensile strength."""
    age_hardened: Literal["yes", "no"]
    REFERENCES = {
        "family": "vocabulary:material-family",
        "material_class": "vocabulary:material-class",
    }


class InsertClass(Fact):
    """A class a shop orders rings by, and the material each stands on."""

    id: Id
    key: Key
    name: Text
    material: Key
    also_called: Text | None
    compressive_yield_min: Number | None
    compressive_yield_max: Number | None
    unit: Text | None
    copper_coloured: Literal["yes", "no"]
    brittle: Literal["yes", "no"]
    CONVERTED = {
        "compressive_yield_min_mpa": Converted("compressive_yield_min", "unit", "MPa"),
        "compressive_yield_max_mpa": Converted("compressive_yield_max", "unit", "MPa"),
    }
    REFERENCES = {"material": "materials"}


class MaterialProperty(Fact):
    """One value of one property. A mean expansion runs from `temperature_from` to `temperature`;
    a strain is relative to `temperature_from`. `uncertainty` is half a band, in `unit`."""

    id: Id
    material: Key
    property: Text
    temperature: Number | None
    temperature_from: Number | None
    temperature_unit: Text | None
    value: Number
    unit: Text
    uncertainty: Number | None
    condition: Text | None
    CONVERTED = {
        "temperature_c": Converted("temperature", "temperature_unit", "degC"),
        "temperature_from_c": Converted("temperature_from", "temperature_unit", "degC"),
        "value_house": Converted("value", "unit", "by-property"),
        "uncertainty_house": Converted("uncertainty", "unit", "by-property", True),
    }
    REFERENCES = {"material": "materials", "property": "vocabulary:property"}


class ExpansionFit(Fact):
    """A published fit. `coefficients` are `a=...;b=...` in the order of `form`, whose meaning
    the vocabulary gives; `fit_error` is in `fit_error_unit`."""

    id: Id
    material: Key
    property: Text
    form: Text
    coefficients: Text
    valid_low: Number
    valid_high: Number
    temperature_unit: Text
    unit: Text
    fit_error: Number | None
    fit_error_unit: Text | None
    CONVERTED = {
        "valid_low_c": Converted("valid_low", "temperature_unit", "degC"),
        "valid_high_c": Converted("valid_high", "temperature_unit", "degC"),
    }
    REFERENCES = {
        "material": "materials",
        "property": "vocabulary:property",
        "form": "vocabulary:fit-form",
    }


class Proxy(Fact):
    """A declared stand-in: `material` borrows `property` from `stands_in` where it has none.

    For `expansion-below` and `expansion-above` (of the material's own curve) the borrowed curve is
    scaled to meet the own one, and the band widened by `extra_percent`.
    """

    id: Id
    material: Key
    property: Text
    stands_in: Key
    extra_percent: Number
    REFERENCES = {
        "material": "materials",
        "stands_in": "materials",
        "property": "vocabulary:proxy-property",
    }


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


class Series(Fact):
    """A generic size series as a rule; the build expands every combination.

    Outer diameters run from `outer_from` to `outer_to` by `outer_step`; each is made in every wall,
    height and oversize of the lists. `outer_minus` and `outer_plus` are the ring's tolerance.
    """

    id: Id
    system: Literal["metric", "inch"]
    outer_from: Number
    outer_to: Number
    outer_step: Number
    walls: Numbers
    heights: Numbers
    oversizes: Numbers
    outer_minus: Number
    outer_plus: Number
    unit: Text


class InsertSeries(Series):
    pass


class GuideSeries(Series):
    """For a guide the wall is (outside - stem bore) / 2 and the height its length."""


class Dimension(Fact):
    """A sourced dimension, limit or plain statement (`statement`, where there is no number)."""

    id: Id
    feature: Key
    position: Key
    minimum: Number | None
    maximum: Number | None
    unit: Text | None
    statement: Text | None
    CONVERTED = {
        "minimum_house": Converted("minimum", "unit", "as-feature"),
        "maximum_house": Converted("maximum", "unit", "as-feature"),
    }
    REFERENCES = {"position": "vocabulary:position"}


class InsertDimension(Dimension):
    REFERENCES = {**Dimension.REFERENCES, "feature": "vocabulary:insert-feature"}


class GuideDimension(Dimension):
    REFERENCES = {**Dimension.REFERENCES, "feature": "vocabulary:guide-feature"}


class SeatGeometry(Dimension):
    valve_from: Number | None
    valve_to: Number | None
    valve_unit: Text | None
    CONVERTED = {
        **Dimension.CONVERTED,
        "valve_from_mm": Converted("valve_from", "valve_unit", "mm"),
        "valve_to_mm": Converted("valve_to", "valve_unit", "mm"),
    }
    REFERENCES = {**Dimension.REFERENCES, "feature": "vocabulary:seat-feature"}


class Choice(Fact):
    """How an insert class suits a duty. Empty `valve_material`, `head_class`: any.

    `verdict`: `first` (what the trade reaches for), `serves`, `avoid` or `never`.
    """

    id: Id
    duty: Key
    fuel: Key
    position: Key
    valve_material: Key | None
    head_class: Key | None
    insert_class: Key
    verdict: Literal["first", "serves", "avoid", "never"]
    reason: Text
    REFERENCES = {
        "duty": "vocabulary:duty",
        "fuel": "vocabulary:fuel",
        "position": "vocabulary:position",
        "valve_material": "vocabulary:valve-material",
        "head_class": "vocabulary:head-class",
        "insert_class": "insert_classes",
    }


class OperatingTemperature(Fact):
    id: Id
    place: Key
    head_class: Key
    state: Key
    engine: Text | None
    minimum: Number | None
    maximum: Number | None
    unit: Text | None
    condition: Text | None
    CONVERTED = {
        "minimum_c": Converted("minimum", "unit", "degC"),
        "maximum_c": Converted("maximum", "unit", "degC"),
    }
    REFERENCES = {
        "place": "vocabulary:place",
        "head_class": "vocabulary:head-class",
        "state": "vocabulary:engine-state",
    }


class Medium(Fact):
    id: Id
    key: Key
    name: Text
    kind: Literal["chill", "heat", "room"]
    temperature: Number
    tolerance: Number
    unit: Text
    hazard: Text | None
    CONVERTED = {
        "temperature_c": Converted("temperature", "unit", "degC"),
        "tolerance_c": Converted("tolerance", "unit", "degC", True),
    }


class ExposureLimit(Fact):
    """What heat costs a casting. `value` is text where the source gives no single number."""

    id: Id
    alloy: Text
    material: Key | None
    condition: Text | None
    temperature: Text | None
    temperature_unit: Text | None
    time: Text | None
    time_unit: Text | None
    quantity: Key
    value: Text | None
    unit: Text | None
    REFERENCES = {"material": "materials", "quantity": "vocabulary:exposure-quantity"}


class HeatTransfer(Fact):
    id: Id
    quantity: Text
    low: Number | None
    typical: Number | None
    high: Number | None
    unit: Text | None
    condition: Text | None


class HandlingLimit(Fact):
    id: Id
    agent: Text
    condition: Text | None
    temperature: Text | None
    temperature_unit: Text | None
    time: Text | None
    time_unit: Text | None
    quantity: Key
    value: Text
    unit: Text | None
    REFERENCES = {"quantity": "vocabulary:exposure-quantity"}


class Caution(Fact):
    """A warning, where it is said (`topics`) and how loudly."""

    id: Id
    key: Key
    topics: Keys
    severity: Literal["danger", "warning", "note"]
    rank: Number
    text: Text


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


class DataRelease(Row):
    ordinal: Number
    version: Release
    date: Text
    summary: Text
    digest: Text


class ReleaseTable(Row):
    """What a published release holds of one table: its columns, joined by ';', how many rows, and
    the digest over them. Written by publishing, never by hand; a table without rows has no line.
    """

    id: Id
    table_name: Text
    columns: Text
    row_count: Number
    digest: Text
    release: Release


class Withdrawal(Row):
    """A row withdrawn: in which release, why, replaced by what."""

    id: Id
    withdrawn: Id
    release: Release
    reason: Text
    replacement: Id | None


TABLES: dict[str, type[Row]] = {
    "sources": Source,
    "vocabulary": Vocabulary,
    "materials": Material,
    "insert_classes": InsertClass,
    "material_properties": MaterialProperty,
    "expansion_fits": ExpansionFit,
    "proxies": Proxy,
    "interference_ranges": InterferenceRange,
    "insert_series": InsertSeries,
    "guide_series": GuideSeries,
    "insert_dimensions": InsertDimension,
    "guide_dimensions": GuideDimension,
    "seat_geometry": SeatGeometry,
    "choices": Choice,
    "operating_temperatures": OperatingTemperature,
    "media": Medium,
    "exposure_limits": ExposureLimit,
    "heat_transfer": HeatTransfer,
    "handling_limits": HandlingLimit,
    "cautions": Caution,
    "pocket_factors": PocketFactor,
    "bridge_factors": BridgeFactor,
    "friction": Friction,
    "surface_allowances": SurfaceAllowance,
    "tolerance_grades": ToleranceGrade,
    "fundamental_deviations": FundamentalDeviation,
    "inch_fits": InchFit,
    "releases": DataRelease,
    "release_tables": ReleaseTable,
    "withdrawals": Withdrawal,
}
"""Table -> row model, in the order a loader may fill them."""


def key_column(table: str) -> str:
    """The column a table is sorted by and found by: `id`, for releases `ordinal`."""
    return "ordinal" if table == "releases" else "id"


def columns(table: str) -> list[str]:
    """The columns of a table's CSV file: what it is about first, then what it says of itself."""
    fields = list(TABLES[table].model_fields)
    own = [name for name in fields if name not in Fact.model_fields]
    return own + [name for name in Fact.model_fields if name in fields]
