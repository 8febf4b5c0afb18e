"""The description of `data/` is the printed one; an independent validator accepts every file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from frictionless import Package

from specdb.build import datapackage
from specdb.records import rows
from tests.tables import unpublished

DATA = Path(__file__).parents[1] / "data"


def faults(folder: Path) -> list[tuple[str, str]]:
    """(table, kind of fault) of everything the validator finds."""
    report = Package(str(folder / "datapackage.json")).validate()
    found = [(task.name, error.type) for task in report.tasks for error in task.errors]
    return found + [("package", error.type) for error in report.errors]


def test_committed_description_is_the_printed_one() -> None:
    committed = (DATA / "datapackage.json").read_text(encoding="utf-8")
    assert committed == datapackage.text(), "print it anew: specdb.build.datapackage.write"


def test_write_prints_the_same_bytes(tmp_path: Path) -> None:
    datapackage.write(tmp_path / "datapackage.json")
    assert (tmp_path / "datapackage.json").read_bytes() == (DATA / "datapackage.json").read_bytes()


def test_every_table_and_column_is_described() -> None:
    described = {
        resource["path"]: [field["name"] for field in resource["schema"]["fields"]]
        for resource in json.loads((DATA / "datapackage.json").read_text())["resources"]
    }
    assert described == {f"{name}.csv": rows.columns(name) for name in rows.TABLES}
    assert set(described) == {path.name for path in DATA.glob("*.csv")}


def test_every_file_passes_its_schema() -> None:
    assert faults(DATA) == []


@pytest.mark.parametrize(
    ("table", "old", "new", "fault"),
    [
        # published form of a release, an unknown word, a number with a comma, a dangling key
        ("media", ",next", ",soon", "constraint-error"),
        ("media", ",chill,", ",chilly,", "constraint-error"),
        ("media", ",-195.8,", ',"-195,8",', "type-error"),
        ("proxies", ",al-6061-t6,", ",al-6061-t7,", "foreign-key"),
        ("materials", "material.iron-pure,", "material.nickel-pure,", "primary-key"),
    ],
)
def test_a_broken_cell_is_found(tmp_path: Path, table: str, old: str, new: str, fault: str) -> None:
    folder = unpublished(tmp_path / "data")
    file = folder / f"{table}.csv"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert (table, fault) in faults(folder)
