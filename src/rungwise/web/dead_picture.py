"""What is live once some devices are open, on the diagram and in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rungwise.circuit.condition import CALLING, STANDBY, Call
from rungwise.drawing import Marks, ladder, panel
from rungwise.drawing.marks import Lead, marks_of
from rungwise.isolation.wording import points_words, volts_words
from rungwise.unit.unit import Unit
from rungwise.web.drawn import Kind, Shelf
from rungwise.web.job import Job
from rungwise.web.leads import EARTH_METAL
from rungwise.web.work_answers import live_map

__all__ = ["live_words", "svg_when_open"]

KEPT = 60

_shelf = Shelf(KEPT)


def live_words(job: Job, opened: Sequence[str], call: Call) -> list[str]:
    """The points over 50 V to earth, by place; from the solved circuit."""
    unit = job.unit
    points = live_map(job, call).live(opened)
    places: dict[str, list[str]] = {}
    for point in points:
        place = unit.part(point.terminal.rpartition(".")[0]).place
        places.setdefault(place, []).append(point.terminal)
    volts = {p.terminal: p.volt for p in points}
    most = {place: volts_words(max(volts[end] for end in ends)) for place, ends in places.items()}
    return [
        f"{place}: {points_words(unit, ends)} (up to {most[place]} to earth, more between two legs)"
        for place, ends in places.items()
    ]


def svg_when_open(
    job: Job, kind: Kind, opened: Sequence[str], call: Call, leads: tuple[str, str]
) -> str:
    """The diagram with these devices open: what is live, and where the leads go next."""
    unit = job.unit
    colours: tuple[Lead, Lead] = ("red", "black")
    on = {
        colour: end
        for colour, end in zip(colours, leads, strict=True)
        if end and end != EARTH_METAL
    }

    def made() -> str:
        condition = (STANDBY if call == "off" else CALLING).opened(*opened)
        return _drawn(unit, kind, replace(marks_of(unit, condition), leads=on), _place(unit, on))

    key = f"{job.mark} {kind} {call} {sorted(opened)} {leads}"
    return _shelf.get(key, made)


def _drawn(unit: Unit, kind: Kind, marks: Marks, place: str) -> str:
    return panel(unit, marks, place=place).svg if kind == "panel" else ladder(unit, marks).svg


def _place(unit: Unit, leads: Mapping[Lead, str]) -> str:
    """The cabinet that the leads are in, the outdoor one where they are in none."""
    places = [unit.part(end.partition(".")[0]).place for end in leads.values()]
    return places[0] if places else "outdoor"
