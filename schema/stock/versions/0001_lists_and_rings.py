"""A shop's lists, and the rings on them in the order a search walks."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade() -> None:
    op.create_table(
        "stock_lists",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("od_means", TEXT, nullable=False),
        sa.Column("digest", TEXT, nullable=False),
        sa.Column("rings", sa.Integer, nullable=False),
        sa.Column("imported_at", TEXT, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_lists")),
        sa.UniqueConstraint("name", name=op.f("uq_stock_lists_name")),
        sa.CheckConstraint(
            "od_means IN ('ring', 'counterbore')", name=op.f("ck_stock_lists_od_means")
        ),
    )
    op.create_table(
        "stock_rings",
        sa.Column("list", sa.Integer, nullable=False),
        sa.Column("part", TEXT, nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("made_of", TEXT, nullable=False),
        sa.Column("on_shelf", sa.Integer, nullable=False),
        sa.Column("outer_mm", sa.Double, nullable=False),
        sa.Column("inner_mm", sa.Double, nullable=False),
        sa.Column("height_mm", sa.Double, nullable=False),
        sa.Column("outer_minus_mm", sa.Double, nullable=False),
        sa.Column("outer_plus_mm", sa.Double, nullable=False),
        sa.Column("qty", sa.Integer),
        sa.Column("outer", TEXT, nullable=False),
        sa.Column("inner", TEXT, nullable=False),
        sa.Column("height", TEXT, nullable=False),
        sa.Column("material", TEXT, nullable=False),
        sa.Column("tolerance", TEXT, nullable=False),
        sa.Column("note", TEXT, nullable=False),
        sa.PrimaryKeyConstraint("list", "part", name=op.f("pk_stock_rings")),
        sa.ForeignKeyConstraint(
            ["list"], ["stock_lists.id"], name=op.f("fk_stock_rings_list_stock_lists")
        ),
        sa.CheckConstraint("outer_mm > inner_mm", name=op.f("ck_stock_rings_wall")),
    )
    op.create_index(
        op.f("ix_stock_rings_search"),
        "stock_rings",
        [
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
        ],
    )


def downgrade() -> None:
    op.drop_table("stock_rings")
    op.drop_table("stock_lists")
