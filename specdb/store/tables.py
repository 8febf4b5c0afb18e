"""The tables of the reference database as SQLAlchemy Core knows them.

A table of `data/` holds every cell as the text it was written as, beside it the converted columns
as numbers, and the span of releases the row is live in: from `since` up to, not including, `until`.
Columns, allowed words and what may be empty are read off the row models of `records.rows`.

Three more kinds of table are the build's own: `facts` (one line about every fact, for answers to
cite), the *computed* tables (`as_of` a release), and `meta` (what this file is). This module
describes; only the migrations in `schema/reference` make tables, and a test compares the two.
"""

from __future__ import annotations

import types
from collections.abc import Iterator
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import sqlalchemy as sa

from specdb.records import rows

NAMES = {
    "pk": "pk_%(table_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
}
metadata = sa.MetaData(naming_convention=NAMES)
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Text that sorts by code point on either server."""

KEYED = ("sources", "materials", "insert_classes", "media", "cautions")
"""Tables whose rows other rows name by `key`."""
SEARCHED: dict[str, list[tuple[str, ...]]] = {
    "vocabulary": [("list", "word")],
    "material_properties": [("material", "property")],
    "expansion_fits": [("material",)],
    "proxies": [("material",)],
    "interference_ranges": [("part", "head_class")],
    "pocket_factors": [("placement", "wall_ratio", "height_ratio", "hub_ratio")],
    **{table: [("key",)] for table in KEYED},
}
"""Table -> the columns it is searched by, an index each."""


def _parts(annotation: Any) -> Iterator[Any]:
    """The bare types inside an annotation, unwrapped of Annotated and unions."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from _parts(get_args(annotation)[0])
    elif origin in (Union, types.UnionType):
        for inner in get_args(annotation):
            yield from _parts(inner)
    else:
        yield annotation


def may_be_empty(model: type[rows.Row], column: str) -> bool:
    """Whether a cell of this column may be left empty."""
    return type(None) in _parts(model.model_fields[column].annotation)


def allowed_words(model: type[rows.Row], column: str) -> tuple[str, ...]:
    """The words a column is held to by its model, or none."""
    for part in _parts(model.model_fields[column].annotation):
        if get_origin(part) is Literal:
            return get_args(part)
    return ()


def _one_of(column: str, words: tuple[str, ...]) -> sa.CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in words)
    return sa.CheckConstraint(f"{column} IN ({listed})", name=column)


def _live() -> list[Any]:
    return [
        sa.Column("since", sa.Integer, nullable=False),
        sa.Column("until", sa.Integer),
        sa.CheckConstraint("until IS NULL OR until > since", name="span"),
    ]


def _from_model(table: str, model: type[rows.Row]) -> sa.Table:
    written = [
        sa.Column(
            name,
            TEXT,
            primary_key=name == "id",
            nullable=may_be_empty(model, name),
        )
        for name in rows.columns(table)
    ]
    converted = [sa.Column(name, sa.Double) for name in model.CONVERTED]
    checks = [
        _one_of(name, words)
        for name in rows.columns(table)
        if (words := allowed_words(model, name))
    ]
    indices = [
        sa.Index(f"ix_{table}_{'_'.join(names)}", *names) for names in SEARCHED.get(table, [])
    ]
    return sa.Table(table, metadata, *written, *converted, *_live(), *checks, *indices)


def _computed(table: str, *columns: Any, search: tuple[str, ...] = ()) -> sa.Table:
    """A table the build computes for each release; ids repeat from release to release."""
    as_of = sa.Column("as_of", sa.Integer, primary_key=True, autoincrement=False)
    indices = [sa.Index(f"ix_{table}_{'_'.join(search)}", *search)] if search else []
    return sa.Table(table, metadata, as_of, *columns, *indices)


def _key(name: str) -> sa.Column[str]:
    return sa.Column(name, TEXT, primary_key=True)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, TEXT, nullable=False)


def _real(name: str, *, empty: bool = False) -> sa.Column[float]:
    return sa.Column(name, sa.Double, nullable=empty)


for _table, _model in rows.TABLES.items():
    if _table != "releases":
        _from_model(_table, _model)

releases = sa.Table(
    "releases",
    metadata,
    sa.Column("ordinal", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("version", TEXT, nullable=False),
    sa.Column("date", TEXT),
    sa.Column("summary", TEXT),
    sa.Column("digest", TEXT),
    sa.CheckConstraint("version = 'next' OR digest IS NOT NULL", name="published"),
)
"""The published releases, and last the draft `next` (no date, no digest) while it has rows."""

facts = sa.Table(
    "facts",
    metadata,
    sa.Column("id", TEXT, primary_key=True),
    sa.Column("table_name", TEXT, nullable=False),
    sa.Column("source", TEXT, nullable=False),
    sa.Column("locator", TEXT),
    sa.Column("seen", TEXT, nullable=False),
    sa.Column("basis", TEXT, nullable=False),
    sa.Column("printed", TEXT),
    sa.Column("note", TEXT),
    sa.Column("release", TEXT, nullable=False),
    *_live(),
)

curve_nodes = _computed(
    "curve_nodes",
    _key("material"),
    sa.Column("temperature_c", sa.Double, primary_key=True),
    _real("strain"),
    _real("low"),
    _real("high"),
    _real("slope"),
    _text("origin"),
    _text("sources"),
)

property_nodes = _computed(
    "property_nodes",
    _key("material"),
    _key("property"),
    _key("state"),
    sa.Column("temperature_c", sa.Double, primary_key=True),
    _real("value"),
    _real("low"),
    _real("high"),
    _text("unit"),
    _text("origin"),
    _text("sources"),
)

usual_values = _computed(
    "usual_values",
    _key("material"),
    _key("item"),
    _text("property"),
    _real("temperature_from_c", empty=True),
    _real("temperature_c"),
    _real("value"),
    _real("low"),
    _real("high"),
    _text("unit"),
    _text("origin"),
    _text("sources"),
)

recommended_ranges = _computed(
    "recommended_ranges",
    _key("id"),
    _text("part"),
    _text("head_class"),
    _text("insert_class"),
    _text("position"),
    _text("retention"),
    _text("seat_in"),
    _real("diameter_from_mm", empty=True),
    _real("diameter_to_mm", empty=True),
    _real("minimum_mm"),
    _real("maximum_mm"),
    _text("rule"),
    _text("sources"),
    search=("as_of", "part", "head_class"),
)


def _sizes(table: str) -> sa.Table:
    return _computed(
        table,
        _key("id"),
        _text("series"),
        _text("system"),
        _real("outer_mm"),
        _real("inner_mm"),
        _real("height_mm"),
        _real("oversize_mm"),
        _real("nominal_mm"),
        _real("wall_mm"),
        _real("outer_minus_mm"),
        _real("outer_plus_mm"),
        search=("as_of", "outer_mm"),
    )


insert_sizes = _sizes("insert_sizes")
guide_sizes = _sizes("guide_sizes")

COMPUTED = (
    curve_nodes,
    property_nodes,
    usual_values,
    recommended_ranges,
    insert_sizes,
    guide_sizes,
)

meta = sa.Table(
    "meta",
    metadata,
    sa.Column("key", TEXT, primary_key=True),
    sa.Column("value", TEXT, nullable=False),
)
