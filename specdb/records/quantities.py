"""Field types of requests: text or a number comes in, a float in the house unit stays.

House units are those of `specdb.units.KINDS`: mm, degC, deg, MPa, s, ... A plain number is
taken in the house unit. What cannot be read leaves as `BadQuantity` naming the field.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, JsonValue, ValidationInfo

from specdb import units
from specdb.errors import BadQuantity


@dataclass(frozen=True, slots=True)
class OfKind:
    """Says beside a type of this file which kind of quantity it is: a name of `units.KINDS`."""

    name: str


def _quantity(kind: str, **bounds: float) -> Any:
    def read(given: object, info: ValidationInfo) -> float | None:
        if given is None:
            return None
        return units.read(given, kind, field=info.field_name or "", **bounds)

    return BeforeValidator(read)


def _diameter(given: object, info: ValidationInfo) -> float | None:
    if given is None:
        return None
    field = info.field_name or ""
    try:
        read = units.read(given, "length", field=field, least=0.01, most=1000.0)
    except BadQuantity:
        units.check_diameter(units.read(given, "length", field=field), given, field)
        raise
    return units.check_diameter(read, given, field)


def _text(kind: str) -> Any:
    examples: list[JsonValue] = list(units.KINDS[kind].examples)
    return Field(json_schema_extra={"type": ["string", "number"], "examples": examples})


Length = Annotated[float, _quantity("length"), _text("length"), OfKind("length")]
"""A length that may be negative (a setback, a deviation), mm."""
Size = Annotated[
    float, _quantity("length", least=0.01, most=1000.0), _text("length"), OfKind("length")
]
"""A size of a part: at least a hundredth of a millimetre, at most a metre, mm."""
Diameter = Annotated[
    float,
    BeforeValidator(_diameter),
    _text("length"),
    OfKind("length"),
]
"""A diameter of a ring, bore, valve, guide or pilot, as `Size`; without a unit it must make sense
in mm (`units.check_diameter`), mm."""
Allowance = Annotated[
    float, _quantity("length", least=0.0, most=1000.0), _text("length"), OfKind("length")
]
"""A length that may be zero, mm."""
Temperature = Annotated[
    float,
    _quantity("temperature", least=-273.15, most=2000.0),
    _text("temperature"),
    OfKind("temperature"),
]
"""A temperature, degC."""
Roughness = Annotated[
    float, _quantity("length", least=0.0, most=0.1), _text("length"), OfKind("length")
]
"""A roughness height, mm: text with its unit such as 6.3 um; at most a tenth of a millimetre."""
Angle = Annotated[
    float, _quantity("angle", least=-89.0, most=89.0), _text("angle"), OfKind("angle")
]
"""An angle between a plane and a cylinder, deg."""


def _face_angle(given: object, info: ValidationInfo) -> float | None:
    """Refuses an included angle with what it is from the plane: 90 included is 45."""
    if given is None:
        return None
    field, most = info.field_name or "", 89.0
    read = units.read(given, "angle", field=field, least=-most)
    if most < read < 180.0:
        raise BadQuantity(
            given if isinstance(given, str | float | int) else f"{read:g}",
            understood=f"{read:g} deg",
            accepted=f"an angle from the plane square to the guide axis, at most {most:g} deg",
            field=field,
            why=f"{read:g} deg included is {90.0 - read / 2.0:g} here: write that",
        )
    return units.read(given, "angle", field=field, least=-most, most=most)


FaceAngle = Annotated[float, BeforeValidator(_face_angle), _text("angle"), OfKind("angle")]
"""The angle of a face of a seat from the plane square to the guide axis, deg."""
Area = Annotated[float, _quantity("area", least=0.0, most=1e6), _text("area"), OfKind("area")]
"""An area of a face of a part, mm2: text with its unit such as 50 cm2."""
Volume = Annotated[
    float, _quantity("volume", least=1000.0, most=1e9), _text("volume"), OfKind("volume")
]
"""A volume, mm3: text with its unit such as 399.5 cm3."""
Ratio = Annotated[
    float, _quantity("number", above=1.0, most=100.0), _text("number"), OfKind("number")
]
"""A compression ratio: 10.5 or 10.5:1."""
