"""SQL functions on a bare connection, as somebody with the plain library would use them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import specdb
from specdb.web import sql

if TYPE_CHECKING:
    import httpx

JOINT = "38.16, 38.02, 31, 8, 'al-si7mg-t6', 'sintered-tool-steel'"


@pytest.fixture
def bare(database: Path) -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(":memory:")
    with specdb.open(database) as db:
        sql.register(connection, lambda: db)
        yield connection
    connection.close()


def test_a_length_has_no_dust_in_its_last_digits(bare: sqlite3.Connection) -> None:
    (got,) = bare.execute("SELECT length_in('1.500 in', 'mm')").fetchone()
    assert got == 38.1  # exactly: the inch is 25.4 mm by definition


@pytest.mark.parametrize(
    ("statement", "result"),
    [
        ("length_in('1.500 in', 'mm')", 38.1),  # the inch is 25.4 mm by definition
        ("length_in(25.4, 'in')", 1.0),
        ("length_in('5 thou', 'mm')", 0.127),
        ("temperature_in('212 degF', 'degC')", 100.0),  # boiling water, by definition
        ("temperature_in(20, 'degF')", 68.0),
        ("temperature_in('0 degC', 'K')", 273.15),
        ("expansion_between('al-si7mg-t6', 20, 20)", 0.0),
        ("length_in('wide', 'mm')", None),
        ("temperature_in('warm', 'degC')", None),
        ("temperature_in(20, 'mm')", None),
        ("length_in(NULL, 'mm')", None),
        ("length_in(1, 'degC')", None),
        ("expansion_between('unobtainium', 20, 100)", None),
        ("expansion_between('al-si7mg-t6', 20, 5000)", None),
        (f"pressure_of({JOINT.replace('31', '39')})", None),
        (f"clearance_at({JOINT}, 'hot', -78)", None),
        ("length_in(1e400, 'mm')", None),
        ("length_in(x'ff', 'mm')", None),
    ],
)
def test_a_statement_gives(bare: sqlite3.Connection, statement: str, result: float | None) -> None:
    (got,) = bare.execute(f"SELECT {statement}").fetchone()
    assert got == (None if result is None else pytest.approx(result, rel=1e-12, abs=1e-15))
    name, _, arguments = statement.partition("(")
    (why,) = bare.execute(f"SELECT {name}_why({arguments}").fetchone()
    assert (why is None) is (result is not None), why


def test_every_function_and_its_twin_is_registered_and_described(
    bare: sqlite3.Connection, ask: httpx.Client
) -> None:
    page = ask.get("/sql-functions").text
    query = "SELECT name FROM pragma_function_list WHERE name = ?"
    for function in sql.FUNCTIONS:
        for name in (function.name, f"{function.name}_why"):
            assert bare.execute(query, (name,)).fetchone() == (name,)
            assert f"{name}({', '.join(function.arguments)})" in page


def test_a_reason_helps(bare: sqlite3.Connection) -> None:
    (why,) = bare.execute("SELECT length_in_why('38.1 kg', 'mm')").fetchone()
    assert "38.1 kg" in why
    assert "Accepted" in why
    (why,) = bare.execute("SELECT length_in_why('38.1', NULL)").fetchone()
    assert why == "argument 2 is NULL"


def test_functions_agree_with_the_questions(bare: sqlite3.Connection, database: Path) -> None:
    with specdb.open(database) as db:
        names = ("insert_diameter", "bore", "insert_inner", "height", "head", "insert")
        values = (38.16, 38.02, 31, 8, "al-si7mg-t6", "sintered-tool-steel")
        joint = dict(zip(names, values, strict=True))
        warm = db.fit(**joint, head_temperature=150, insert_temperature=-78)
        cold = db.fit(**joint)
        strain = db.material("al-si7mg-t6").expansion_strain(150).value
    (clearance,) = bare.execute(f"SELECT clearance_at({JOINT}, 150, '-78 degC')").fetchone()
    assert clearance == -warm.interference_mm.value
    (pressure,) = bare.execute(f"SELECT pressure_of({JOINT})").fetchone()
    assert pressure == cold.pressure_formula_mpa.value
    got = bare.execute("SELECT expansion_between('al-si7mg-t6', 20, 150)").fetchone()
    assert got == (strain,)


@pytest.mark.parametrize("function", sql.FUNCTIONS, ids=lambda each: each.name)
def test_every_example_gives_a_number(bare: sqlite3.Connection, function: sql.Function) -> None:
    (got,) = bare.execute(function.example).fetchone()
    assert isinstance(got, float)
    assert function.about.endswith(".")
