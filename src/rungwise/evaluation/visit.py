"""A technician's visit to one house: every setting that a check is made in, solved when needed."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from rungwise.evaluation.asks import Live
from rungwise.evaluation.house import House
from rungwise.evaluation.netlist import Solved
from rungwise.evaluation.parts import Stand, solve_stand
from rungwise.evaluation.switching import MOTORS, Settled, settle_calling, settle_quick

__all__ = ["Visit"]

HEAT_STATES = ("tripped", "open")
"""States that heat and pressure move: they go back by themselves."""


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
        keep = {}
        for (part, name), state in self._before.stand.states.items():
            thermal = self._thermal(part, name)
            if name.startswith(("blown", "tripped")) or name == "open":
                keep[(part, name)] = state if not thermal or self.house.found_tripped else 0.0
        return keep

    def _thermal(self, part: str, name: str) -> bool:
        motor = part in self.house.machines
        return (name == "tripped" and motor) or name == "open"

    @cached_property
    def standby(self) -> Settled:
        """The thermostat satisfied or off, after a call; what the call tripped is as found."""
        return settle_quick(self.house, Stand(cools=False, states=dict(self.lasting)))

    @cached_property
    def starting(self) -> Settled:
        """The first seconds of a call."""
        if not any(self.lasting.values()):
            return self._first_start
        rest = settle_quick(self.house, Stand(cools=False, states=dict(self.lasting)))
        return settle_quick(self.house, Stand(cools=True, states=dict(rest.stand.states)))

    @cached_property
    def calling(self) -> Settled:
        """A quarter of an hour into the call."""
        if not any(self.lasting.values()):
            return self._before
        return settle_calling(self.starting)

    def live(self, when: Live) -> Settled:
        """A live setting."""
        match when:
            case "starting":
                return self.starting
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
        states = {}
        for (part, name), state in self.calling.stand.states.items():
            if name.startswith(("blown", "tripped")) or name == "open":
                states[(part, name)] = state if hot or not self._thermal(part, name) else 0.0
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
        return found

    def _outdoor_fans(self) -> list[str]:
        fans = self.house.unit.parts_of_kind("fan_motor")
        return [part.name for part in fans if part.place != "indoor"]

    def _buzzes(self) -> bool:
        return any(own.get("buzzes") for own in self.house.values.values()) and any(
            self.calling.stand.state(part, "in") for part in self.house.values
        )

    @cached_property
    def hot_spots(self) -> dict[str, float]:
        """Wires and parts in which a contact or a joint makes more than 25 W of heat."""
        found: dict[str, float] = {}
        for settled in (self.calling,):
            for name, a, b, ohm in settled.solved.netlist.resistors:
                block, _, what = name.rpartition(".")
                if what in ("tab1", "tab2", "copper") or what.startswith("pole"):
                    watt = abs(settled.solved.volt(a, b)) ** 2 / ohm
                    if watt > 25.0:
                        found[block] = max(watt, found.get(block, 0.0))
        return found
