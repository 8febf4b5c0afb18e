"""Tables of factors computed anew: all cases solved on all processors, and written as rows.

What is published is never written over: the rows go to a file of their own, to be compared with
the data and, where they differ for a reason, to be added as drafts.
"""

from __future__ import annotations

import argparse
import csv
import multiprocessing
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

from specdb.physics.factor_table import FactorTable
from specdb.records import rows

C = TypeVar("C")
F = TypeVar("F")
Point = tuple[str, tuple[float, ...]]
"""Which grid of a table, and the ratios of a point of it."""


def solved(solve: Callable[[C], F], cases: Sequence[C]) -> Iterator[F]:
    """Every case solved, on all processors, in order; says on standard error how far it is."""
    with multiprocessing.Pool() as pool:
        for number, found in enumerate(pool.imap(solve, cases, chunksize=16), 1):
            if number % 100 == 0 or number == len(cases):
                print(f"\r{number} of {len(cases)}", end="", file=sys.stderr, flush=True)
            yield found
    print(file=sys.stderr)


def row(table: FactorTable, letters: str, point: Point, found: Sequence[float]) -> dict[str, str]:
    """A draft row; `letters` name the axes in its id, `found` is in the order of the factors."""
    key, ratios = point
    written = [f"{at:g}" for at in ratios]
    named = (letter + at for letter, at in zip(letters, written, strict=True))
    place = ".".join(each.replace(".", "-") for each in named)
    cells = {"id": f"{table.subject}-factor.{key}.{place}", table.key: key}
    cells |= dict(zip(table.ratios, written, strict=True))
    columns = [factor.column for factor in table.factors]
    cells |= {name: figures(at) for name, at in zip(columns, found, strict=True)}
    source = f"derived-{table.subject}-factors"
    return cells | {"source": source, "seen": "derived", "basis": "stands", "release": "next"}


def figures(at: float) -> str:
    """Four figures where the number is 1 or more, else four decimals."""
    return f"{at:.3f}" if abs(at) >= 1.0 else f"{at:.4f}"


def write(table: FactorTable, found: Iterable[dict[str, str]], path: Path) -> None:
    """A CSV file of rows in the columns and the order of the data."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows.columns(table.data), lineterminator="\n")
        writer.writeheader()
        writer.writerows(sorted(found, key=lambda cells: cells["id"]))


def main(doc: str, compute: Callable[[Path], None], check: Callable[[], None]) -> None:
    """The command line of a script: a file to write to, or the check of what is there."""
    parser = argparse.ArgumentParser(description=doc.splitlines()[0])
    wanted = parser.add_mutually_exclusive_group(required=True)
    wanted.add_argument("--to", type=Path, metavar="FILE", help="compute the table into a file")
    wanted.add_argument("--check", action="store_true", help="show how good the table is")
    given = parser.parse_args()
    if given.check:
        check()
    else:
        compute(given.to)
