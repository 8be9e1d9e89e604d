"""What the customer said of a call."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "complaint"
down_revision = "first_tables"


def upgrade() -> None:
    """Add it to the calls; of older ones nothing is known."""
    said = sa.Column("complaint", sa.Text(), nullable=False, server_default="")
    op.add_column("call", said)
