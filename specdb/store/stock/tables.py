"""The tables of a shop's lists. Only the migrations in `schema/stock` make them."""

from __future__ import annotations

import sqlalchemy as sa

VERSIONS = "stock_version"
"""Where Alembic keeps the version of these tables."""
TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Text that sorts by code point on every server."""

metadata = sa.MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
    }
)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, TEXT, nullable=False)


def _real(name: str) -> sa.Column[float]:
    return sa.Column(name, sa.Double, nullable=False)


lists = sa.Table(
    "stock_lists",
    metadata,
    sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("name", TEXT, nullable=False, unique=True),
    _text("od_means"),
    _text("digest"),
    sa.Column("rings", sa.Integer, nullable=False),
    _text("imported_at"),
    sa.CheckConstraint("od_means IN ('ring', 'counterbore')", name="od_means"),
)
"""A list. `digest` is taken over what it holds; `imported_at` is for people, no answer shows it."""

rings = sa.Table(
    "stock_rings",
    metadata,
    sa.Column("list", sa.Integer, sa.ForeignKey("stock_lists.id"), primary_key=True),
    sa.Column("part", TEXT, primary_key=True),
    sa.Column("place", sa.Integer, nullable=False),
    _text("made_of"),
    sa.Column("on_shelf", sa.Integer, nullable=False),
    _real("outer_mm"),
    _real("inner_mm"),
    _real("height_mm"),
    _real("outer_minus_mm"),
    _real("outer_plus_mm"),
    sa.Column("qty", sa.Integer),
    _text("outer"),
    _text("inner"),
    _text("height"),
    _text("material"),
    _text("tolerance"),
    _text("note"),
    sa.CheckConstraint("outer_mm > inner_mm", name="wall"),
    sa.Index(
        "ix_stock_rings_search",
        "list",
        "made_of",
        "on_shelf",
        "outer_mm",
        "inner_mm",
        "height_mm",
        "outer_minus_mm",
        "outer_plus_mm",
        "qty",
        "part",
    ),
)
"""A ring: its place on the list, cells as written (their column's unit with them), and in mm.

`made_of` is the insert class, or the material where it is of no one class; `on_shelf` is 0 where
none is left. The index holds whatever a search looks at: one walk a class answers it.
"""
