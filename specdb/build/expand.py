"""What the build adds to the rows as written: converted columns, and the releases they live in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from specdb import units
from specdb.build.read import Placed, Tables
from specdb.errors import BadCell, SpecdbError
from specdb.records import rows
from specdb.records.rows import Converted
from specdb.store.asof import DRAFT, Release
from specdb.units.words import unit_of

Expanded = dict[str, list[dict[str, Any]]]
"""Table -> rows: the cells as written, the converted columns, `since` and `until`."""


def expand(tables: Tables) -> tuple[Expanded, list[BadCell]]:
    """Every row as the database holds it, in order of id, and what could not be converted."""
    ordinals = {release.version: release.ordinal for release in releases(tables)}
    ends, bad = _ends(tables, ordinals)
    house = house_units(tables)
    expanded: Expanded = {}
    for table, placed in tables.items():
        if table == "releases":
            continue
        expanded[table] = []
        for one in sorted(placed, key=lambda one: one.id):
            cells, wrong = _expand_row(table, one, house, ordinals, ends)
            expanded[table].append(cells)
            bad += wrong
    return expanded, bad


def releases(tables: Tables) -> list[Release]:
    """The published releases in order, then the draft if a row needs it or nothing is published."""
    known = [
        Release(str(one.cell("version")), int(float(one.id))) for one in tables.get("releases", [])
    ]
    known.sort(key=lambda release: release.ordinal)
    drafted = any(
        one.cell("release") == DRAFT
        for table, placed in tables.items()
        if table != "releases"
        for one in placed
    )
    if drafted or not known:
        known.append(Release(DRAFT, (known[-1].ordinal if known else 0) + 1))
    return known


def live_in(expanded: Expanded, ordinal: int) -> Expanded:
    """The rows live in the release of that ordinal."""
    return {
        table: [
            row
            for row in found
            if row["since"] <= ordinal and (row["until"] is None or row["until"] > ordinal)
        ]
        for table, found in expanded.items()
    }


def house_units(tables: Tables) -> dict[str, str]:
    """Property -> the unit the vocabulary gives it."""
    return {
        str(one.cell("word")): str(one.cell("unit"))
        for one in tables.get("vocabulary", [])
        if one.cell("list") == "property" and one.cell("unit")
    }


def _ends(tables: Tables, ordinals: Mapping[str, int]) -> tuple[dict[str, int], list[BadCell]]:
    """Row id -> ordinal of the release that withdrew it."""
    ends: dict[str, int] = {}
    bad = []
    for one in tables.get("withdrawals", []):
        release = str(one.cell("release"))
        if release in ordinals:
            ends[str(one.cell("withdrawn"))] = ordinals[release]
        else:
            bad.append(one.bad("release", f"no release is called {release!r}"))
    return ends, bad


def _expand_row(
    table: str,
    one: Placed,
    house: Mapping[str, str],
    ordinals: Mapping[str, int],
    ends: Mapping[str, int],
) -> tuple[dict[str, Any], list[BadCell]]:
    cells: dict[str, Any] = {name: one.cell(name) for name in rows.columns(table)}
    bad = []
    for name, how in type(one.row).CONVERTED.items():
        try:
            cells[name] = _convert(one, how, house)
        except SpecdbError as error:
            cells[name] = None
            bad.append(one.bad(how.cell, str(error).replace("\n", " ")))
    release = str(one.cell("release"))
    if release not in ordinals:
        bad.append(one.bad("release", f"no release is called {release!r}"))
    cells["since"] = ordinals.get(release, 0)
    cells["until"] = ends.get(one.id)
    if cells["until"] is not None and cells["until"] <= cells["since"]:
        bad.append(one.bad("release", "withdrawn no later than it came"))
    return cells, bad


def _convert(one: Placed, how: Converted, house: Mapping[str, str]) -> float | None:
    text, unit = one.cell(how.cell), one.cell(how.unit)
    if text is None:
        return None
    if unit is None:
        raise SpecdbError(f"{text!r} has no unit: {how.unit!r} is empty")
    to = _house(one, how, unit, house)
    return None if to is None else units.convert(float(text), unit, to, difference=how.difference)


def _house(one: Placed, how: Converted, unit: str, house: Mapping[str, str]) -> str | None:
    """The unit to convert to; None for a property without one, which a rule across rows tells."""
    if how.house == "by-property":
        return house.get(str(one.cell("property")))
    if how.house == "as-feature":
        # an angle, a hardness, a count stay in their unit
        return "mm" if unit_of(unit, "length") else unit
    return how.house
