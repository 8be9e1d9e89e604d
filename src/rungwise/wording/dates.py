"""Days and times of day as a person reads them; what is kept and sent on stays ISO 8601.

In US English 2:10 PM and Nov 29, 2026, in Spanish as the locale has them (CLDR, through Babel);
whoever has set SI units reads 14:10 in either.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final, Literal, Self

from rungwise.wording.catalogs import Language, catalog_of
from rungwise.wording.said import Said

Hours = Literal[12, 24]
Form = Literal["day", "day of this year", "time", "day and time", "day of this year and time"]

US_HOURS: Final[Hours] = 12

_HOURS: ContextVar[Hours] = ContextVar("hours", default=US_HOURS)

_SKELETON = {"day": "yMMMd", "day of this year": "MMMd"}
"""What of a day is told, as CLDR has it; the locale gives the order and the signs."""


@contextmanager
def hours_of_day(hours: Hours) -> Iterator[None]:
    """Tell times with twelve or with 24 hours for as long as this lasts."""
    before = _HOURS.set(hours)
    try:
        yield
    finally:
        _HOURS.reset(before)


def hours_now() -> Hours:
    """Twelve or 24, as times are told just now."""
    return _HOURS.get()


class Moment(Said):
    """A day or a time of day; as a text it is US English."""

    __slots__ = ("form", "moment")

    moment: dt.date | dt.time | dt.datetime
    form: Form

    def __new__(cls, moment: dt.date | dt.time, form: Form) -> Self:
        """The moment, told in one of the forms."""
        made = super().__new__(cls, _written(moment, form, "en", 12), is_name=True)
        made.moment, made.form = moment, form
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Moment, (self.moment, self.form)

    def as_plain(self) -> str:
        """Its text: what is kept has its moments beside it."""
        return str.__str__(self)

    def in_language(self, language: Language) -> str:
        """As it is read in a language, with the hours of the one who reads it."""
        return _written(self.moment, self.form, language, _HOURS.get())


def day_told(day: dt.date, today: dt.date | None = None) -> str:
    """A day: "Nov 29, 2026"; without its year where that is today's."""
    same = today is not None and day.year == today.year
    return Moment(_day_of(day), "day of this year" if same else "day")


def time_told(moment: dt.datetime | dt.time) -> str:
    """A time of day: "2:10 PM"."""
    return Moment(moment, "time")


def moment_told(moment: dt.datetime, today: dt.date | None = None) -> str:
    """When something was, told on a day: the time alone on the same, else with its day.

    moment: in the zone of who reads it. today: None tells the day with its year.
    """
    if today is not None and moment.date() == today:
        return time_told(moment)
    same = today is not None and moment.year == today.year
    return Moment(moment, "day of this year and time" if same else "day and time")


def _day_of(day: dt.date) -> dt.date:
    return day.date() if isinstance(day, dt.datetime) else day


def _written(moment: dt.date | dt.time, form: Form, language: Language, hours: Hours) -> str:
    from babel.dates import format_skeleton, format_time  # noqa: PLC0415  # few texts have a date

    locale, told = catalog_of(language).locale, []
    day = form.removesuffix(" and time")
    if day in _SKELETON and isinstance(moment, dt.date):
        told.append(format_skeleton(_SKELETON[day], _day_of(moment), locale=locale))
    if form.endswith("time") and isinstance(moment, (dt.datetime, dt.time)):
        clock = moment.timetz() if isinstance(moment, dt.datetime) else moment
        plain = clock.replace(tzinfo=None)  # as the zone of who reads it has it
        form_of_clock = "HH:mm" if hours == 24 else "short"
        told.append(format_time(plain, form_of_clock, locale=locale))
    return ", ".join(told).replace("\u202f", " ").replace("\xa0", " ")
