"""What came and went between two releases, read from a database."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from specdb.build.digest import APART
from specdb.errors import BadRequest
from specdb.records.rows import columns
from specdb.store.asof import DRAFT, Reader, Release, choose_release
from specdb.store.query import history

_ABOUT = ("id", "release")
"""Columns in which a corrected row differs from the one it replaces by its nature."""
_NAMES = ("name", "title", "definition", "text", "statement", "reason", "word")
"""Columns that say in words what a row without a figure is."""


@dataclass(frozen=True, slots=True)
class Diff:
    """`added`, `corrected` (withdrawn with a replacement) and `withdrawn` rows, by table and id.

    An entry has `table`, `id`, `release` and `said` (the figure as printed, or the row's words); a
    corrected or withdrawn one `reason`, a corrected one `replacement` and `changed` (column -> what
    it said, what it says).
    """

    before: str
    after: str
    added: list[dict[str, Any]] = field(default_factory=list)
    corrected: list[dict[str, Any]] = field(default_factory=list)
    withdrawn: list[dict[str, Any]] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """The record for JSON."""
        return {
            "from": self.before,
            "to": self.after,
            "added": self.added,
            "corrected": self.corrected,
            "withdrawn": self.withdrawn,
        }


def published(reader: Reader) -> list[dict[str, Any]]:
    """The published releases, oldest first: ordinal, version, date, summary, digest."""
    return [row for row in history.releases(reader) if row["version"] != DRAFT]


def diff(reader: Reader, before: str, after: str) -> Diff:
    """What changed from release `before` to release `after`.

    A row replaced more than once stands once, with the replacement that is live in `after` and the
    first reason to the last. Raises UnknownName for a release that is not there, BadRequest for two
    in the wrong order.
    """
    known = [Release(row["version"], row["ordinal"]) for row in history.releases(reader)]
    old, new = choose_release(known, before), choose_release(known, after)
    if old.ordinal > new.ordinal:
        raise BadRequest(
            f"release {before} is later than {after}.", hint=f"Ask for: diff {after} {before}"
        )
    return _Comparison(reader, old, new).diff()


class _Comparison:
    def __init__(self, reader: Reader, old: Release, new: Release) -> None:
        self._old, self._new = old, new
        every = history.rows(reader)
        self._gone = {
            row["withdrawn"]: row for row in every.pop("withdrawals") if row["since"] <= new.ordinal
        }
        self._tables = {table: rows for table, rows in every.items() if table not in APART}
        self._printed = history.printed(reader)
        self._by_id = {row["id"]: row for rows in self._tables.values() for row in rows}

    def diff(self) -> Diff:
        made = Diff(self._old.version, self._new.version)
        taken = set()
        for table, rows in self._tables.items():
            for row in rows:
                if not _live(row, self._old) or _live(row, self._new):
                    continue
                last, reasons = self._followed(row["id"])
                entry = {**self._entry(table, row), "reason": "; then: ".join(reasons)}
                entry["release"] = self._gone[row["id"]]["release"]
                if last is None:
                    made.withdrawn.append(entry)
                else:
                    taken.add(last["id"])
                    changed = _changed(table, row, last)
                    made.corrected.append({**entry, "replacement": last["id"], "changed": changed})
        for table, rows in self._tables.items():
            for row in rows:
                fresh = _live(row, self._new) and not _live(row, self._old)
                if fresh and row["id"] not in taken:
                    made.added.append(self._entry(table, row))
        return made

    def _followed(self, row: str) -> tuple[dict[str, Any] | None, list[str]]:
        """The row that stands for a withdrawn one in the later release, and why, step by step."""
        reasons = []
        while row in self._gone:
            reasons.append(self._gone[row]["reason"])
            row = self._gone[row]["replacement"]
        found = self._by_id.get(row) if row else None
        return (found if found and _live(found, self._new) else None), reasons

    def _entry(self, table: str, row: Mapping[str, Any]) -> dict[str, Any]:
        words = [row[name] for name in _NAMES if row.get(name)]
        said = self._printed.get(row["id"]) or (words[0] if words else None)
        return {"table": table, "id": row["id"], "release": row["release"], "said": said}


def _live(row: Mapping[str, Any], release: Release) -> bool:
    until = row["until"]
    return bool(row["since"] <= release.ordinal and (until is None or until > release.ordinal))


def _changed(
    table: str, old: Mapping[str, Any], new: Mapping[str, Any]
) -> dict[str, list[str | None]]:
    return {
        name: [old[name], new[name]]
        for name in columns(table)
        if name not in _ABOUT and old[name] != new[name]
    }


def markdown(diff: Diff) -> str:
    """The changes as a passage of a changelog."""
    lines = [f"## Data {diff.after}, after {diff.before}", ""]
    lines += _section("Added", [_line(one) for one in diff.added])
    lines += _section("Corrected", [_corrected(one) for one in diff.corrected])
    lines += _section(
        "Withdrawn", [f"{_line(one)}. Why: {one['reason']}" for one in diff.withdrawn]
    )
    if len(lines) == 2:
        lines += ["Nothing changed.", ""]
    return "\n".join(lines)


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return [f"### {title}", "", *(f"- {line}" for line in lines), ""] if lines else []


def _line(one: Mapping[str, Any]) -> str:
    said = f": {one['said']}" if one["said"] else ""
    return f"`{one['table']}` `{one['id']}`{said}"


def _corrected(one: Mapping[str, Any]) -> str:
    changes = "; ".join(
        f"{name} {_cell(old)} -> {_cell(new)}" for name, (old, new) in one["changed"].items()
    )
    return (
        f"`{one['table']}` `{one['id']}` by `{one['replacement']}`: {changes}. Why: {one['reason']}"
    )


def _cell(text: str | None) -> str:
    return "(empty)" if text is None else f"'{text}'"
