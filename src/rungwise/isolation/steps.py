"""The steps that make a place of work dead and prove it, in order, with their stations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rungwise.isolation import step_words
from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.opening import Chooser, Opening
from rungwise.isolation.protection import Protection
from rungwise.isolation.readings import Group, Readings
from rungwise.isolation.scopes import WORK_STATIONS, station_of
from rungwise.isolation.shape import KNOWN_SOURCE, Reading, Step, StepKind
from rungwise.isolation.stored_energy import StoredCharge
from rungwise.parts import Caution, part_of, worst_first
from rungwise.wording import joined, mark, say

STANDS_FOR_MINUTES = 30
"""How long readings count at most (common practice, no source)."""

AT = {"unit": "outdoor", "indoor": "indoor"}


@dataclass(frozen=True)
class Work:
    """The steps of one plan."""

    chooser: Chooser
    opening: Opening
    readings: Readings
    charges: tuple[StoredCharge, ...]
    protection: Protection

    def steps(self) -> tuple[Step, ...]:
        """All of them, numbered from 1, with the stations walked to."""
        told = [*self._before(), *self._opening(), *self._after()]
        found: list[Step] = []
        station, at = 0, ""
        for number, step in enumerate(told, start=1):
            if station_of(step.place) != at:
                station, at = station + 1, station_of(step.place)
            found.append(replace(step, number=number, station=station))
        return tuple(found)

    def _before(self) -> Iterator[Step]:
        yield _step("stop", "room", self.protection.stop_words(), self.protection.stop_else())

    def _opening(self) -> Iterator[Step]:
        """Each device opened and locked, measured behind at once where that is when it shows."""
        dressed: set[str] = set()
        for stage, device in enumerate(self.opening.order, start=1):
            station = station_of(device.place)
            if station != "panel" and station not in dressed:
                yield self._protect(device.place, station)
                dressed.add(station)
            yield from self._open_and_lock(device, stage)
            for session in self.opening.sessions:
                if session.stage == stage:
                    yield from self._session(session.devices, stage, dressed)
        for station in WORK_STATIONS[self.chooser.scope]:
            if station not in dressed:
                yield self._protect(AT[station], station)

    def _protect(self, place: str, station: str) -> Step:
        text, cautions = self.protection.protect(station)
        return _step("protect", place, text, cautions=cautions)

    def _open_and_lock(self, device: IsolatingDevice, stage: int) -> Iterator[Step]:
        pulled = self.protection.open_words(device, stage, self.opening)
        yield _step("open", device.place, pulled.text, device=device.name, cautions=pulled.cautions)
        yield _step("lock", device.place, self.protection.lock_words(device), device=device.name)

    def _session(
        self, devices: Sequence[IsolatingDevice], stage: int, dressed: set[str]
    ) -> Iterator[Step]:
        """Live, dead, live behind devices whose failure shows only now.

        Where the place of work is measured at last anyway, that is when they are measured too.
        """
        later = WORK_STATIONS[self.chooser.scope] if stage == len(self.opening.order) else ()
        by_station: dict[str, list[Reading]] = {}
        for reading in self.readings.of_devices(devices, stage):
            station = station_of(self.chooser.place_of(reading.red))
            if station not in later:
                by_station.setdefault(station, []).append(reading)
        for station, readings in by_station.items():
            place = self.chooser.place_of(readings[0].red)
            if station not in dressed:
                yield self._protect(place, station)
                dressed.add(station)
            yield from self._live_dead_live(
                station, place, [Group(mark("behind the device"), tuple(readings))], stage
            )

    def _live_dead_live(
        self, station: str, place: str, groups: Sequence[Group], stage: int
    ) -> Iterator[Step]:
        proof = self.readings.proof_of_meter(station, stage)
        at = self._place_of_proof(proof, place)
        yield self._prove(at, proof, mark("Prove the meter"))
        for n, group in enumerate(groups):
            yield self._measure(group, name_failures=n == 0)
        yield self._prove(at, proof, mark("Prove the meter again"))

    def _place_of_proof(self, proof: tuple[Reading, ...], place: str) -> str:
        red = proof[0].red
        unit = self.chooser.grounds.topology.unit
        return place if red == KNOWN_SOURCE else unit.part(part_of(red)).place

    def _prove(self, place: str, proof: tuple[Reading, ...], verb: str) -> Step:
        unit = self.chooser.grounds.topology.unit
        return _step(
            "prove meter", place, step_words.proof_words(proof, verb), step_words.NO_PROOF,
            readings=proof, reads=step_words.source_words(unit, proof),
            must_read=step_words.live_words(proof),
        )  # fmt: skip

    def _measure(self, group: Group, *, name_failures: bool) -> Step:
        unit = self.chooser.grounds.topology.unit
        titles = {d.name: d.title for d in self.chooser.devices}
        readings = (*group.always, *group.if_touched)
        means = (
            step_words.means_words(unit, titles, readings, self.readings.volt)
            if name_failures
            else ""
        )
        other = mark(
            "Any other live reading: a source that this drawing does not know. Keep hands out"
        )
        if not name_failures:
            other = mark("A live reading: a source that this drawing does not know. Keep hands out")
        points = step_words.group_words(unit, group)
        return _step(
            "measure",
            self.chooser.place_of(readings[0].red),
            say("Measure {group}, low-impedance AC volts.", group=group.title),
            joined(". ", (means, other)) if means else other,
            readings=readings,
            reads=points,
            must_read=say(
                "{dead_words}; write down the highest", dead_words=step_words.dead_words(readings)
            ),
        )

    def _after(self) -> Iterator[Step]:
        """At each place of work: trying to start, every terminal to be touched, the capacitors."""
        stage = len(self.opening.order)
        for station in WORK_STATIONS[self.chooser.scope]:
            groups = self.readings.touch(station, self._points())
            if groups:
                first, *rest = self._live_dead_live(station, AT[station], groups, stage)
                yield first
                yield self._try(station)
                yield from rest
                yield from self._capacitors(station)
        place = AT[WORK_STATIONS[self.chooser.scope][-1]]
        text, cautions = self.protection.result_words(STANDS_FOR_MINUTES)
        yield _step("result", place, text, cautions=cautions)

    def _try(self, station: str) -> Step:
        unit = self.chooser.grounds.topology.unit
        readings = self.readings.on_call(station, self._points())
        points = step_words.readings_words(unit, readings)
        text, means = self.protection.try_words(self._points(), self.opening)
        mixed = len({reading.below_v for reading in readings}) > 1
        of_them = mark(" of the others") if mixed else ""
        return _step(
            "try",
            AT[station],
            text,
            means,
            readings=readings,
            reads=points,
            must_read=say(
                "{dead_words}; write down the highest{of_them}",
                dead_words=step_words.dead_words(readings),
                of_them=of_them,
            ),
        )

    def _points(self) -> tuple[str, ...]:
        return self.chooser.grounds.points(self.chooser.scope)

    def _capacitors(self, station: str) -> Iterator[Step]:
        """Measured, discharged, measured."""
        here = [c for c in self.charges if station_of(self._stands(c.part)) == station]
        if not here:
            return
        unit = self.chooser.grounds.topology.unit
        places, place = frozenset({station}), AT[station]
        before = self.readings.charges(places, empty=False)
        empty = self.readings.charges(places, empty=True)
        words = step_words.readings_words(unit, before, mark("the metal can"))
        yield _step(
            "charge",
            place,
            mark("Capacitors: measure DC volts before anything is touched."),
            mark(
                "A figure here shows what was held; 0 V shows nothing yet, discharge all the same"
            ),
            readings=before,
            reads=words,
            must_read=say(
                "written down as it is; {volts_of_charges}",
                volts_of_charges=step_words.volts_of_charges(here),
            ),
        )
        yield _step(
            "discharge",
            place,
            step_words.discharge_words(here),
            cautions=self.protection.discharge_notes(here),
        )
        yield _step(
            "empty",
            place,
            mark("Measure DC volts again at the same points."),
            mark("More: hold the resistor on again, and measure again"),
            readings=empty,
            reads=words,
            must_read=say(
                "{dead_words}; write down the highest", dead_words=step_words.dead_words(empty)
            ),
        )

    def _stands(self, part: str) -> str:
        return self.chooser.grounds.place(part)


def _step(  # noqa: PLR0913  # the fields of a step
    kind: StepKind,
    place: str,
    text: str,
    else_means: str = "",
    *,
    device: str = "",
    readings: tuple[Reading, ...] = (),
    reads: tuple[str, ...] = (),
    must_read: str = "",
    cautions: tuple[Caution, ...] = (),
) -> Step:
    return Step(
        0,
        0,
        kind,
        place,
        text,
        device,
        readings,
        reads,
        must_read,
        else_means,
        worst_first(cautions),
    )
