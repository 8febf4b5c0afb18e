"""Which material a name means: a key, an insert class, or a standard's designation.

A designation counts when one whole word of it is what was typed ("1.2379", "C17200", "A356" for
"A356.0"), a designation that is nothing but this word before one that says more, and one not
marked as merely near before one that is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from specdb.errors import UnknownName
from specdb.records import trade_words
from specdb.store.asof import Reader
from specdb.store.query import materials as rows


class Named(NamedTuple):
    """The material meant, and the insert class it stands for if a class was asked.

    `row` is the material's own row where finding the name read it already.
    """

    key: str
    insert_class: str | None
    class_row: str | None
    row: Mapping[str, Any] | None = None


def named(reader: Reader, name: str, *, field: str = "material") -> Named:
    """What `name` means. Raises UnknownName with the nearest keys, classes and designations."""
    said = _key(name)
    row = rows.by_key(reader, said)
    if row:
        return Named(said, None, None, row)
    classes = rows.class_names(reader)
    for each in classes:
        also = [_key(word) for word in (each["also_called"] or "").split(";") if word.strip()]
        if said in (each["key"], *also):
            own = rows.class_by_key(reader, each["key"])
            return Named(each["material"], each["key"], own["id"] if own else None)
    held = rows.names(reader)
    meant = _designated(held, _word(name))
    if len(meant) == 1:
        return Named(meant[0], None, None)
    if meant:
        raise UnknownName("single material", name, meant, field=field)
    metals = trade_words.metals(name)
    if metals and field == "material":
        raise _several(name, [each for each in held if each["material_class"] in metals])
    known = {each["key"] for each in (*held, *classes)}
    for each in held:
        known.update(word for word, _ in _words(each["designations"] or ""))
    raise UnknownName("material", name, known, field=field)


def _several(name: str, held: list[dict[str, Any]]) -> UnknownName:
    """That a word names a whole class of metals, with the materials of it."""
    listed = [f"{each['key']} ({each['name']})" for each in held if each["family"] == "head"]
    error = UnknownName("single material", name, [each["key"] for each in held], field="material")
    error.hint = f"It may be {'; '.join(listed)}. Accepted: one of these keys."
    return error


def resolve_material(reader: Reader, name: str, *, field: str = "material") -> str:
    """The key of the material `name` means; a class means the material it stands on."""
    return named(reader, name, field=field).key


def _key(name: str) -> str:
    return "-".join(name.strip().casefold().replace("_", "-").split())


def _word(name: str) -> str:
    return "".join(name.casefold().split()).strip("()").removesuffix(".0")


def _designated(held: list[Mapping[str, Any]] | list[dict[str, Any]], wanted: str) -> list[str]:
    """Keys of the materials designated `wanted`, only those of the best kind of match."""
    ranks: dict[str, int] = {}
    for each in held:
        for word, rank in _words(each["designations"] or ""):
            if _word(word) == wanted:
                ranks[each["key"]] = min(rank, ranks.get(each["key"], rank))
    best = min(ranks.values(), default=0)
    return sorted(key for key, rank in ranks.items() if rank == best)


def _words(designations: str) -> Iterator[tuple[str, int]]:
    """(word, rank) of designations joined by ';': 0 alone, 1 beside others, 2 only near."""
    for one in designations.split(";"):
        near = "(near" in one
        bare = one.replace("(nearest)", " ").replace("(near)", " ")
        whole = " ".join(bare.split())
        if not whole:
            continue
        words = [word for part in bare.split() if (word := part.strip("(),+")) and _alloy(word)]
        rank = 2 if near else 0 if len(words) == 1 or "(" in bare else 1
        yield whole, rank
        for word in words:
            yield word, rank


def _alloy(word: str) -> bool:
    """Whether a word can name an alloy: it has a digit, and is not a bare small number."""
    if not any(each.isdigit() for each in word):
        return False
    return len(word) > 2 or (len(word) == 2 and not word.isdigit())
