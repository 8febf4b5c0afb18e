"""What a pocket and a bridge do to a fit, as tables of factors."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

SEEN = "text excerpt secondary memory common-practice derived"
BASIS = "stands proxy outlier example unverified superseded"

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    _create(
        "pocket_factors",
        "placement wall_ratio height_ratio hub_ratio below_ratio modulus_ratio "
        "pressure_factor squeeze_bottom squeeze_middle squeeze_top stretch_factor",
    )
    op.create_index(
        "ix_pocket_factors_placement_wall_ratio_height_ratio_hub_ratio",
        "pocket_factors",
        ["placement", "wall_ratio", "height_ratio", "hub_ratio"],
    )
    _create(
        "bridge_factors",
        "kind wall_ratio bridge_ratio modulus_ratio mean_pressure_factor bridge_pressure_factor "
        "bore_stretch_factor bridge_stretch_factor",
    )


def downgrade() -> None:
    op.drop_table("bridge_factors")
    op.drop_table("pocket_factors")


def _create(table: str, own: str) -> None:
    op.create_table(
        table,
        *_text("id", *own.split(), "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of(table, "basis", BASIS),
        _one_of(table, "seen", SEEN),
        *_span(table),
    )


def _text(*names: str, empty: bool = False) -> list[sa.Column[Any]]:
    return [sa.Column(name, TEXT, nullable=empty) for name in names]


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
