"""SQL functions for people who work in SQL.

A failure inside an SQL function would reach its user as no more than "user-defined function raised
exception": each gives NULL instead, and a second function of the same name with `_why` says
in words why. `register` takes any connection of the standard library's `sqlite3`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from specdb import units
from specdb.database import Database
from specdb.errors import BadRequest, SpecdbError, StoreError

Open = Callable[[], Database]


@dataclass(frozen=True, slots=True)
class Function:
    """A function as it is registered and described."""

    name: str
    arguments: tuple[str, ...]
    about: str
    example: str
    make: Callable[[Open], Callable[..., float]]


def register(connection: Any, database: Open) -> None:
    """Register every function and its `_why` on a connection; `database` is asked on use."""
    for each in FUNCTIONS:
        function = each.make(database)
        count = len(each.arguments)
        connection.create_function(each.name, count, _quiet(function), deterministic=True)
        connection.create_function(f"{each.name}_why", count, _why(function), deterministic=True)


LONGEST = 100_000
"""Bytes of a text or blob in SQL of a reader's own; no cell of the data is near it."""
_LENGTH = 0
"""SQLite's code of that limit."""


def keep_places(connection: Any) -> None:
    """Refuse the one table that tells where on this machine the database lies, and texts made to
    fill its memory."""
    connection.set_authorizer(_allowed)
    connection.setlimit(_LENGTH, LONGEST)


def _allowed(action: int, what: str | None, *_: Any) -> int:
    """SQLite's codes: reading a table is 20; 0 allows, 1 denies."""
    return int(action == 20 and str(what).lower() == "pragma_database_list")


def _quiet(function: Callable[..., float]) -> Callable[..., float | None]:
    def call(*given: Any) -> float | None:
        if None in given:
            return None
        try:
            return function(*given)
        except (SpecdbError, ArithmeticError, ValueError):
            return None

    return call


def _why(function: Callable[..., float]) -> Callable[..., str | None]:
    def call(*given: Any) -> str | None:
        if None in given:
            return f"argument {given.index(None) + 1} is NULL"
        try:
            function(*given)
        except StoreError:
            return "the database cannot be read now"  # the whole message tells where it lies
        except SpecdbError as error:
            return str(error)
        except (ArithmeticError, ValueError) as error:
            return f"cannot be worked out: {error}"
        return None

    return call


def _length(_: Open) -> Callable[..., float]:
    def length(given: str | float, unit: str) -> float:
        return _in_unit(units.read(given, "length"), "mm", unit)

    return length


def _temperature(_: Open) -> Callable[..., float]:
    def temperature(given: str | float, unit: str) -> float:
        return _in_unit(units.read(given, "temperature"), "degC", unit)

    return temperature


def _in_unit(value: float, house: str, unit: str) -> float:
    if not isinstance(unit, str):
        raise BadRequest(f"{unit!r} is no unit.", hint="Accepted: a word such as mm, in, degF.")
    return float(f"{units.convert(value, house, unit):.14g}")  # 1.5 in is 38.1 mm, to the digit


def _expansion(database: Open) -> Callable[..., float]:
    def expansion(material: str, start: str | float, end: str | float) -> float:
        return database().material(str(material)).expansion_strain(end, start).value

    return expansion


def _clearance(database: Open) -> Callable[..., float]:
    def clearance(*given: Any) -> float:
        result = _joint(database(), given[:6], head=given[6], insert=given[7])
        return -float(result.interference_mm.value)

    return clearance


def _pressure(database: Open) -> Callable[..., float]:
    def pressure(*given: Any) -> float:
        return float(_joint(database(), given, head=20.0, insert=20.0).pressure_formula_mpa.value)

    return pressure


def _joint(db: Database, given: tuple[Any, ...], *, head: object, insert: object) -> Any:
    names = ("insert_diameter", "bore", "insert_inner", "height", "head", "insert")
    asked = dict(zip(names, given, strict=True))
    return db.fit(**asked, head_temperature=head, insert_temperature=insert)


_PARTS = ("ring outside", "counterbore", "ring inside", "height", "head", "ring material")
_EXAMPLE = "38.16, 38.02, 31, 8, 'al-si7mg-t6', 'sintered-tool-steel'"
FUNCTIONS = (
    Function(
        "length_in",
        ("length", "unit"),
        "A length, a number in mm or text with its unit, in another unit.",
        "SELECT length_in('1.500 in', 'mm')",
        _length,
    ),
    Function(
        "temperature_in",
        ("temperature", "unit"),
        "A temperature, a number in degC or text with its unit, in another unit.",
        "SELECT temperature_in('300 degF', 'degC')",
        _temperature,
    ),
    Function(
        "expansion_between",
        ("material", "from", "to"),
        "Change of length of a material between two temperatures over its length at 20 degC.",
        "SELECT expansion_between('al-si7mg-t6', 20, '150 degC')",
        _expansion,
    ),
    Function(
        "clearance_at",
        (*_PARTS, "head at", "ring at"),
        "Clearance on diameter, mm, with head and ring at temperatures of their own; below zero "
        "there is press.",
        f"SELECT clearance_at({_EXAMPLE}, 150, -78)",
        _clearance,
    ),
    Function(
        "pressure_of",
        _PARTS,
        "Pressure between ring and head at 20 degC, MPa, by the plain two-ring formula.",
        f"SELECT pressure_of({_EXAMPLE})",
        _pressure,
    ),
)
"""Every function; each has a twin whose name ends in `_why`."""
