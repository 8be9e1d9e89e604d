"""What was taken back, and links to a customer's report."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "taken_back"
down_revision = "own_arrangements"


def upgrade() -> None:
    """Make both tables; what a field held before an older entry is not known."""
    op.add_column("entry", sa.Column("was", sa.Text(), nullable=True))
    moment = sa.DateTime(timezone=True)
    op.create_table(
        "taken_back",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("rows", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", moment, nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("kept_at", moment, nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_taken_back_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_taken_back")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "share",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("language", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", moment, nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("ends_at", moment, nullable=False),
        sa.Column("ended_by_id", sa.Integer(), nullable=True),
        sa.Column("ended_at", moment, nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name=op.f("fk_share_call_id")),
        sa.ForeignKeyConstraint(["ended_by_id"], ["person.id"], name=op.f("fk_share_ended_by_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_share_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_share")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("taken_back", schema=None) as changed:
        changed.create_index(changed.f("ix_taken_back_subject_id"), ["subject_id"], unique=False)
    with op.batch_alter_table("share", schema=None) as changed:
        changed.create_index(changed.f("ix_share_call_id"), ["call_id"], unique=False)
