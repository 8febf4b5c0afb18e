"""Plan every seat of the demo heads in data/demo/ and print what a machinist works from."""

from __future__ import annotations

import csv
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import specdb
from specdb.cli import table
from specdb.records.seat import SeatPlan

DEMO = Path(__file__).resolve().parents[1] / "data" / "demo"


def readings(file: Path) -> Iterator[dict[str, object]]:
    """One seat a row; `bore_1`, `bore_2`, ... are readings of one list."""
    with file.open(encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            asked: dict[str, object] = {}
            for name, cell in row.items():
                counted = re.fullmatch(r"(bore|bore_bottom)_\d+", name)
                if cell and counted:
                    given = asked.setdefault(counted[1], [])
                    assert isinstance(given, list)
                    given.append(cell)
                elif cell:
                    asked[name] = cell
            yield asked


def show(plan: SeatPlan) -> str:
    lines = [[line.what, line.text] for line in plan.bench]
    lines += [["look at this", text] for text in plan.problems]
    lines += [["not known", f"{name}: {why}"] for name, why in plan.unknown.items()]
    return f"{plan.label}\n{table.columns(lines)}"


def main() -> None:
    with specdb.open() as db:
        for file in sorted(DEMO.glob("*.csv")):
            rows = list(readings(file))
            print(f"\n{file.stem.replace('-', ' ')} (demo, invented), data release {db.release}\n")
            plans = []
            for at, asked in enumerate(rows, 1):
                print(f"  seat {at} of {len(rows)}", file=sys.stderr)
                plans.append(db.seat(**asked))
            print("\n\n".join(map(show, plans)))
            print("\nCautions")
            cautions = {note.key: note for plan in plans for note in plan.cautions}
            for note in cautions.values():
                print(table.paragraph(f"{note.severity.upper()}: {note.text}", "  - "))


if __name__ == "__main__":
    main()
