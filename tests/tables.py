"""Copies of the curated tables for tests that break, publish and correct them."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

from specdb.build import citation
from specdb.records import rows
from specdb.store import assets

APART = ("releases", "release_tables", "withdrawals")


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def write(path: Path, held: list[dict[str, str]]) -> None:
    """The rows in order of their id, as `data/` has them."""
    columns = rows.columns(path.stem)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, columns, lineterminator="\n")
        writer.writeheader()
        writer.writerows(sorted(held, key=lambda row: row[rows.key_column(path.stem)]))


def copied(folder: Path) -> Path:
    """A copy of `data/` as it is."""
    return Path(shutil.copytree(assets.data(), folder, ignore=shutil.ignore_patterns("demo")))


SPARE = ("medium.spare-freezer", "medium.spare-plate")
"""Two made-up rows of `media` in an unpublished copy: nothing names them, a test may withdraw them
whatever becomes of the facts."""


def unpublished(folder: Path) -> Path:
    """A copy of `data/` as if nothing had been published: what stands now, all of it a draft."""
    copied(folder)
    gone = {row["withdrawn"] for row in read(folder / "withdrawals.csv")}
    for table in rows.TABLES:
        path = folder / f"{table}.csv"
        held = [] if table in APART else [row for row in read(path) if row["id"] not in gone]
        if table == "media":
            held += [{**held[0], "id": spare, "key": spare.partition(".")[2]} for spare in SPARE]
        write(path, [{**row, "release": "next"} for row in held])
    (folder / citation.NAME).write_text(citation.text("next", "", ""), encoding="utf-8")
    return folder


HEAVY = (
    "bridge_factors",
    "expansion_fits",
    "guide_series",
    "insert_series",
    "interference_ranges",
    "material_properties",
    "pocket_factors",
    "proxies",
)
"""Tables that take long to read or to compute from, named by no other."""


def small(folder: Path) -> Path:
    """A copy of `data/`, unpublished, that builds in a moment: the heavy tables are empty."""
    unpublished(folder)
    for table in sorted(set(HEAVY) & set(rows.TABLES)):
        write(folder / f"{table}.csv", [])
    return folder


def add(folder: Path, table: str, *new: dict[str, str]) -> None:
    """Put rows into a table, in order."""
    path = folder / f"{table}.csv"
    write(path, [*read(path), *new])


def withdraw(
    folder: Path, row: str, reason: str, replacement: str = "", release: str = "next"
) -> None:
    """Withdraw a row."""
    cells = {"id": f"withdrawal.{row}", "withdrawn": row, "reason": reason}
    add(folder, "withdrawals", {**cells, "replacement": replacement, "release": release})
