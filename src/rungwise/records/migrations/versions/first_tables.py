"""The first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "first_tables"
down_revision = None


def upgrade() -> None:
    """Make them, each after those that it points at."""
    _customer()
    _person()
    _shop()
    _entry()
    _site()
    _unit()
    _call()
    _fitted()
    _photo()
    _practice()
    _sign_off()
    _step()
    _truth()
    _verdict()
    _visit()
    _wires()
    _reading()


def _customer() -> None:
    op.create_table(
        "customer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("email", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_customer"),
        sqlite_autoincrement=True,
    )


def _person() -> None:
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "role IN ('technician', 'owner', 'apprentice', 'desk')", name=op.f("ck_person_role")
        ),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("name", name="uq_person_name"),
        sqlite_autoincrement=True,
    )


def _shop() -> None:
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("licence", sa.Text(), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.Column("prices", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_shop"),
        sqlite_autoincrement=True,
    )


def _entry() -> None:
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("refusal", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_entry_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["entry.id"], name="fk_entry_superseded_by_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_entry"),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_entry_subject_subject_id_field", "entry", ["subject", "subject_id", "field"]
    )


def _site() -> None:
    op.create_table(
        "site",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("customer_id", sa.Integer(), nullable=True),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("town", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["customer_id"], ["customer.id"], name="fk_site_customer_id"),
        sa.PrimaryKeyConstraint("id", name="pk_site"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_site_customer_id", "site", ["customer_id"])


def _unit() -> None:
    op.create_table(
        "unit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("toml", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("installed", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("state IN ('draft', 'whole')", name=op.f("ck_unit_state")),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name="fk_unit_site_id"),
        sa.PrimaryKeyConstraint("id", name="pk_unit"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_unit_site_id", "unit", ["site_id"])


def _call() -> None:
    op.create_table(
        "call",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("unit_id", sa.Integer(), nullable=True),
        sa.Column("customer_id", sa.Integer(), nullable=True),
        sa.Column("technician_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("suspected", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("kind IN ('service', 'practice')", name=op.f("ck_call_kind")),
        sa.CheckConstraint("state IN ('booked', 'open', 'closed')", name=op.f("ck_call_state")),
        sa.ForeignKeyConstraint(["customer_id"], ["customer.id"], name="fk_call_customer_id"),
        sa.ForeignKeyConstraint(["technician_id"], ["person.id"], name="fk_call_technician_id"),
        sa.ForeignKeyConstraint(["unit_id"], ["unit.id"], name="fk_call_unit_id"),
        sa.PrimaryKeyConstraint("id", name="pk_call"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_call_customer_id", "call", ["customer_id"])
    op.create_index("ix_call_day", "call", ["day"])
    op.create_index("ix_call_technician_id", "call", ["technician_id"])
    op.create_index("ix_call_unit_id", "call", ["unit_id"])


def _fitted() -> None:
    op.create_table(
        "fitted",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("candidate", sa.Text(), nullable=True),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("refusal", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_fitted_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_fitted_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["fitted.id"], name="fk_fitted_superseded_by_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_fitted"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_fitted_call_id", "fitted", ["call_id"])


def _photo() -> None:
    op.create_table(
        "photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=True),
        sa.Column("unit_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("shows", sa.Text(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("removed", sa.Boolean(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("small", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_photo_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_photo_person_id"),
        sa.ForeignKeyConstraint(["unit_id"], ["unit.id"], name="fk_photo_unit_id"),
        sa.PrimaryKeyConstraint("id", name="pk_photo"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_photo_call_id", "photo", ["call_id"])
    op.create_index("ix_photo_digest", "photo", ["digest"])
    op.create_index("ix_photo_unit_id", "photo", ["unit_id"])


def _practice() -> None:
    op.create_table(
        "practice",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("fault", sa.Text(), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("finished_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("named", sa.Text(), nullable=False),
        sa.Column("right", sa.Boolean(), nullable=True),
        sa.Column("checks", sa.Integer(), nullable=True),
        sa.Column("wrong_parts", sa.Integer(), nullable=True),
        sa.Column("score", sa.Double(), nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_practice_call_id"),
        sa.PrimaryKeyConstraint("id", name="pk_practice"),
        sa.UniqueConstraint("call_id", name="uq_practice_call_id"),
        sqlite_autoincrement=True,
    )


def _sign_off() -> None:
    op.create_table(
        "sign_off",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("received_by", sa.Text(), nullable=False),
        sa.Column("facts", sa.Text(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_sign_off_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_sign_off_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["sign_off.id"], name="fk_sign_off_superseded_by_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_sign_off"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_sign_off_call_id", "sign_off", ["call_id"])


def _step() -> None:
    op.create_table(
        "step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("zone_of_work", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("done", sa.Boolean(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("reading", sa.Double(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("refusal", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_step_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_step_person_id"),
        sa.ForeignKeyConstraint(["superseded_by_id"], ["step.id"], name="fk_step_superseded_by_id"),
        sa.PrimaryKeyConstraint("id", name="pk_step"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_step_call_id", "step", ["call_id"])


def _truth() -> None:
    op.create_table(
        "truth",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("suspect", sa.Text(), nullable=False),
        sa.Column("how", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_truth_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_truth_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["truth.id"], name="fk_truth_superseded_by_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_truth"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_truth_call_id", "truth", ["call_id"])


def _verdict() -> None:
    op.create_table(
        "verdict",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("suspect", sa.Text(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("probability", sa.Double(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("engine", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_verdict_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_verdict_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["verdict.id"], name="fk_verdict_superseded_by_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_verdict"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_verdict_call_id", "verdict", ["call_id"])


def _visit() -> None:
    op.create_table(
        "visit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("arrived_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_visit_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_visit_person_id"),
        sa.PrimaryKeyConstraint("id", name="pk_visit"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_visit_call_id", "visit", ["call_id"])


def _wires() -> None:
    op.create_table(
        "wires",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("toml", sa.Text(), nullable=False),
        sa.Column("refusal", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("stage IN ('as found', 'as left')", name=op.f("ck_wires_stage")),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_wires_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_wires_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["wires.id"], name="fk_wires_superseded_by_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_wires"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_wires_call_id", "wires", ["call_id"])


def _reading() -> None:
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("call_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("check", sa.Text(), nullable=False),
        sa.Column("taken", sa.Integer(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("number", sa.Double(), nullable=True),
        sa.Column("choice", sa.Text(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("refusal", sa.Text(), nullable=False),
        sa.Column("visit_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("beside", sa.Boolean(), nullable=False),
        sa.Column("superseded_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("kind IN ('symptom', 'reading', 'proof')", name=op.f("ck_reading_kind")),
        sa.ForeignKeyConstraint(["call_id"], ["call.id"], name="fk_reading_call_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_reading_person_id"),
        sa.ForeignKeyConstraint(
            ["superseded_by_id"], ["reading.id"], name="fk_reading_superseded_by_id"
        ),
        sa.ForeignKeyConstraint(["visit_id"], ["visit.id"], name="fk_reading_visit_id"),
        sa.PrimaryKeyConstraint("id", name="pk_reading"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_reading_call_id", "reading", ["call_id"])
