"""Heat and cold: running temperatures, media, what they cost the metal and the hand."""

from __future__ import annotations

from typing import Literal

from specdb.records.rows.cells import Converted, Fact, Id, Key, Keys, Number, Text


class OperatingTemperature(Fact):
    """How hot a place of the engine is in one state of it."""

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
    """A bath, oven or cupboard to chill or heat in: its temperature, and how far it may be off."""

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
    """A figure heat is reckoned with: coefficient, emissivity, latent heat; its range."""

    id: Id
    quantity: Text
    low: Number | None
    typical: Number | None
    high: Number | None
    unit: Text | None
    condition: Text | None


class HandlingLimit(Fact):
    """What gas, cold and heat do to people and rooms. `value` is text where it is no number."""

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
