"""What Alembic runs: on the connection that `migrating` gives it, never on one of its own."""

from __future__ import annotations

from typing import Any, Literal

from alembic import context
from sqlalchemy import TypeDecorator

from rungwise.records.rows import Row


def plain_type(sort: str, item: Any, _: object) -> str | Literal[False]:
    """A migration names the database's own types: ours may change after it is written."""
    if sort == "type" and isinstance(item, TypeDecorator):
        return f"sa.{item.impl!r}"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Row.metadata,
    render_as_batch=True,  # SQLite changes a table only by writing it anew
    render_item=plain_type,
)
with context.begin_transaction():
    context.run_migrations()
