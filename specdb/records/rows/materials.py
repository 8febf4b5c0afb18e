"""Metals: what they are, what was measured of them, and what stands in where nothing was."""

from __future__ import annotations

from typing import Literal

from specdb.records.rows.cells import Converted, Fact, Id, Key, Number, Text


class Material(Fact):
    """A metal in one condition: standards' designations, composition, how it fails."""

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
