"""Temperatures, media, what heat costs, handling limits, cautions, friction."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

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
    _operating_temperatures()
    _media()
    _exposure_limits()
    _heat_transfer()
    _handling_limits()
    _cautions()
    _friction()
    _surface_allowances()


def downgrade() -> None:
    for table in (
        "surface_allowances",
        "friction",
        "cautions",
        "handling_limits",
        "heat_transfer",
        "exposure_limits",
        "media",
        "operating_temperatures",
    ):
        op.drop_table(table)


def _operating_temperatures() -> None:
    op.create_table(
        "operating_temperatures",
        *_text("id", "place", "head_class", "state"),
        *_text("engine", "minimum", "maximum", "unit", "condition", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("minimum_c", "maximum_c", empty=True),
        _one_of("operating_temperatures", "basis", BASIS),
        _one_of("operating_temperatures", "seen", SEEN),
        *_span("operating_temperatures"),
    )


def _media() -> None:
    op.create_table(
        "media",
        *_text("id", "key", "name", "kind", "temperature", "tolerance", "unit"),
        *_text("hazard", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("temperature_c", "tolerance_c", empty=True),
        _one_of("media", "basis", BASIS),
        _one_of("media", "kind", "chill heat room"),
        _one_of("media", "seen", SEEN),
        *_span("media"),
    )
    op.create_index("ix_media_key", "media", ["key"])


def _exposure_limits() -> None:
    op.create_table(
        "exposure_limits",
        *_text("id", "alloy"),
        *_text(
            "material",
            "condition",
            "temperature",
            "temperature_unit",
            "time",
            "time_unit",
            empty=True,
        ),
        *_text("quantity"),
        *_text("value", "unit", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("exposure_limits", "basis", BASIS),
        _one_of("exposure_limits", "seen", SEEN),
        *_span("exposure_limits"),
    )


def _heat_transfer() -> None:
    op.create_table(
        "heat_transfer",
        *_text("id", "quantity"),
        *_text("low", "typical", "high", "unit", "condition", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("heat_transfer", "basis", BASIS),
        _one_of("heat_transfer", "seen", SEEN),
        *_span("heat_transfer"),
    )


def _handling_limits() -> None:
    op.create_table(
        "handling_limits",
        *_text("id", "agent"),
        *_text("condition", "temperature", "temperature_unit", "time", "time_unit", empty=True),
        *_text("quantity", "value"),
        *_text("unit", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("handling_limits", "basis", BASIS),
        _one_of("handling_limits", "seen", SEEN),
        *_span("handling_limits"),
    )


def _cautions() -> None:
    op.create_table(
        "cautions",
        *_text("id", "key", "topics", "severity", "rank", "text", "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("cautions", "basis", BASIS),
        _one_of("cautions", "seen", SEEN),
        _one_of("cautions", "severity", "danger warning note"),
        *_span("cautions"),
    )
    op.create_index("ix_cautions_key", "cautions", ["key"])


def _friction() -> None:
    op.create_table(
        "friction",
        *_text("id", "kind", "head_class", "joining", "surface", "pair"),
        *_text("condition", "low", "high", "meaning", "confidence", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("friction", "basis", BASIS),
        _one_of("friction", "joining", "pressed shrunk any"),
        _one_of("friction", "kind", "friction ratio finding"),
        _one_of("friction", "seen", SEEN),
        _one_of("friction", "surface", "dry oiled any"),
        *_span("friction"),
    )


def _surface_allowances() -> None:
    op.create_table(
        "surface_allowances",
        *_text("id", "kind", "scope"),
        *_text("rule", "low", "high", "unit", "meaning", "confidence", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("surface_allowances", "basis", BASIS),
        _one_of("surface_allowances", "kind", "smoothing conversion assembly finding"),
        _one_of("surface_allowances", "seen", SEEN),
        *_span("surface_allowances"),
    )
