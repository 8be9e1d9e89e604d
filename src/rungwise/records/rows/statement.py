"""The tables of what is told: fields, readings, parts, steps, wires, and how a call ended."""

from __future__ import annotations

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, declared_attr, mapped_column, relationship

from rungwise.records.columns import Reason
from rungwise.records.rows.base import Row
from rungwise.records.rows.shop import Person


class Statement(Row):
    """A row that is never changed and never taken away, only superseded.

    at: when it was told, UTC. zone: the person's own at that moment. kept_at: when it was written
    down here, which is later for what waited on a phone; None where it is not known.
    version: of the thing it was told of.
    beside: told on a form that had not seen the row that stands; kept until somebody chooses.
    superseded_by_id: the row that took its place.
    """

    __abstract__ = True

    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), sort_order=20)

    @declared_attr
    def person(self) -> Mapped[Person | None]:
        """Who, with the name."""
        return relationship(Person, lazy="joined", viewonly=True)

    at: Mapped[dt.datetime] = mapped_column(sort_order=21)
    zone: Mapped[str] = mapped_column(sort_order=22)
    kept_at: Mapped[dt.datetime | None] = mapped_column(sort_order=22)
    version: Mapped[int] = mapped_column(sort_order=23)
    beside: Mapped[bool] = mapped_column(default=False, sort_order=24)

    @declared_attr
    def superseded_by_id(self) -> Mapped[int | None]:
        """The row that took the place of this one."""
        return mapped_column(ForeignKey(f"{self.__tablename__}.id"), sort_order=25)

    @property
    def local(self) -> dt.datetime:
        """When, in the zone of the person who told it."""
        return self.at.astimezone(ZoneInfo(self.zone))

    @property
    def stands(self) -> bool:
        """Whether it counts: neither superseded nor waiting beside another."""
        return self.superseded_by_id is None and not self.beside


class OfCall(Statement):
    """The same, told of a call."""

    __abstract__ = True

    call_id: Mapped[int] = mapped_column(ForeignKey("call.id"), index=True, sort_order=-9)


class Entry(Statement):
    """What was typed into a field of something, with the reason where it could not be used.

    subject, subject_id: the table and the row it is about. refusal: "" where it was taken over.
    was: what the field held before, None where the entry before it tells that.
    """

    __tablename__ = "entry"
    __table_args__ = (
        Index(None, "subject", "subject_id", "field"),
        {"sqlite_autoincrement": True},
    )

    subject: Mapped[str]
    subject_id: Mapped[int]
    field: Mapped[str]
    typed: Mapped[str]
    refusal: Mapped[str] = mapped_column(Reason, default="")
    was: Mapped[str | None]


READING_KINDS = ("symptom", "reading", "proof")


class Reading(OfCall):
    """An outcome as it was typed, and what it was taken for.

    number, unit: of a measurement, number infinite for an open circuit. choice: of a look.
    Both are None where it could not be made, or where it is refused; refusal then says why.
    taken: the how-manieth time this check was made on the call, from 1.
    visit_id: the visit on which it was taken.
    """

    __tablename__ = "reading"
    __table_args__ = (
        CheckConstraint(f"kind IN {READING_KINDS}", name="kind"),
        {"sqlite_autoincrement": True},
    )

    kind: Mapped[str] = mapped_column(default="reading")
    check: Mapped[str]
    taken: Mapped[int] = mapped_column(default=1)
    typed: Mapped[str]
    number: Mapped[float | None]
    choice: Mapped[str | None]
    unit: Mapped[str] = mapped_column(default="")
    note: Mapped[str] = mapped_column(default="")
    refusal: Mapped[str] = mapped_column(Reason, default="")
    visit_id: Mapped[int | None] = mapped_column(ForeignKey("visit.id"))

    @property
    def value(self) -> float | str | None:
        """The outcome as the belief takes it."""
        return self.number if self.choice is None else self.choice

    @property
    def counts(self) -> bool:
        """Whether something stands here that the belief can use."""
        return self.stands and bool(self.typed.strip()) and not self.refusal


class FittedPart(OfCall):
    """A part fitted, in place of `part`. candidate: its table as in a candidates file; None: none.

    typed: what was typed where it is not a candidate that can be used, refusal says why.
    """

    __tablename__ = "fitted"

    part: Mapped[str]
    candidate: Mapped[dict[str, Any] | None]
    typed: Mapped[str] = mapped_column(default="")
    refusal: Mapped[str] = mapped_column(Reason, default="")
    note: Mapped[str] = mapped_column(default="")


class Step(OfCall):
    """A step as the plan had it, done or not, with what was read where it asks for a reading.

    text: the step's own words, because a later plan may number its steps otherwise.
    """

    __tablename__ = "step"

    zone_of_work: Mapped[str]
    number: Mapped[int]
    text: Mapped[str]
    done: Mapped[bool]
    typed: Mapped[str] = mapped_column(default="")
    reading: Mapped[float | None]
    unit: Mapped[str] = mapped_column(default="")
    refusal: Mapped[str] = mapped_column(Reason, default="")


STAGES = ("as found", "as left")


class Wires(OfCall):
    """A wires file's text. refusal: why it cannot be used, "" where it can."""

    __tablename__ = "wires"
    __table_args__ = (
        CheckConstraint(f"stage IN {STAGES}", name="stage"),
        {"sqlite_autoincrement": True},
    )

    stage: Mapped[str]
    toml: Mapped[str]
    refusal: Mapped[str] = mapped_column(Reason, default="")


class Verdict(OfCall):
    """A verdict as it was shown. engine: the version of Rungwise that gave it."""

    __tablename__ = "verdict"

    kind: Mapped[str]
    suspect: Mapped[str] = mapped_column(default="")
    part: Mapped[str] = mapped_column(default="")
    probability: Mapped[float | None]
    text: Mapped[str]
    engine: Mapped[str]


class Truth(OfCall):
    """The part that was at fault, known after the repair; upkeep learns its weights from it.

    suspect: the fault mode, such as `contactor.coil_open`, where it is known. how: how it is
    known, such as "runs since the new part" or "seen when cut open".
    """

    __tablename__ = "truth"

    part: Mapped[str]
    suspect: Mapped[str] = mapped_column(default="")
    how: Mapped[str] = mapped_column(default="")


class SignOff(OfCall):
    """What was told to the customer, and who took it.

    received_by: the name of the person who signed for it. facts: anything else that was shown;
    `WITHDRAWN` where a signature was taken back.
    """

    __tablename__ = "sign_off"

    text: Mapped[str]
    received_by: Mapped[str] = mapped_column(default="")
    facts: Mapped[dict[str, Any] | None]

    @property
    def withdrawn(self) -> bool:
        """Whether it stands for none: the one before it was taken back."""
        return self.facts == WITHDRAWN


WITHDRAWN = {"withdrawn": True}
"""The facts of a sign-off that stands in the place of one that was taken back."""
