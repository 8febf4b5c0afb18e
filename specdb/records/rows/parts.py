"""Parts and where they go: sizes rings and guides are made in, shapes, which ring for what."""

from __future__ import annotations

from typing import Literal

from specdb.records.rows.cells import Converted, Fact, Id, Key, Number, Numbers, Text


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
    """Generic seat inserts; see `Series`."""


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
    """A dimension of seat inserts; see `Dimension`."""

    REFERENCES = {**Dimension.REFERENCES, "feature": "vocabulary:insert-feature"}


class GuideDimension(Dimension):
    """A dimension of valve guides and their liners; see `Dimension`."""

    REFERENCES = {**Dimension.REFERENCES, "feature": "vocabulary:guide-feature"}


class SeatGeometry(Dimension):
    """A dimension or limit of a seat, for valves of `valve_from` to `valve_to` where it says so."""

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
