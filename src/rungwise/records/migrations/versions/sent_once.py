"""Forms that count once, and when things were written down."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "sent_once"
down_revision = "complaint"

TOLD = (
    "entry", "fitted", "photo", "reading", "sign_off", "step", "truth", "verdict", "wires",
)  # fmt: skip


def upgrade() -> None:
    """Add both; when older rows were written down is not known."""
    moment = sa.DateTime(timezone=True)
    op.create_table(
        "sent",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", moment, nullable=False),
        sa.Column("device_at", moment, nullable=True),
        sa.Column("kept_at", moment, nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_sent_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sent")),
        sa.UniqueConstraint("token", name=op.f("uq_sent_token")),
        sqlite_autoincrement=True,
    )
    for table in TOLD:
        op.add_column(table, sa.Column("kept_at", moment, nullable=True))
