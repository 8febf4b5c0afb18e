"""Interference ranges, size series, dimensions, choices, and the standard fits."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

SEEN = "text excerpt secondary memory common-practice derived"
BASIS = "stands proxy outlier example unverified superseded"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def _text(*names: str, empty: bool = False) -> list[sa.Column[Any]]:
    return [sa.Column(name, TEXT, nullable=empty) for name in names]


def _real(*names: str, empty: bool = False) -> list[sa.Column[Any]]:
    return [sa.Column(name, sa.Double, nullable=empty) for name in names]


def _one_of(table: str, column: str, words: str) -> sa.CheckConstraint:
    listed = ", ".join(f"'{word}'" for word in words.split())
    return sa.CheckConstraint(f"{column} IN ({listed})", name=op.f(f"ck_{table}_{column}"))


def _span(table: str) -> list[Any]:
    """The releases a row is live in, and its key."""
    return [
        sa.Column("since", sa.Integer, nullable=False),
        sa.Column("until", sa.Integer),
        sa.CheckConstraint("until IS NULL OR until > since", name=op.f(f"ck_{table}_span")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    ]


def upgrade() -> None:
    _interference_ranges()
    _insert_series()
    _guide_series()
    _insert_dimensions()
    _guide_dimensions()
    _seat_geometry()
    _choices()
    _tolerance_grades()
    _fundamental_deviations()
    _inch_fits()


def downgrade() -> None:
    for table in (
        "inch_fits",
        "fundamental_deviations",
        "tolerance_grades",
        "choices",
        "seat_geometry",
        "guide_dimensions",
        "insert_dimensions",
        "guide_series",
        "insert_series",
        "interference_ranges",
    ):
        op.drop_table(table)


def _interference_ranges() -> None:
    op.create_table(
        "interference_ranges",
        *_text("id", "part", "head_class", "insert_class", "position"),
        *_text("diameter_from", "diameter_to", "diameter_unit", empty=True),
        *_text(
            "minimum",
            "maximum",
            "unit",
            "form",
            "retention",
            "seat_in",
            "head_known",
            "work",
            "source",
            "seen",
        ),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("diameter_from_mm", "diameter_to_mm", "minimum_mm", "maximum_mm", empty=True),
        _one_of("interference_ranges", "basis", BASIS),
        _one_of("interference_ranges", "form", "band per-mm single"),
        _one_of("interference_ranges", "head_known", "stated assumed rule"),
        _one_of("interference_ranges", "seat_in", "head block"),
        _one_of("interference_ranges", "seen", SEEN),
        _one_of("interference_ranges", "work", "repair production"),
        *_span("interference_ranges"),
    )
    op.create_index(
        "ix_interference_ranges_part_head_class", "interference_ranges", ["part", "head_class"]
    )


def _insert_series() -> None:
    op.create_table(
        "insert_series",
        *_text(
            "id",
            "system",
            "outer_from",
            "outer_to",
            "outer_step",
            "walls",
            "heights",
            "oversizes",
            "outer_minus",
            "outer_plus",
            "unit",
            "source",
            "seen",
        ),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("insert_series", "basis", BASIS),
        _one_of("insert_series", "seen", SEEN),
        _one_of("insert_series", "system", "metric inch"),
        *_span("insert_series"),
    )


def _guide_series() -> None:
    op.create_table(
        "guide_series",
        *_text(
            "id",
            "system",
            "outer_from",
            "outer_to",
            "outer_step",
            "walls",
            "heights",
            "oversizes",
            "outer_minus",
            "outer_plus",
            "unit",
            "source",
            "seen",
        ),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("guide_series", "basis", BASIS),
        _one_of("guide_series", "seen", SEEN),
        _one_of("guide_series", "system", "metric inch"),
        *_span("guide_series"),
    )


def _insert_dimensions() -> None:
    op.create_table(
        "insert_dimensions",
        *_text("id", "feature", "position"),
        *_text("minimum", "maximum", "unit", "statement", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("minimum_house", "maximum_house", empty=True),
        _one_of("insert_dimensions", "basis", BASIS),
        _one_of("insert_dimensions", "seen", SEEN),
        *_span("insert_dimensions"),
    )


def _guide_dimensions() -> None:
    op.create_table(
        "guide_dimensions",
        *_text("id", "feature", "position"),
        *_text("minimum", "maximum", "unit", "statement", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("minimum_house", "maximum_house", empty=True),
        _one_of("guide_dimensions", "basis", BASIS),
        _one_of("guide_dimensions", "seen", SEEN),
        *_span("guide_dimensions"),
    )


def _seat_geometry() -> None:
    op.create_table(
        "seat_geometry",
        *_text("id", "feature", "position"),
        *_text(
            "minimum",
            "maximum",
            "unit",
            "statement",
            "valve_from",
            "valve_to",
            "valve_unit",
            empty=True,
        ),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("minimum_house", "maximum_house", "valve_from_mm", "valve_to_mm", empty=True),
        _one_of("seat_geometry", "basis", BASIS),
        _one_of("seat_geometry", "seen", SEEN),
        *_span("seat_geometry"),
    )


def _choices() -> None:
    op.create_table(
        "choices",
        *_text("id", "duty", "fuel", "position"),
        *_text("valve_material", "head_class", empty=True),
        *_text("insert_class", "verdict", "reason", "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("choices", "basis", BASIS),
        _one_of("choices", "seen", SEEN),
        _one_of("choices", "verdict", "first serves avoid never"),
        *_span("choices"),
    )


def _tolerance_grades() -> None:
    op.create_table(
        "tolerance_grades",
        *_text("id", "grade", "above", "up_to", "size_unit", "value", "unit", "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("above_mm", "up_to_mm", "value_mm", empty=True),
        _one_of("tolerance_grades", "basis", BASIS),
        _one_of("tolerance_grades", "seen", SEEN),
        *_span("tolerance_grades"),
    )


def _fundamental_deviations() -> None:
    op.create_table(
        "fundamental_deviations",
        *_text(
            "id",
            "part",
            "symbol",
            "grades",
            "above",
            "up_to",
            "size_unit",
            "value",
            "unit",
            "source",
            "seen",
        ),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("above_mm", "up_to_mm", "value_mm", empty=True),
        _one_of("fundamental_deviations", "basis", BASIS),
        _one_of("fundamental_deviations", "part", "shaft hole delta"),
        _one_of("fundamental_deviations", "seen", SEEN),
        *_span("fundamental_deviations"),
    )


def _inch_fits() -> None:
    op.create_table(
        "inch_fits",
        *_text("id", "fit", "above", "up_to", "size_unit"),
        *_text(
            "interference_min",
            "interference_max",
            "hole_lower",
            "hole_upper",
            "shaft_lower",
            "shaft_upper",
            "unit",
            empty=True,
        ),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("above_mm", "up_to_mm", "interference_min_mm", "interference_max_mm", empty=True),
        _one_of("inch_fits", "basis", BASIS),
        _one_of("inch_fits", "seen", SEEN),
        *_span("inch_fits"),
    )
