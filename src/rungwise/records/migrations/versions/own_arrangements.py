"""Arrangements that a shop keeps of its own."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "own_arrangements"
down_revision = "sent_once"


def upgrade() -> None:
    """Make their table; no shop has kept one yet."""
    op.create_table(
        "own_arrangement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("toml", sa.Text(), nullable=False),
        sa.Column("unit_id", sa.Integer(), nullable=True),
        sa.Column("kept", sa.Boolean(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["unit_id"], ["unit.id"], name=op.f("fk_own_arrangement_unit_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_arrangement")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("own_arrangement", schema=None) as changed:
        changed.create_index(changed.f("ix_own_arrangement_unit_id"), ["unit_id"], unique=False)
