"""What a paper tells, as plain values: the template adds only where it stands on the page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["", "good", "watch", "not"]
State = Literal["done", "not done", "not so", "not read"]


@dataclass(frozen=True)
class Head:
    """Whose call it is, on which unit. day: year-month-day, "" where it is not known."""

    shop: tuple[str, ...]
    title: str
    day: str
    unit: str
    place: str
    customer: str
    technician: str
    people: tuple[str, ...]
    plate: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Measured:
    """One reading or look. good: what a good unit reads, in words. said: what it said of whom.

    by: who and when, "" where it is not known.
    """

    title: str
    text: str
    good: str = ""
    verdict: Verdict = ""
    said: tuple[str, ...] = ()
    note: str = ""
    by: str = ""


@dataclass(frozen=True)
class Figure:
    """A figure worked out of readings; level: as of the proof's findings."""

    text: str
    level: str
    source: str


@dataclass(frozen=True)
class Step:
    """A step of making dead as it was ticked. state: done, not done, not so, not read."""

    number: int
    place: str
    text: str
    must_read: str
    reading: str
    state: State
    by: str


@dataclass(frozen=True)
class Zone:
    """How a zone was made dead, as far as it was written down. open: what nobody measured."""

    title: str
    dangers: tuple[tuple[str, str], ...]
    steps: tuple[Step, ...]
    counted: str
    open: tuple[str, ...]


@dataclass(frozen=True)
class FittedPart:
    """A part that was or will be fitted, and whether it serves in this circuit."""

    name: str
    place: str
    verdict: str
    reasons: tuple[str, ...]
    by: str


@dataclass(frozen=True)
class Picture:
    """A diagram in one or more pieces, top to bottom. files: names of the pieces."""

    title: str
    note: str
    told: str
    files: tuple[str, ...]


@dataclass(frozen=True)
class Photo:
    """A photo. told: what it is of, for who cannot see it."""

    file: str
    told: str
    by: str


@dataclass(frozen=True)
class Price:
    """A line of a bill, the amount as typed."""

    what: str
    amount: str


@dataclass(frozen=True)
class Signed:
    """How the record was signed, empty texts where it was not."""

    text: str = ""
    by: str = ""
    received_by: str = ""


@dataclass(frozen=True)
class CustomerPage:
    """The page for who called and pays, in plain words; texts that nobody wrote are "".

    visit: number of the invoice, when somebody came and left. headline: whether it is fixed. run:
    whether to run it. explained: what the part at fault is for. checked: subject by subject,
    without a meter's figures. ran: how long it ran before that. not_measured: what this page
    cannot vouch for. total: "" where amounts do not add up. call_us: whom to call.
    warning: of the signal word WARNING, without it.
    """

    head: Head
    visit: tuple[tuple[str, str], ...]
    headline: str
    run: str
    found: tuple[str, ...]
    explained: str
    done: tuple[str, ...]
    checked: tuple[Measured, ...]
    ran: str
    next_step: tuple[str, ...]
    watch: tuple[str, ...]
    recommend: tuple[str, ...]
    not_measured: tuple[str, ...]
    prices: tuple[Price, ...]
    total: str
    warranty: str
    next_visit: str
    call_us: str
    warning: str
    photos: tuple[Photo, ...]
    signed: Signed


@dataclass(frozen=True)
class TechnicianRecord:
    """All that was seen, measured, reasoned and done.

    note: as written on the call. cause: the verdict, one thought a line. remarks: on readings that
    belong together. moves, started: of wires and of the first start, as ticked. proof: the verdict
    on the repair with its reasons. gauges: of refrigerant and air, as read. look_for: what no
    reading shows.
    """

    head: Head
    note: str
    cause: tuple[str, ...]
    looked: tuple[Measured, ...]
    readings: tuple[Measured, ...]
    remarks: tuple[str, ...]
    zones: tuple[Zone, ...]
    fitted: tuple[FittedPart, ...]
    wires: tuple[str, ...]
    moves: tuple[str, ...]
    started: tuple[str, ...]
    pictures: tuple[Picture, ...]
    proof: tuple[str, ...]
    proofs: tuple[Measured, ...]
    gauges: tuple[tuple[str, str], ...]
    figures: tuple[Figure, ...]
    look_for: tuple[str, ...]
    photos: tuple[Photo, ...]
    not_measured: tuple[str, ...]
    signed: Signed
