"""Rules about names: keys and words that stand once, references that resolve, withdrawals."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from specdb.build.read import Placed
from specdb.build.rules.data import Data
from specdb.errors import BadCell, nearest
from specdb.records import rows
from specdb.store.tables import allowed_words

Spans = dict[str, set[int]]
"""Name -> ordinals of the releases it is known in."""


def keys_stand_once(data: Data) -> Iterator[BadCell]:
    """In one release a key names one row."""
    for table, model in data.walk():
        if "key" in model.model_fields:
            yield from _once(data, data.tables[table], ("key",))
    yield from _once(data, data.tables["vocabulary"], ("list", "word"))


def _once(data: Data, placed: list[Placed], columns: tuple[str, ...]) -> Iterator[BadCell]:
    first: dict[tuple[object, ...], Placed] = {}
    for one in placed:
        name = tuple(one.cell(column) for column in columns)
        for ordinal in data.live(one):
            other = first.setdefault((*name, ordinal), one)
            if other is not one:
                said = " of ".join(repr(part) for part in reversed(name))
                yield one.bad(columns[-1], f"{said} is already named by line {other.line}")
                break


def references_resolve(data: Data) -> Iterator[BadCell]:
    """What a row names is there in every release the row is live in."""
    for table, model in data.walk():
        targets = dict(model.REFERENCES)
        if issubclass(model, rows.Fact):
            targets["source"] = "sources"
        for column, target in targets.items():
            if target.partition(":")[0] in data.spoiled:
                continue
            known = _known(data, target)
            for one in data.tables[table]:
                for word in (one.cell(column) or "").split(";"):
                    if word:
                        yield from _resolve(data, one, column, target, word, known)


def _known(data: Data, target: str) -> Spans:
    known: Spans = defaultdict(set)
    table, _, listed = target.partition(":")
    for one in data.tables[table]:
        if not listed:
            known[str(one.cell("key"))].update(data.live(one))
        elif one.cell("list") == listed:
            known[str(one.cell("word"))].update(data.live(one))
    return known


def _resolve(
    data: Data, one: Placed, column: str, target: str, word: str, known: Spans
) -> Iterator[BadCell]:
    table, _, listed = target.partition(":")
    where = f"a word of the vocabulary list {listed!r}" if listed else f"a key of {table!r}"
    if word not in known:
        near = nearest(word, known)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        yield one.bad(column, f"{word!r} is not {where}{hint}")
    elif not known[word].issuperset(data.live(one)):
        yield one.bad(column, f"{word!r} is no longer {where} in a release this row is live in")


def fixed_words_are_defined(data: Data) -> Iterator[BadCell]:
    """The words the code itself knows (`seen`, `basis`) have their definition too."""
    if "vocabulary" in data.spoiled:
        return
    vocabulary = data.tables["vocabulary"]
    for column in ("seen", "basis"):
        defined = {one.cell("word") for one in vocabulary if one.cell("list") == column}
        for word in allowed_words(rows.Fact, column):
            if word not in defined:
                reason = f"the list {column!r} does not define {word!r}"
                yield BadCell("vocabulary.csv", 1, "word", reason)


def no_fact_stands_twice(data: Data) -> Iterator[BadCell]:
    """Two live rows that differ in nothing but their id are one fact."""
    for table, model in data.walk():
        if not issubclass(model, rows.Fact):
            continue
        columns = [name for name in rows.columns(table) if name not in ("id", "release")]
        first: dict[tuple[object, ...], Placed] = {}
        for one in data.tables[table]:
            if not data.live(one):
                continue
            cells = tuple(one.cell(column) for column in columns)
            other = first.setdefault(cells, one)
            if other is not one and set(data.live(one)) & set(data.live(other)):
                yield one.bad("id", f"says the same as {other.id!r}, line {other.line}")


def withdrawals_fit(data: Data) -> Iterator[BadCell]:
    """A withdrawal names a row that is there, once, and a replacement that lives on."""
    first: dict[str, Placed] = {}
    for one in data.tables["withdrawals"]:
        gone, instead = str(one.cell("withdrawn")), one.cell("replacement")
        if gone not in data.placed and not data.spoiled:
            yield one.bad("withdrawn", f"no row has the id {gone!r}")
        other = first.setdefault(gone, one)
        if other is not one:
            yield one.bad("withdrawn", f"{gone!r} was already withdrawn on line {other.line}")
        if instead is None:
            continue
        if instead == gone:
            yield one.bad("replacement", f"{gone!r} cannot replace itself")
        elif instead not in data.placed and not data.spoiled:
            yield one.bad("replacement", f"no row has the id {instead!r}")
        elif {gone, instead} <= set(data.placed) and _table(data, gone) != _table(data, instead):
            yield one.bad("replacement", f"{instead!r} is a row of another table")


def _table(data: Data, row: str) -> str:
    return data.placed[row].file
