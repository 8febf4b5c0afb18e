"""The changes between two releases, for people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from specdb.cli import table

if TYPE_CHECKING:
    from specdb.build.history import Diff

MANY = 30
"""Added rows of one table shown one by one up to here, else counted."""


def shown(diff: Diff) -> str:
    """Counts by table, then every row that was corrected, withdrawn or added."""
    counts = _counts(diff)
    if not counts:
        return f"Nothing changed from {diff.before} to {diff.after}.\n"
    parts = [
        f"From {diff.before} to {diff.after}",
        table.columns(counts, ["table", "added", "corrected", "withdrawn"]),
    ]
    parts += _listed("Corrected", [_corrected(one) for one in diff.corrected])
    parts += _listed("Withdrawn", [f"{_row(one)}: {one['reason']}" for one in diff.withdrawn])
    many = {name for name, count in Counter(_tables(diff.added)).items() if count > MANY}
    parts += _listed("Added", [_row(one) for one in diff.added if one["table"] not in many])
    if many:
        parts.append(f"Added to {', '.join(sorted(many))}: too many to list here; see --json.")
    return "\n\n".join(parts) + "\n"


def _tables(entries: Sequence[Mapping[str, Any]]) -> list[str]:
    return [one["table"] for one in entries]


def _counts(diff: Diff) -> list[list[str]]:
    groups = [Counter(_tables(some)) for some in (diff.added, diff.corrected, diff.withdrawn)]
    names = sorted(set().union(*groups))
    return [[name, *(str(group[name] or "-") for group in groups)] for name in names]


def _listed(title: str, lines: Sequence[str]) -> list[str]:
    return ["\n".join([title, *(table.paragraph(line, "  - ") for line in lines)])] if lines else []


def _row(one: Mapping[str, Any]) -> str:
    said = f" ({one['said']})" if one["said"] else ""
    return f"{one['table']} {one['id']}{said}"


def _corrected(one: Mapping[str, Any]) -> str:
    changes = "; ".join(
        f"{name} {old or '(empty)'} -> {new or '(empty)'}"
        for name, (old, new) in one["changed"].items()
    )
    return f"{_row(one)} -> {one['replacement']}: {changes}. {one['reason']}"
