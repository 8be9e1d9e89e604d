"""What is live once some devices are open, on the diagram and in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rungwise.circuit import CALLING, STANDBY, Call
from rungwise.drawing import Lead, Marks, ladder, marks_of, panel
from rungwise.isolation import LivePoint, pair_words, points_words, volts_words
from rungwise.parts import EARTH, LIVE_VOLT, part_of
from rungwise.services import RESULTS
from rungwise.unit import Unit, place_words
from rungwise.web.job import Job
from rungwise.web.leads import EARTH_METAL
from rungwise.web.results import live_map
from rungwise.web.shown import Shown
from rungwise.web.unit_pictures import Kind
from rungwise.wording import current, joined, say

_pictures = RESULTS.shelf("pictures of what is live")


class LiveLine(Shown):
    """What of one place is over 50 V: which points, and the most volts there."""

    place: str
    points: str
    volts: str


def live_words(job: Job, opened: Sequence[str], call: Call) -> list[LiveLine]:
    """The points over 50 V, by place, with the most volts to ground and between two of them.

    All of it is from the solved circuit, with nothing connected.
    """
    unit, live = job.unit, live_map(job, call)
    places: dict[str, list[LivePoint]] = {}
    for point in live.live(opened):
        places.setdefault(unit.part(part_of(point.terminal)).place, []).append(point)
    found = []
    for place, points in places.items():
        ends = [point.terminal for point in points]
        most = [_to_earth(points), _between(unit, live.most_between(ends, opened))]
        told = joined(", ", [each for each in most if each])
        found.append(
            LiveLine(place=place_words(place), points=points_words(unit, ends), volts=told)
        )
    return found


def _to_earth(points: Sequence[LivePoint]) -> str:
    """Only what stands against ground; points that float are live between each other alone."""
    volts = [point.volt for point in points if point.against == EARTH]
    return (
        say("up to {volts_words} to ground", volts_words=volts_words(max(volts))) if volts else ""
    )


def _between(unit: Unit, most: LivePoint | None) -> str:
    """The two points that are farthest apart; of low volts it is enough that they are low."""
    if most is None:
        return ""
    if most.volt <= LIVE_VOLT:
        return say("at most {volts_words} between two of them", volts_words=volts_words(most.volt))
    pair = pair_words(unit, (most.terminal, most.against))
    return say(
        "up to {volts_words} between two, {pair}", volts_words=volts_words(most.volt), pair=pair
    )


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

    key = f"{current()} {job.mark} {kind} {call} {sorted(opened)} {leads}"
    return _pictures.get(key, made)


def _drawn(unit: Unit, kind: Kind, marks: Marks, place: str) -> str:
    return panel(unit, marks, place=place).svg if kind == "panel" else ladder(unit, marks).svg


def _place(unit: Unit, leads: Mapping[Lead, str]) -> str:
    """The cabinet that the leads are in, the outdoor one where they are in none."""
    places = [unit.part(part_of(end)).place for end in leads.values()]
    return places[0] if places else "outdoor"
