"""Nothing of the researched reference was dropped silently.

The manifest was counted in the reference tables; here the rows of `data/` are counted.
"""

from __future__ import annotations

import csv
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from specdb.records import rows

ROOT = Path(__file__).parents[1]
MANIFEST: dict[str, dict[str, Any]] = tomllib.loads(
    (ROOT / "tests" / "manifest.toml").read_text(encoding="utf-8")
)["tables"]


def counted(table: str, column: str) -> Counter[str]:
    with (ROOT / "data" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return Counter(row[column] for row in csv.DictReader(file))


def expected(entry: dict[str, Any]) -> Counter[str]:
    counts = Counter(entry.get("carried", {}))
    for left in entry.get("left_out", []):
        counts.subtract(left["counts"])
    for more in entry.get("added", []):
        counts.update(more["counts"])
    return counts


@pytest.mark.parametrize("table", sorted(MANIFEST))
def test_rows_are_those_of_the_manifest(table: str) -> None:
    entry = MANIFEST[table]
    wanted = expected(entry)
    assert min(wanted.values(), default=0) >= 0, "more is left out than the reference holds"
    assert counted(table, entry.get("by", "seen")) == +wanted


@pytest.mark.parametrize("table", sorted(MANIFEST))
def test_whatever_is_left_out_or_added_says_why(table: str) -> None:
    entry = MANIFEST[table]
    assert entry["from"]
    for change in entry.get("left_out", []) + entry.get("added", []):
        assert len(change["why"]) > 20
        assert sum(change["counts"].values()) > 0


def test_every_table_of_facts_is_in_the_manifest() -> None:
    facts = {name for name, model in rows.TABLES.items() if issubclass(model, rows.Fact)}
    assert set(MANIFEST) == facts | {"sources"}
