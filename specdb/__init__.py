"""specdb: sizes, fits, temperatures and seat geometry for valve-seat work, each with its source.

The map, from the ground up; a room imports only from rooms above its own line:

    errors     one family, with exit codes
    units      text -> house unit; the only importer of pint
    estimate   a value with its band and its rows; how bands combine
    records    pydantic: one class a data table, one file a question
    physics    NumPy only: rings, curves, pocket, heat, geometry, limits
    store      all SQL and all paths
    build      the curator's side: read, check, expand, load, publish
    answers    one module a question; registry.py declares each once
    database   what open() returns
    sheet      a plan as a printed page, with its drawings
    cli, web   thin faces printed from the registry

`open()` gives a `Database`; every name below is imported on first use, so that importing the
package costs next to nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from specdb.database import Database, open
    from specdb.errors import SpecdbError
    from specdb.estimate import Estimate
    from specdb.records.seat import SeatReadings

__version__ = "0.1.0"
__all__ = ["Database", "Estimate", "SeatReadings", "SpecdbError", "__version__", "open"]

_HOME = {
    "Database": "specdb.database",
    "Estimate": "specdb.estimate",
    "SeatReadings": "specdb.records.seat",
    "SpecdbError": "specdb.errors",
    "open": "specdb.database",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'specdb' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
