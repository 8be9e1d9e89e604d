"""A technician's visit to one house: every setting that a check is made in, solved when needed."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from rungwise.other_world.asks import Live
from rungwise.other_world.house import House
from rungwise.other_world.netlist import Solved
from rungwise.other_world.parts import Stand, solve_stand
from rungwise.other_world.switching import MOTORS, Settled, settle_calling, settle_quick

__all__ = ["Visit"]

EMPTY = 0.2
"""Share of the charge below which a unit at rest no longer closes its low-pressure switch."""

BROWNING_W = 25.0
"""Heat in one joint that browns it (common practice, no source)."""

FED_VOLT = 100.0
"""A line under this is not fed at all, and what it shows is a ghost."""

LEAST_SHARE = 0.92
"""Of the volts at rest, while it runs; under it something in the line is too thin."""


def _opens(name: str) -> bool:
    """Whether a state is something that has tripped, blown or opened."""
    return name == "open" or name.startswith(("blown", "tripped"))


class Visit:
    """One house as it is found.

    Before anybody comes the unit has tried to cool: what melted or tripped then is found so. What
    heat or pressure opened is found open, or has closed again and opens as the call goes on.
    """

    def __init__(self, house: House) -> None:
        self.house = house

    @cached_property
    def _first_start(self) -> Settled:
        """The start of the last call before the visit, from a unit at rest."""
        return settle_quick(self.house, Stand(cools=True))

    @cached_property
    def _before(self) -> Settled:
        """Where the last call before the visit came to."""
        return settle_calling(self._first_start)

    @cached_property
    def lasting(self) -> dict[tuple[str, str], float]:
        """What the last call has left behind: fuses, breakers, and heat where it is found so."""
        return {
            (part, name): state
            for (part, name), state in self._before.stand.states.items()
            if state and _opens(name) and self._found(part, name)
        }

    def _found(self, part: str, name: str) -> bool:
        """Whether what opened is found open on arrival."""
        if name == "open":
            return self._empty(part) or self.house.found_pressed
        return self.house.found_tripped or not self._by_heat(part, name)

    def _empty(self, part: str) -> bool:
        """Whether this is the low-pressure switch of a unit that has lost its charge."""
        low = self.house.unit.part(part).kind == "low_pressure_switch"
        return low and self.house.weather.charge < EMPTY

    def _by_heat(self, part: str, name: str) -> bool:
        """Whether a state goes back by itself: overloads of motors and pressure switches."""
        return name == "open" or (name == "tripped" and part in self.house.machines)

    @cached_property
    def standby(self) -> Settled:
        """The thermostat satisfied or off, after a call; what the call tripped is as found."""
        return settle_quick(self.house, Stand(cools=False, states=dict(self.lasting)))

    @cached_property
    def starting(self) -> Settled:
        """The first seconds of a call."""
        if not self.lasting:
            return self._first_start
        rest = settle_quick(self.house, Stand(cools=False, states=dict(self.lasting)))
        return settle_quick(self.house, Stand(cools=True, states=dict(rest.stand.states)))

    @cached_property
    def calling(self) -> Settled:
        """A quarter of an hour into the call."""
        if not self.lasting:
            return self._before
        return settle_calling(self.starting)

    @cached_property
    def _restart(self) -> Settled:
        """A start once all has cooled: what melted is still open, what heat had opened is not."""
        rested = self._rested(cooled=True)
        left = {
            (part, name): state
            for (part, name), state in self.lasting.items()
            if not self._by_heat(part, name) or self._empty(part)
        }
        if not left and rested.values == self.house.values:
            return self._first_start
        rest = settle_quick(rested, Stand(cools=False, states=left))
        return settle_quick(rested, Stand(cools=True, states=dict(rest.stand.states)))

    def live(self, when: Live) -> Settled:
        """A live setting."""
        match when:
            case "starting":
                return self.starting
            case "restart":
                return self._restart
            case "calling":
                return self.calling
            case "standby":
                return self.standby

    def dead(
        self,
        lifted: frozenset[tuple[str, str]] = frozenset(),
        *,
        cooled: bool = False,
        chilled: bool = False,
        omega_rad_per_s: float = 0.0,
    ) -> Solved:
        """The unit made dead, with ends of wires taken off."""
        hot = self.house.still_hot and not cooled
        states = {
            (part, name): state
            for (part, name), state in self.calling.stand.states.items()
            if _opens(name) and (hot or not self._by_heat(part, name))
        }
        stand = Stand(isolated=True, lifted=lifted, chilled=chilled, states=states)
        return solve_stand(self._rested(cooled=cooled), stand, omega_rad_per_s)

    def _rested(self, *, cooled: bool) -> House:
        """The house with overloads that a fault holds open by heat closed, once it has cooled."""
        if not cooled:
            return self.house
        values = {
            part: {name: it for name, it in own.items() if name != "overload_held"}
            for part, own in self.house.values.items()
        }
        return replace(self.house, values=values)

    @property
    def symptoms(self) -> frozenset[str]:
        """What somebody in the house notices: empty when it cools as it should."""
        return frozenset(self._symptoms())

    def _symptoms(self) -> list[str]:
        house, late = self.house, self.calling
        found = [f"{p.name} dead" for p in house.unit.parts_of_kind(*MOTORS)
                 if not late.turns(p.name)]  # fmt: skip
        outdoor = (house.part_of("compressor"), *self._outdoor_fans())
        found += ["keeps running"] if any(self.standby.turns(name) for name in outdoor) else []
        found += ["chatters"] if late.chatters | self.starting.chatters else []
        found += ["buzzes"] if self._buzzes() else []
        heat = late.heat
        found += ["runs hot"] if heat is not None and heat.condensing_f > 140.0 else []
        found += ["suction low"] if heat is not None and heat.suction_psig < 80.0 else []
        found += ["smells burnt"] if self.hot_spots else []
        found += ["volts sag"] if self._sags() else []
        return found

    def _sags(self) -> bool:
        """Whether the unit's own amps pull its volts down: lights in the house dim with it."""
        ends = [
            f"{self.house.part_of('contactor_1p', 'contactor_2p')}.{leg}" for leg in ("L1", "L2")
        ]
        idle, run = abs(self.standby.solved.volt(*ends)), abs(self.calling.solved.volt(*ends))
        return idle > FED_VOLT and run < LEAST_SHARE * idle

    def _outdoor_fans(self) -> list[str]:
        fans = self.house.unit.parts_of_kind("fan_motor")
        return [part.name for part in fans if part.place != "indoor"]

    def _buzzes(self) -> bool:
        return any(own.get("buzzes") for own in self.house.values.values()) and any(
            self.calling.stand.state(part, "in") for part in self.house.values
        )

    @cached_property
    def hot_spots(self) -> dict[str, float]:
        """Wires and parts in which a contact or a joint makes more heat than it can shed, W."""
        found: dict[str, float] = {}
        solved = self.calling.solved
        for name, a, b, ohm in solved.netlist.resistors:
            block, _, spot = name.rpartition(".")
            if spot in ("tab1", "tab2", "copper") or spot.startswith("pole"):
                watt = abs(solved.volt(a, b)) ** 2 / ohm
                if watt > self._sheds(block, spot):
                    found[block] = max(watt, found.get(block, 0.0))
        return found

    def _sheds(self, block: str, spot: str) -> float:
        """Watts at which a spot browns: of one joint, or of all the copper of a wire."""
        if spot != "copper":
            return BROWNING_W
        return BROWNING_W * max(self.house.unit.wire_by_name[block].length_m / 2.0, 1.0)
