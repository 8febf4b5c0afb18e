"""The description of `data/` in an open standard, printed from the row models.

`data/datapackage.json` is a Data Package with a Table Schema for each table, so that a reader in
any language knows the columns, and an independent validator can judge the files. It is never
edited: `specdb.records.rows` is the one place where a column is declared.
"""

from __future__ import annotations

import json
import types
from pathlib import Path
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from specdb.records import rows

_MULTIPLE = r"(?:;{0})*"
_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_KINDS: list[tuple[Any, dict[str, Any]]] = [
    (rows.Key, {"type": "string", "constraints": {"pattern": rows.KEY.pattern}}),
    (rows.Id, {"type": "string", "constraints": {"pattern": rows.ID.pattern}}),
    (
        rows.Keys,
        {
            "type": "string",
            "constraints": {"pattern": rows.KEY.pattern + _MULTIPLE.format(rows.KEY.pattern)},
        },
    ),
    (rows.Number, {"type": "number"}),
    (
        rows.Numbers,
        {"type": "string", "constraints": {"pattern": _NUMBER + _MULTIPLE.format(_NUMBER)}},
    ),
    (
        rows.Release,
        {
            "type": "string",
            "constraints": {"pattern": r"(?:next|20[0-9]{2}\.[0-9]{2}(?:\.[0-9]+)?)"},
        },
    ),
    (rows.Text, {"type": "string", "constraints": {"minLength": 1}}),
]
"""What each cell type of the row models is in a Table Schema."""


def datapackage() -> dict[str, Any]:
    """The whole description, ready for JSON; resources in the order a loader may fill them."""
    return {
        "profile": "tabular-data-package",
        "name": "specdb-data",
        "title": "Sourced sizes, fits, temperatures and seat geometry for valve-seat work",
        "licenses": [
            {
                "name": "CC-BY-4.0",
                "title": "Creative Commons Attribution 4.0",
                "path": "https://creativecommons.org/licenses/by/4.0/",
            }
        ],
        "resources": [_resource(table) for table in rows.TABLES],
    }


def text() -> str:
    """The description as the committed file holds it."""
    return json.dumps(datapackage(), indent=2, ensure_ascii=False) + "\n"


def write(path: Path) -> None:
    """Print the description to `path`."""
    path.write_text(text(), encoding="utf-8", newline="\n")


def _resource(table: str) -> dict[str, Any]:
    resource: dict[str, Any] = {
        "profile": "tabular-data-resource",
        "name": table.replace("_", "-"),
        "path": f"{table}.csv",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "quoteChar": '"', "header": True, "lineTerminator": "\n"},
    }
    words = rows.TABLES[table].__dict__.get("__doc__")
    if words:
        resource["description"] = " ".join(words.split())
    return {**resource, "schema": _schema(table)}


def _schema(table: str) -> dict[str, Any]:
    model = rows.TABLES[table]
    hints = get_type_hints(model, include_extras=True)
    schema: dict[str, Any] = {
        "fields": [_field(name, hints[name], table) for name in rows.columns(table)],
        "missingValues": [""],
        "primaryKey": [rows.key_column(table)],
    }
    foreign = [
        {
            "fields": [column],
            "reference": {"resource": target.replace("_", "-"), "fields": ["key"]},
        }
        for column, target in sorted(model.REFERENCES.items())
        # a word of a vocabulary list has two columns there, which a foreign key cannot name
        if not target.startswith("vocabulary:")
    ]
    return {**schema, "foreignKeys": foreign} if foreign else schema


def _field(name: str, hint: Any, table: str) -> dict[str, Any]:
    given, optional = _strip_none(hint)
    shape = _shape(given)
    constraints = dict(shape.pop("constraints", {}))
    if not optional:
        constraints = {"required": True, **constraints}
    if name == rows.key_column(table):
        constraints["unique"] = True
    field = {"name": name, **shape}
    return {**field, "constraints": constraints} if constraints else field


def _strip_none(hint: Any) -> tuple[Any, bool]:
    if get_origin(hint) not in (Union, types.UnionType):
        return hint, False
    kept = [part for part in get_args(hint) if part is not type(None)]
    return kept[0], len(kept) < len(get_args(hint))


def _shape(hint: Any) -> dict[str, Any]:
    """The Table Schema type of a cell; a cell type unknown here is a fault of ours."""
    if get_origin(hint) is Literal:
        return {"type": "string", "constraints": {"enum": list(get_args(hint))}}
    for kind, shape in _KINDS:
        if hint == kind or (get_origin(hint) is Annotated and hint is kind):
            return dict(shape)
    raise TypeError(f"no Table Schema type is known for {hint!r}")


if __name__ == "__main__":  # as DEVELOPERS.md says, after a change of a row model
    from specdb.store import assets

    write(assets.data() / "datapackage.json")
