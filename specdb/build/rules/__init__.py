"""The rules across rows."""

from __future__ import annotations

from specdb.build.expand import Expanded
from specdb.build.read import Tables
from specdb.errors import BadCell


def check_rows(tables: Tables, expanded: Expanded) -> list[BadCell]:
    """Every breach of a rule, in order of file and line."""
    return []
