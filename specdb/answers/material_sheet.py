"""The `material` question: the sheet of one material."""

from __future__ import annotations

from typing import Any

from specdb.answers.evidence import conclude
from specdb.answers.material import EXPANSION, ROOM_C, STRENGTHS, Material, find_material
from specdb.errors import BadRequest, NotKnown
from specdb.estimate import Estimate
from specdb.records.material import MaterialRequest, MaterialResult, StandIn, UsualValue
from specdb.store.asof import Reader
from specdb.store.query import materials as rows


def sheet(reader: Reader, request: MaterialRequest) -> MaterialResult:
    """The result; raises OutOfRange for a stretch or a temperature the data does not reach."""
    found = find_material(reader, request.material)
    asked, assumed = _asked(found, request)
    unknown = {**found.unknown, **asked.pop("unknown", {})}
    stand_ins = _stand_ins(reader, found)
    return conclude(
        MaterialResult,
        reader,
        topics=_topics(found),
        rows=(*found.rows, *(each.row for each in stand_ins)),
        **_identity(found),
        usual=_usual(reader, found),
        stand_ins=stand_ins,
        assumed=tuple(assumed),
        unknown=unknown,
        **asked,
    )


def _identity(found: Material) -> dict[str, Any]:
    known = "expansion_strain" not in found.unknown
    curve = found.curve() if known else None
    return {
        "key": found.key,
        "name": found.name,
        "insert_class": found.insert_class,
        "family": found.family,
        "material_class": found.material_class,
        "designations": found.designations,
        "condition": found.condition,
        "composition": found.composition,
        "fails_by": found.fails_by,
        "age_hardened": found.age_hardened,
        "note": found.notes,
        "curve_from_c": curve.start_c if curve else None,
        "curve_to_c": curve.end_c if curve else None,
    }


def _asked(found: Material, request: MaterialRequest) -> tuple[dict[str, Any], list[str]]:
    """The particular figures asked for, and what was taken for granted."""
    asked: dict[str, Any] = {}
    assumed = []
    if found.insert_class:
        assumed.append(f"the class {found.insert_class} stands on {found.key}")
    if request.from_temperature is not None or request.to_temperature is not None:
        asked |= _stretch(found, request)
    if request.property is not None:
        asked |= _value(found, request)
        assumed += _taken(request)
    elif request.at is not None:
        raise BadRequest(
            "a temperature for a property, and no property.",
            hint="Accepted: property and at together; from_temperature and to_temperature "
            "for expansion.",
            field="at",
        )
    return asked, assumed


def _stretch(found: Material, request: MaterialRequest) -> dict[str, Any]:
    start = ROOM_C if request.from_temperature is None else request.from_temperature
    end = ROOM_C if request.to_temperature is None else request.to_temperature
    origins = [found.origin("expansion_strain", each) for each in (start, end) if each != ROOM_C]
    return {
        "from_c": start,
        "to_c": end,
        "mean_expansion_per_k": found.mean_expansion(start, end),
        "expansion_strain": found.expansion_strain(end, start),
        "expansion_origin": "proxy" if "proxy" in origins else "own",
    }


def _value(found: Material, request: MaterialRequest) -> dict[str, Any]:
    name = request.property or ""
    at = ROOM_C if request.at is None else request.at
    value: Estimate | None = None
    unknown = {}
    try:
        value = found.value(name, at, state=request.state)
    except NotKnown as why:
        unknown["value"] = why.message
    origin = found.origin(name, at, state=request.state) if value else None
    return {
        "property": name,
        "at_c": at,
        "value": value,
        "value_origin": origin,
        "unknown": unknown,
    }


def _taken(request: MaterialRequest) -> list[str]:
    name = request.property
    if name == "poissons_ratio":
        return ["Poisson's ratio is taken the same at every temperature"]
    if name in STRENGTHS:
        kind = "hours at the temperature" if request.state == "running" else "minutes of heating"
        return [f"strength after {kind}; colder than the coldest value held, that value"]
    if name == "density":
        return ["density follows the expansion curve"]
    if name in EXPANSION and request.at is not None:
        return ["from 20 degC"]
    return []


def _usual(reader: Reader, found: Material) -> tuple[UsualValue, ...]:
    return tuple(
        UsualValue(
            property=row["property"],
            from_c=row["temperature_from_c"],
            at_c=row["temperature_c"],
            estimate=found.usual[row["item"]],
            origin=row["origin"],
        )
        for row in rows.usual(reader, found.key)
    )


def _stand_ins(reader: Reader, found: Material) -> tuple[StandIn, ...]:
    return tuple(
        StandIn(
            property=row["property"],
            material=row["stands_in"],
            extra_percent=float(row["extra_percent"]),
            row=row["id"],
        )
        for row in rows.proxies(reader, found.key)
    )


def _topics(found: Material) -> list[str]:
    topics = []
    if found.material_class == "copper-alloy":
        topics.append("copper-ring")
    if found.fails_by == "cracks" and found.family == "insert":
        topics.append("brittle-ring")
    if found.age_hardened and found.family == "head":
        topics.append("aged-head")
    return topics
