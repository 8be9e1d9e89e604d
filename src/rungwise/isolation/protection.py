"""What protects the person, step by step: clothing, meter, stop rules, load, lock, trying, time."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from rungwise.isolation.asking import asking_words, blower_runs, boxes, fans_run_on
from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.discharge import TOUCH_VOLT
from rungwise.isolation.opening import Chooser, Opening
from rungwise.isolation.stored_energy import StoredCharge
from rungwise.isolation.wording import list_words, points_words
from rungwise.parts import Burner, Caution, Poles
from rungwise.wording import joined, mark, say

METER_RATINGS_V = (600, 1000, 1500)
"""Volts that meters of category III are made for."""

BURNING = (
    "R-32", "R-452B", "R-454A", "R-454B", "R-454C", "R-455A", "R-457A", "R-1234YF", "R-1234ZE",
    "R-143A", "R-152A", "R-290", "R-600A", "R-1270",
)  # fmt: skip
"""Refrigerants that burn, mildly or fully: ASHRAE 34 classes A2L, A2 and A3, from memory."""


_SNIFF: str = mark(
    "Charge low or a leak suspected: sniff low, at fittings and base, "
    "with a detector made for it, before you switch, pull or make a "
    "contact near it. Leak found: stay back, air it out, no flame, no "
    "switching; cut the power from the panel, away from it."
)


class Words(NamedTuple):
    """A step's text with what is said beside it."""

    text: str
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class Protection:
    """The words of one plan that keep its reader whole."""

    chooser: Chooser
    charges: tuple[StoredCharge, ...]
    refrigerant: str

    @property
    def meter(self) -> str:
        """The meter by category and volts, against the worst charge."""
        worst = max((charge.peak_v for charge in self.charges), default=0.0)
        volts = next((v for v in METER_RATINGS_V if v >= worst), METER_RATINGS_V[-1])
        return say("CAT III {volts} V", volts=volts)

    @property
    def burns(self) -> bool | None:
        """Whether the refrigerant burns; None where nobody has told which it is."""
        name = self.refrigerant.upper().replace(" ", "").replace("R-", "R").replace("R", "R-", 1)
        return any(name.startswith(each) for each in BURNING) if name else None

    def stop_words(self) -> str:
        """How the demand is ended."""
        told = mark(
            "Tell everyone here: nobody touches thermostat or panel but on your"
            " word. Thermostat OFF, fan AUTO."
        )
        plan = self.chooser.grounds.topology.plan
        if boxes(plan):
            told = mark(
                "Tell everyone here: nobody touches thermostat or panel but on your"
                " word. Box thermostat as warm as it goes."
            )
        if self.chooser.scope == "indoor" and fans_run_on(plan):
            return say("{told} Its fans run on: the breaker ends them.", told=told)
        if self.chooser.keeps_running:
            return say(
                "{told} The unit runs on: do not pull the disconnect. The breaker comes first.",
                told=told,
            )
        what = (
            mark("the blower stops")
            if self.chooser.scope == "indoor"
            else mark("compressor and fan stop")
        )
        return say(
            "{told} Wait until {what}: no load may be left when something is pulled.",
            told=told,
            what=what,
        )

    def stop_else(self) -> str:
        """What it means that the unit runs on."""
        if self.chooser.keeps_running or self.chooser.scope == "indoor":
            return ""
        return mark(
            "If it runs on with the thermostat off, do not pull the disconnect."
            " Take the plan that opens the breaker first"
        )

    def protect(self, station: str) -> Words:
        """What to put on and to look for before the first cover comes off."""
        text = say(
            "Before the first cover: eye protection on; rings, watch and chain "
            "off. For every reading on open parts rubber gloves made for the "
            "volts, tested, leather over them; one hand where you can. Meter "
            "{meter}, leads whole. Look the box over first.",
            meter=self.meter,
        )
        rules = (*self._stop_rules(station), *self._if_it_burns(station), *self._at_gas(station))
        return Words(text, rules)

    def _at_gas(self, station: str) -> list[Caution]:
        """Of a burner in the cabinet: power off shuts no gas cock."""
        unit = self.chooser.grounds.topology.unit
        if station != "indoor" or not unit.having(Burner):
            return []
        text = mark(
            "Gas: smell first; where it smells of gas switch nothing, shut the "
            "cock outside, air the room, leave, call the supplier. Power off "
            "shuts no gas cock: before hands go to burner, valve or pipe shut "
            "it, and prove joints tight after. Gas pressure, draft, combustion "
            "and heat exchanger are not judged here; licensed gas work where "
            "required."
        )
        return [Caution("WARNING", text)]

    def _stop_rules(self, station: str) -> list[Caution]:
        found = [
            Caution(
                "DANGER",
                mark(
                    "STOP, touch nothing, call a licensed electrician: burnt or loose "
                    "lugs, a hot or crackling box, water inside, no ground wire. "
                    "Damaged service wires or meter: the utility."
                ),
            )
        ]
        if station == "unit":
            text = mark(
                "Alone, in heat or on a roof: tell somebody where you are and when "
                "you call back. Water and shade; ladder tied, mind edge and hatch."
            )
            found.append(Caution("CAUTION", text))
        return found

    def leak(self) -> tuple[Caution, ...]:
        """Of a refrigerant known to burn: before anything is switched, so at the head of a plan."""
        if not self.burns:
            return ()
        return (
            Caution(
                "WARNING",
                joined(" ", (say("{refrigerant} burns.", refrigerant=self.refrigerant), _SNIFF)),
            ),
        )

    def _if_it_burns(self, station: str) -> list[Caution]:
        """Where nobody has told the refrigerant; and what goes off with the power indoors."""
        if self.burns is None:
            told = mark(
                "A nameplate that says R-32, R-454B or another A2L means a refrigerant that burns."
            )
            return [Caution("WARNING", joined(" ", (told, _SNIFF)))]
        if self.burns and station == "indoor":
            text = mark("With the power off the leak protection is off too: keep the room aired.")
            return [Caution("WARNING", text)]
        return []

    def open_words(self, device: IsolatingDevice, stage: int, opening: Opening) -> Words:
        """How a device is opened, what to look at, and what stays live inside it."""
        unit = self.chooser.grounds.topology.unit
        poles = unit.kind_of(device.name).facet(Poles)
        seen = poles.seen_open if poles else ""
        if seen == "head pulled out":
            text = say(
                "Pull the head of the {device} straight out. Look: both blades are "
                "out. Keep the head with you.",
                device=device.title,
            )
        elif seen == "handle":
            text = say(
                "Switch the {device} OFF. A handle is no visible break: readings follow.",
                device=device.title,
            )
        else:
            text = say(
                "Open the {device}. Look: every blade is open, where it has a "
                "window; else only the readings show it.",
                device=device.title,
            )
        if self.chooser.keeps_running and stage == 1:
            stops = mark("The unit must stop at once; if it runs on, that was not its breaker.")
            text = joined(" ", (text, stops))
        return Words(text, tuple(self._while_open(device, stage, opening)))

    def _while_open(self, device: IsolatingDevice, stage: int, opening: Opening) -> list[Caution]:
        live = self.chooser.reach.with_open(opening.opened_at(stage)).line
        ends = [end for end in device.terminals if end in live]
        unit, found = self.chooser.grounds.topology.unit, []
        if ends:
            told = points_words(unit, ends)
            found.append(
                Caution("DANGER", say("Still live inside: {told}. Hands and tools off.", told=told))
            )
        if device.place == "panel":
            text = mark(
                "STOP if you cannot reach or lock the panel (tenant, locked "
                "closet): the owner or manager opens it, or a licensed electrician "
                "does; before that nobody works here."
            )
            found.append(Caution("WARNING", text))
        if device.name not in opening.proved:
            text = mark(
                "Opened with no load and counted for nothing: its line side is dead"
                " by now, so no reading can show whether it parts. The breaker's "
                "lock is what counts."
            )
            found.append(Caution("NOTICE", text))
        return found

    @staticmethod
    def lock_words(device: IsolatingDevice) -> str:
        """How it is kept open."""
        return say(
            "Lock the {device} open and keep the key. Hang your tag on it: name, date, phone.",
            device=device.title,
        )

    def try_words(self, points: Collection[str], opening: Opening) -> tuple[str, str]:
        """Trying to start after the locks, and what a start means. points: where the hands go."""
        plan = self.chooser.grounds.topology.plan
        asked = asking_words(plan, points)
        outdoors = self.chooser.scope in ("cabinet", "disconnect")
        blower = outdoors and blower_runs(plan, [device.name for device in opening.order])
        nothing = (
            mark("Nothing outdoors may move or hum") if blower else mark("Nothing may move or hum")
        )
        several = len(plan.unit.roles.indoor_blowers) > 1
        fans = mark("the fans indoors") if several else mark("the blower")
        indoors = say("; {fans} may run", fans=fans) if blower else ""
        text = say(
            "Try to start it, {asked}. {nothing}{indoors}. A delay can hold a "
            "start back for 5 minutes: wait it out. Then OFF again. Alone: set "
            "it, come back, read, go and set it off. Read while it calls.",
            asked=asked,
            nothing=nothing,
            indoors=indoors,
        )
        return text, mark(
            "It starts, hums or reads more: something still feeds it. OFF; find the source"
        )

    def result_words(self, minutes: int) -> Words:
        """From when and until when the readings count, and where the hands may still not go."""
        text = say(
            "Write down the time. These readings stand for {minutes} minutes at"
            " most, and for nothing once anything is switched on again, a lock "
            "is off, or you were away: then measure again. The drawing may be "
            "wrong: read each bare terminal to ground just before you touch it.",
            minutes=minutes,
        )
        leads = mark(
            "Compressor leads come off at the contactor and the capacitor; the "
            "cover over its terminals stays on, one can blow out under "
            "pressure. No megohms in a vacuum, none through electronics."
        )
        scope = self.chooser.scope
        return Words(text, () if scope == "indoor" else (Caution("WARNING", leads),))

    @staticmethod
    def discharge_notes(charges: Sequence[StoredCharge]) -> tuple[Caution, ...]:
        """What happens beside the discharge."""
        notes: list[Caution] = []
        for charge in charges:
            if charge.own_bleed_s is not None:
                text = say(
                    "The {charge} has a resistor of its own, {touch_volt} V in "
                    "{own_bleed_s} s if it is whole. Do not count on it.",
                    charge=charge.title,
                    touch_volt=f"{TOUCH_VOLT:.0f}",
                    own_bleed_s=f"{charge.own_bleed_s:.1f}",
                )
                notes.append(Caution("WARNING", text))
            if not charge.bleed.resistor_bears_it:
                text = say(
                    "The resistor takes {first_w} W at first and gets hot.",
                    first_w=f"{charge.bleed.first_w:.0f}",
                )
                notes.append(Caution("CAUTION", text))
        beside = list(dict.fromkeys(title for charge in charges for title in charge.beside))
        if beside:
            both = list_words(beside, "and")
            notes.append(
                Caution("NOTICE", say("Joined at rest and emptied together: {both}.", both=both))
            )
        return tuple(notes)
