"""Rules about evidence: how a fact was seen fits what its sources are."""

from __future__ import annotations

from collections.abc import Iterator

from specdb.build.rules.data import Data
from specdb.errors import BadCell

HONEST = ("common-practice", "memory", "derived")
"""Kinds of source that are no document."""


def seen_fits_the_source(data: Data) -> Iterator[BadCell]:
    """No row claims to have been seen better than its sources allow.

    A rule of the trade says so and nothing else does; `derived` needs a source that says how;
    what rests on no document was neither read nor quoted. `memory` claims the least of all and may
    stand beside a document: recalled from it, not yet seen in it.
    """
    kinds = {one.cell("key"): one.cell("kind") for one in data.tables["sources"]}
    for one in data.facts():
        found = {kinds.get(key) for key in str(one.cell("source")).split(";")}
        if None not in found and (why := _overclaims(str(one.cell("seen")), found)):
            said = ", ".join(sorted(str(kind) for kind in found))
            yield one.bad("seen", f"{one.cell('seen')!r}, but {why} (sources: {said})")


def _overclaims(seen: str, kinds: set[str | None]) -> str | None:
    rule = "common-practice"
    if (seen == rule) != (kinds == {rule}):
        return "only and every row from common practice alone says common-practice"
    if seen == "derived" and "derived" not in kinds:
        return "no source says how it was derived"
    if kinds == {"memory"} and seen != "memory":
        return "it rests on memory alone"
    if seen not in HONEST and kinds.issubset(HONEST):
        return "no source is a document"
    return None


def doubts_are_explained(data: Data) -> Iterator[BadCell]:
    """A row that may not be used says why in its note (or its condition)."""
    for one in data.facts():
        if one.cell("basis") != "stands" and not one.cell("note"):
            condition = getattr(one.row, "condition", None)
            if not condition:
                yield one.bad("note", f"basis is {one.cell('basis')!r}; the note must say why")


def nothing_from_the_demo(data: Data) -> Iterator[BadCell]:
    """What was invented for a demonstration never becomes a fact."""
    for one in data.facts():
        if "demo" in one.id.replace(".", "-").split("-"):
            yield one.bad("id", "a demonstration's row may not stand among facts")
