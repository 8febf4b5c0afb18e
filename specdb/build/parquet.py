"""The tables as Parquet files, through the optional library `pyarrow`."""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

from specdb.build.tables_out import Tables
from specdb.errors import StoreError
from specdb.records.rows import columns


def required() -> tuple[Any, Any]:
    """The library and its Parquet part; raises StoreError where it is not installed."""
    try:
        return importlib.import_module("pyarrow"), importlib.import_module("pyarrow.parquet")
    except ImportError:
        raise StoreError(
            "Parquet is written through pyarrow, which is not installed.",
            hint="Install specdb with its extra: pip install 'specdb[parquet]'.",
        ) from None


def write(folder: Path, tables: Tables, release: str, digest: str) -> None:
    """A file for each table: every cell as text, release and digest in its metadata."""
    arrow, files = required()
    folder.mkdir()
    about = {"specdb.release": release, "specdb.digest": digest}
    for table, rows in tables.items():
        schema = arrow.schema([(name, arrow.string()) for name in columns(table)], metadata=about)
        filled = arrow.Table.from_pylist([dict(row) for row in rows], schema=schema)
        files.write_table(filled, folder / f"{table}.parquet")
