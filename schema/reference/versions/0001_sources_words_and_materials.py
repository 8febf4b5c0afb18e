"""Sources, words, releases, materials, and the line kept about every fact."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

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
    _sources()
    _vocabulary()
    _releases()
    _release_tables()
    _withdrawals()
    _facts()
    _meta()
    _materials()
    _insert_classes()
    _material_properties()
    _expansion_fits()
    _proxies()


def downgrade() -> None:
    for table in (
        "proxies",
        "expansion_fits",
        "material_properties",
        "insert_classes",
        "materials",
        "meta",
        "facts",
        "withdrawals",
        "release_tables",
        "releases",
        "vocabulary",
        "sources",
    ):
        op.drop_table(table)


def _sources() -> None:
    op.create_table(
        "sources",
        *_text("id", "key", "kind", "title"),
        *_text(
            "author_or_body",
            "year",
            "identifier",
            "url",
            "licence_or_status",
            "note",
            empty=True,
        ),
        *_text("release"),
        *_span("sources"),
    )
    op.create_index("ix_sources_key", "sources", ["key"])


def _vocabulary() -> None:
    op.create_table(
        "vocabulary",
        *_text("id", "list", "word", "definition"),
        *_text("unit", empty=True),
        *_text("release"),
        *_span("vocabulary"),
    )
    op.create_index("ix_vocabulary_list_word", "vocabulary", ["list", "word"])


def _releases() -> None:
    op.create_table(
        "releases",
        sa.Column("ordinal", sa.Integer, nullable=False, autoincrement=False),
        *_text("version"),
        *_text("date", "summary", "digest", empty=True),
        sa.CheckConstraint(
            "version = 'next' OR digest IS NOT NULL",
            name=op.f("ck_releases_published"),
        ),
        sa.PrimaryKeyConstraint("ordinal", name=op.f("pk_releases")),
    )


def _release_tables() -> None:
    op.create_table(
        "release_tables",
        *_text("id", "table_name", "columns", "row_count", "digest", "release"),
        *_span("release_tables"),
    )


def _withdrawals() -> None:
    op.create_table(
        "withdrawals",
        *_text("id", "withdrawn", "reason"),
        *_text("replacement", empty=True),
        *_text("release"),
        *_span("withdrawals"),
    )


def _facts() -> None:
    op.create_table(
        "facts",
        *_text("id", "table_name", "source"),
        *_text("locator", empty=True),
        *_text("seen", "basis"),
        *_text("printed", "note", empty=True),
        *_text("release"),
        *_span("facts"),
    )


def _meta() -> None:
    op.create_table(
        "meta",
        *_text("key", "value"),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_meta")),
    )


def _materials() -> None:
    op.create_table(
        "materials",
        *_text("id", "key", "name", "family", "material_class"),
        *_text("designations", "condition", "composition", empty=True),
        *_text("fails_by", "age_hardened", "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("materials", "age_hardened", "yes no"),
        _one_of("materials", "basis", BASIS),
        _one_of("materials", "fails_by", "yields cracks"),
        _one_of("materials", "seen", SEEN),
        *_span("materials"),
    )
    op.create_index("ix_materials_key", "materials", ["key"])


def _insert_classes() -> None:
    op.create_table(
        "insert_classes",
        *_text("id", "key", "name", "material"),
        *_text(
            "also_called",
            "compressive_yield_min",
            "compressive_yield_max",
            "unit",
            empty=True,
        ),
        *_text("copper_coloured", "brittle", "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("compressive_yield_min_mpa", "compressive_yield_max_mpa", empty=True),
        _one_of("insert_classes", "basis", BASIS),
        _one_of("insert_classes", "brittle", "yes no"),
        _one_of("insert_classes", "copper_coloured", "yes no"),
        _one_of("insert_classes", "seen", SEEN),
        *_span("insert_classes"),
    )
    op.create_index("ix_insert_classes_key", "insert_classes", ["key"])


def _material_properties() -> None:
    op.create_table(
        "material_properties",
        *_text("id", "material", "property"),
        *_text("temperature", "temperature_from", "temperature_unit", empty=True),
        *_text("value", "unit"),
        *_text("uncertainty", "condition", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real(
            "temperature_c",
            "temperature_from_c",
            "value_house",
            "uncertainty_house",
            empty=True,
        ),
        _one_of("material_properties", "basis", BASIS),
        _one_of("material_properties", "seen", SEEN),
        *_span("material_properties"),
    )
    op.create_index(
        "ix_material_properties_material_property", "material_properties", ["material", "property"]
    )


def _expansion_fits() -> None:
    op.create_table(
        "expansion_fits",
        *_text(
            "id",
            "material",
            "property",
            "form",
            "coefficients",
            "valid_low",
            "valid_high",
            "temperature_unit",
            "unit",
        ),
        *_text("fit_error", "fit_error_unit", empty=True),
        *_text("source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        *_real("valid_low_c", "valid_high_c", empty=True),
        _one_of("expansion_fits", "basis", BASIS),
        _one_of("expansion_fits", "seen", SEEN),
        *_span("expansion_fits"),
    )
    op.create_index("ix_expansion_fits_material", "expansion_fits", ["material"])


def _proxies() -> None:
    op.create_table(
        "proxies",
        *_text("id", "material", "property", "stands_in", "extra_percent", "source", "seen"),
        *_text("locator", "printed", empty=True),
        *_text("basis"),
        *_text("note", empty=True),
        *_text("release"),
        _one_of("proxies", "basis", BASIS),
        _one_of("proxies", "seen", SEEN),
        *_span("proxies"),
    )
    op.create_index("ix_proxies_material", "proxies", ["material"])
