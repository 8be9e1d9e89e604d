"""A technician's visit to one house: every setting that a check is made in, solved when needed."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from rungwise.other_world.asks import Live
from rungwise.other_world.gas import flame_burns
from rungwise.other_world.heat import reversed_for_heat, stage_share
from rungwise.other_world.house import House
from rungwise.other_world.kinds import FANS, TURNING
from rungwise.other_world.netlist import Solved
from rungwise.other_world.parts import solve_stand
from rungwise.other_world.place import Call, Stand
from rungwise.other_world.switching import Settled, settle_calling, settle_quick
from rungwise.unit import split_end

EMPTY = 0.2
"""Share of the charge below which a unit at rest no longer closes its low-pressure switch."""

BROWNING_W = 25.0
"""Heat in one joint that browns it (common practice, no source)."""

FED_VOLT = 100.0
"""A line under this is not fed at all, and what it shows is a ghost."""

MOST_CONDENSING_F, LEAST_SUCTION = 140.0, 0.625
LUKEWARM = 0.6
"""Of the electric heat; under it somebody notices. At 208 V there is 0.75 of it."""

NO_WATT = 50.0
LEAST_SHARE = 0.92
"""Of the volts at rest, while it runs; under it something in the line is too thin."""


def _opens(name: str) -> bool:
    """Whether a state is something that has tripped, blown or opened."""
    return name in ("open", "high", "locked") or name.startswith(("blown", "tripped"))


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
        return settle_quick(self.house, Stand(self.house.season))

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
        return low and self.house.weather.charge_of(self.house.unit.part(part).circuit) < EMPTY

    def _by_heat(self, part: str, name: str) -> bool:
        """Whether a state goes back by itself: overloads of motors and pressure switches."""
        return name == "open" or (name == "tripped" and part in self.house.machines)

    @cached_property
    def standby(self) -> Settled:
        """The thermostat satisfied or off, after a call; what the call tripped is as found."""
        return settle_quick(self.house, Stand(states={**self.lasting, **self._undrawn}))

    @property
    def _undrawn(self) -> dict[tuple[str, str], float]:
        """Controls of a box whose compressor has not turned at all on the call: still closed."""
        if any(self._first_start.turns(name) for name in self.house.compressors):
            return {}
        controls = self.house.unit.parts_of_kind("suction_control")
        return {(part.name, "in"): self._before.stand.state(part.name, "in") for part in controls}

    def _started(self, call: Call) -> Settled:
        """The first seconds of a call, from what the last one left behind."""
        if not self.lasting and call == self.house.season:
            return self._first_start
        rest = settle_quick(self.house, Stand(states=dict(self.lasting)))
        return settle_quick(self.house, Stand(call, states=dict(rest.stand.states)))

    def _called(self, call: Call, started: Settled) -> Settled:
        if not self.lasting and call == self.house.season:
            return self._before
        return settle_calling(started)

    @cached_property
    def starting(self) -> Settled:
        """The first seconds of a call for cooling."""
        return self._started("cool")

    @cached_property
    def calling(self) -> Settled:
        """A quarter of an hour into a call for cooling."""
        return self._called("cool", self.starting)

    @cached_property
    def heating(self) -> Settled:
        """A quarter of an hour into the fullest call for heat."""
        return self._called("heat", self._started("heat"))

    @property
    def called(self) -> Settled:
        """A quarter of an hour into the call that somebody complains of."""
        return self.heating if self.house.season == "heat" else self.calling

    @cached_property
    def starting_as_told(self) -> Settled:
        """The first seconds of that call."""
        return self._started("heat") if self.house.season == "heat" else self.starting

    @cached_property
    def _restart(self) -> Settled:
        """A start once all has cooled: what melted is still open, what heat had opened is not.

        Whoever waits for it turns the call off, and a board that counts trips forgets its lock.
        """
        rested = self._rested(cooled=True)
        left = {
            (part, name): state
            for (part, name), state in self.lasting.items()
            if (not self._by_heat(part, name) or self._empty(part)) and name != "locked"
        }
        same = not left and rested.values == self.house.values
        if same and self.house.season == "cool":
            return self._first_start
        rest = settle_quick(rested, Stand(states=left))
        return settle_quick(rested, Stand("cool", states=dict(rest.stand.states)))

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
            case "heating":
                return self.heating

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
            for (part, name), state in self.called.stand.states.items()
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
        house, late, early = self.house, self.called, self.starting_as_told
        found = [f"{name} dead" for name in self._wanted() if not late.turns(name)]
        outdoor = (*house.compressors, *self._outdoor_fans())
        if any(self.standby.turns(name) for name in outdoor):
            found.append("keeps running")
        if any(self.standby.turns(name) for name in self._blowers()):
            found.append("blower keeps running")
        found += ["chatters"] if late.chatters | early.chatters else []
        found += ["buzzes"] if self._buzzes() else []
        found += self._of_air(late)
        found += ["smells burnt"] if self.hot_spots else []
        found += ["volts sag"] if self._sags() else []
        found += ["starts again and again"] if self._kicks() else []
        return found

    def _wanted(self) -> list[str]:
        """The motors that should turn in the call that somebody complains of."""
        cools = self.house.season == "cool"
        pumps_heat = bool(self.house.part_of("reversing_valve_cooling", "reversing_valve_heating"))
        return [part.name for part in self.house.unit.parts_of_kind(*TURNING)
                if cools or pumps_heat or part.place == "indoor"]  # fmt: skip

    def _of_air(self, late: Settled) -> list[str]:
        """What the air in the house and the pressures outdoors tell."""
        house, cools = self.house, self.house.season == "cool"
        backward = [late.stand.state(name, "speed") * house.value(name, "way") < 0
                    for name in house.compressors]  # fmt: skip
        found = ["turns backward"] if any(backward) else []
        if late.heats and not found:
            heats = late.heats.values()
            hot = any(heat.condensing_f > MOST_CONDENSING_F for heat in heats)
            low = any(heat.suction_psig < LEAST_SUCTION * heat.full_psig for heat in heats)
            found += ["runs hot"] if hot else []
            found += ["suction low"] if cools and low else []
            found += ["air of the wrong season"] if reversed_for_heat(late) == cools else []
            stays = cools and any(stage_share(late, name) < 1.0 for name in late.heats)
            found += ["cools little"] if stays else []
        whole = self.warm_share(late)
        if cools:
            return [*found, "heats while it cools"] if whole > 0 else found
        return [*found, "little heat"] if whole < self._expected_share() else found

    def _expected_share(self) -> float:
        """Under this much of the electric heat somebody notices; a mild day needs half of it."""
        stat = self.house.part_of("outdoor_thermostat")
        mild = stat and self.house.weather.outdoor_f > self.house.value(stat, "closes_f")
        return LUKEWARM * (0.5 if mild else 1.0)

    def warm_share(self, settled: Settled) -> float:
        """Watts of the electric heat over those of its labels; 1 where the unit has none."""
        labels = watts = 0.0
        for part in self.house.unit.parts_of_kind("heating_element"):
            own = self.house.values[part.name]
            labels += own["plate_watt"]
            amp = abs(settled.solved.ohm_amp(f"{part.name}.element"))
            watts += amp**2 * own["element_ohm"]
        if self.house.part_of("furnace_board"):
            return float(flame_burns(self.house, settled.stand))
        if not labels:
            return float(self.house.season == "heat")
        return watts / labels if watts > NO_WATT else 0.0

    def _kicks(self) -> bool:
        """Whether a valve that leaks lets the suction of a cold box rise again and again."""
        valves = self.house.unit.parts_of_kind("liquid_solenoid")
        return any(self.house.value(part.name, "leaks") for part in valves) and any(
            self.called.turns(name) for name in self.house.compressors
        )

    def _blowers(self) -> list[str]:
        """Indoor fans that should stop with the call; those of a box run on."""
        if self.house.part_of("defrost_timer"):
            return []
        return [p.name for p in self.house.unit.parts_of_kind(*FANS) if p.place == "indoor"]

    def _sags(self) -> bool:
        """Whether the unit's own amps pull its volts down: lights in the house dim with it."""
        ends = [f"{self.house.contactor}.{leg}" for leg in ("L1", "L2")]
        idle, run = abs(self.standby.solved.volt(*ends)), abs(self.called.solved.volt(*ends))
        return idle > FED_VOLT and run < LEAST_SHARE * idle

    def _outdoor_fans(self) -> list[str]:
        return [p.name for p in self.house.unit.parts_of_kind(*FANS) if p.place != "indoor"]

    def _buzzes(self) -> bool:
        return any(own.get("buzzes") for own in self.house.values.values()) and any(
            self.called.stand.state(part, "in") for part in self.house.values
        )

    @cached_property
    def hot_spots(self) -> dict[str, float]:
        """Wires and parts in which a contact or a joint makes more heat than it can shed, W."""
        found: dict[str, float] = {}
        solved = self.called.solved
        for name, a, b, ohm in solved.netlist.resistors:
            block, spot = split_end(name)
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
