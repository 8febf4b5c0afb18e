"""What the build computes for each release: curves, values, ranges, sizes."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def _text(*names: str, empty: bool = False) -> list[sa.Column[Any]]:
    return [sa.Column(name, TEXT, nullable=empty) for name in names]


def _real(*names: str, empty: bool = False) -> list[sa.Column[Any]]:
    return [sa.Column(name, sa.Double, nullable=empty) for name in names]


def upgrade() -> None:
    _curve_nodes()
    _property_nodes()
    _usual_values()
    _recommended_ranges()
    _insert_sizes()
    _guide_sizes()


def downgrade() -> None:
    for table in (
        "guide_sizes",
        "insert_sizes",
        "recommended_ranges",
        "usual_values",
        "property_nodes",
        "curve_nodes",
    ):
        op.drop_table(table)


def _curve_nodes() -> None:
    op.create_table(
        "curve_nodes",
        sa.Column("as_of", sa.Integer, nullable=False, autoincrement=False),
        *_text("material"),
        *_real("temperature_c", "strain", "low", "high", "slope"),
        *_text("origin", "sources"),
        sa.PrimaryKeyConstraint(
            "as_of",
            "material",
            "temperature_c",
            name=op.f("pk_curve_nodes"),
        ),
    )


def _property_nodes() -> None:
    op.create_table(
        "property_nodes",
        sa.Column("as_of", sa.Integer, nullable=False, autoincrement=False),
        *_text("material", "property", "state"),
        *_real("temperature_c", "value", "low", "high"),
        *_text("unit", "origin", "sources"),
        sa.PrimaryKeyConstraint(
            "as_of",
            "material",
            "property",
            "state",
            "temperature_c",
            name=op.f("pk_property_nodes"),
        ),
    )


def _usual_values() -> None:
    op.create_table(
        "usual_values",
        sa.Column("as_of", sa.Integer, nullable=False, autoincrement=False),
        *_text("material", "item", "property"),
        *_real("temperature_from_c", empty=True),
        *_real("temperature_c", "value", "low", "high"),
        *_text("unit", "origin", "sources"),
        sa.PrimaryKeyConstraint("as_of", "material", "item", name=op.f("pk_usual_values")),
    )


def _recommended_ranges() -> None:
    op.create_table(
        "recommended_ranges",
        sa.Column("as_of", sa.Integer, nullable=False, autoincrement=False),
        *_text("id", "part", "head_class", "insert_class", "position", "retention", "seat_in"),
        *_real("diameter_from_mm", "diameter_to_mm", empty=True),
        *_real("minimum_mm", "maximum_mm"),
        *_text("rule", "sources"),
        sa.PrimaryKeyConstraint("as_of", "id", name=op.f("pk_recommended_ranges")),
    )
    op.create_index(
        "ix_recommended_ranges_as_of_part_head_class",
        "recommended_ranges",
        ["as_of", "part", "head_class"],
    )


def _insert_sizes() -> None:
    op.create_table(
        "insert_sizes",
        sa.Column("as_of", sa.Integer, nullable=False, autoincrement=False),
        *_text("id", "series", "system"),
        *_real(
            "outer_mm",
            "inner_mm",
            "height_mm",
            "oversize_mm",
            "nominal_mm",
            "wall_mm",
            "outer_minus_mm",
            "outer_plus_mm",
        ),
        sa.PrimaryKeyConstraint("as_of", "id", name=op.f("pk_insert_sizes")),
    )
    op.create_index("ix_insert_sizes_as_of_outer_mm", "insert_sizes", ["as_of", "outer_mm"])


def _guide_sizes() -> None:
    op.create_table(
        "guide_sizes",
        sa.Column("as_of", sa.Integer, nullable=False, autoincrement=False),
        *_text("id", "series", "system"),
        *_real(
            "outer_mm",
            "inner_mm",
            "height_mm",
            "oversize_mm",
            "nominal_mm",
            "wall_mm",
            "outer_minus_mm",
            "outer_plus_mm",
        ),
        sa.PrimaryKeyConstraint("as_of", "id", name=op.f("pk_guide_sizes")),
    )
    op.create_index("ix_guide_sizes_as_of_outer_mm", "guide_sizes", ["as_of", "outer_mm"])
