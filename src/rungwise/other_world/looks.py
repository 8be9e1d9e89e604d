"""What eyes, ears, nose and hands find in a house: facts of its solution, and marks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from rungwise.other_world.asks import Look
from rungwise.other_world.gas import how_far_it_lights
from rungwise.other_world.heat import reversed_for_heat, saturated_f
from rungwise.other_world.kinds import FANS, TURNING
from rungwise.other_world.signals import sequences
from rungwise.other_world.switching import overload_amp
from rungwise.other_world.visit import Visit

STRAY_MARK = 0.04
"""Chance of a mark that has nothing to do with the call."""

USUAL = {"coil_dirt": 0.2, "filter": 0.2, "recent_work": 0.12, "ice": 0.01, "shell": 0.06}
"""Chance of a look's remark in a house that has nothing (common practice, no source)."""

HUM_SHARE = 0.3
LIT_VOLT = 15.0


@dataclass(slots=True)
class Eyes:
    """Somebody looking at a house; `slip` of looks are seen or told wrongly."""

    visit: Visit
    slip: float = 0.012

    def see(self, look: Look, rng: np.random.Generator) -> str | None:
        """One of the look's choices; None where it cannot be told."""
        if rng.random() < self.slip:
            return str(rng.choice(look.choices))
        fact = _FACTS.get(look.thing, _mark)
        return fact(self.visit, look, rng)


def _pick(look: Look, *words: str) -> str:
    """The first choice that is one of the words, or has one in it; else the unremarkable one."""
    for word in words:
        for choice in look.choices:
            if choice == word:
                return choice
    for word in words:
        for choice in look.choices:
            if word in choice:
                return choice
    return look.choices[0]


def _second(look: Look, *, remark: bool) -> str:
    return look.choices[min(1, len(look.choices) - 1)] if remark else look.choices[0]


def _turns(visit: Visit, look: Look, _: np.random.Generator) -> str:
    return _second(look, remark=not visit.calling.turns(look.subject))


def _sound(visit: Visit, look: Look, _: np.random.Generator) -> str:
    early, late = visit.starting.turns(look.subject), visit.calling.turns(look.subject)
    if late:
        return _pick(look, "running")
    if early:
        return _pick(look, "runs, then trips")
    amp = overload_amp(visit.starting, look.subject)
    hums = amp > HUM_SHARE * visit.house.value(look.subject, "lra")
    return _pick(look, "hums and trips") if hums else _pick(look, "silent")


def _plunger(visit: Visit, look: Look, _: np.random.Generator) -> str:
    house, late = visit.house, visit.calling
    name = look.subject or house.contactor
    pulled = bool(late.stand.state(name, "in"))
    if house.value(name, "welded") or (pulled and not house.value(name, "blocked")):
        buzzes = pulled and house.value(name, "buzzes")
        return _pick(look, "buzz", "chattering", "yes") if buzzes else _pick(look, "yes")
    if name in late.chatters or name in visit.starting.chatters:
        return _pick(look, "chattering", "buzz", "no")
    volt = abs(late.solved.volt(f"{name}.coil1", f"{name}.coil2"))
    half = 0.8 < volt / house.value(name, "pull_volt") < 1.0 and not house.value(name, "coil_open")
    return _pick(look, "chattering", "buzz", "no") if half else _pick(look, "no")


def _idle(visit: Visit, look: Look, _: np.random.Generator) -> str:
    parts = visit.house.unit.parts
    turning = {p.name for p in parts if p.kind in TURNING}
    motors = [p.name for p in parts if p.name in turning and p.place == "outdoor"]
    if look.subject in turning:
        motors = [look.subject]
    return _second(look, remark=any(visit.standby.turns(name) for name in motors))


def _device(visit: Visit, look: Look, _: np.random.Generator) -> str:
    house, name = visit.house, look.subject
    state = visit.called.stand.state
    if state(name, "high"):
        return _pick(look, "water high")
    if house.value(name, "off"):
        return _pick(look, "off", "out", "tripped or off")
    if state(name, "tripped") or house.value(name, "held_tripped"):
        return _pick(look, "tripped", "off")
    if state(name, "blown") or house.value(name, "held_open"):
        return _pick(look, "blown", "out")
    return look.choices[0]


def _powered(visit: Visit, look: Look, rng: np.random.Generator) -> str | None:
    """A screen or a light that lives on R and C."""
    house = visit.house
    board = house.part_of("furnace_board") or house.part_of(
        "terminal_board", "terminal_board_stages", "transformer", "transformer_taps"
    )
    point = f"{look.subject}.R" if look.thing == "screen" else f"{board}.R"
    lit = abs(visit.called.solved.volt(point, f"{board}.C")) > LIT_VOLT
    if look.thing == "board_light" and rng.random() < 0.4:
        return None
    if look.thing == "screen" and rng.random() < 0.3:
        return look.choices[0]  # a thermostat on batteries
    return _second(look, remark=not lit)


def _thermostat(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    deaf = visit.house.value(look.subject or "thermostat", "deaf")
    return _mark(visit, look, rng) if deaf else _second(look, remark=rng.random() < 0.01)


def _joints(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    """Which joint or contact is browned or loose: hot ones first, then what the fault left."""
    spots = [spot for spot in look.choices if spot in visit.hot_spots]
    left = [max(visit.house.marks.get((sign, spot), 0.0) for sign in ("joints", "burnt"))
            for spot in look.choices]  # fmt: skip
    marked = [s for s, chance in zip(look.choices, left, strict=True) if rng.random() < chance]
    for spot in (*marked, *spots):
        if spot in marked or rng.random() < 0.6:
            return spot
    if rng.random() < STRAY_MARK and len(look.choices) > 1:
        return str(rng.choice(look.choices[1:]))
    return look.choices[0]


def _shell(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    tripped = visit.called.stand.state(look.subject, "tripped")
    held = visit.house.value(look.subject, "overload_held")
    if tripped or held:
        return _second(look, remark=rng.random() < 0.92)
    return _mark(visit, look, rng)


def _burnt(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    hot = look.subject in visit.hot_spots and rng.random() < 0.6
    return _second(look, remark=True) if hot else _mark(visit, look, rng)


def _turns_on_heat(visit: Visit, look: Look, _: np.random.Generator) -> str:
    return _second(look, remark=not visit.heating.turns(look.subject))


def _warm_air(visit: Visit, look: Look, _: np.random.Generator) -> str:
    share = visit.warm_share(visit.heating)
    moved = any(visit.heating.turns(p.name) for p in visit.house.unit.parts_of_kind(*FANS)
                if p.place == "indoor")  # fmt: skip
    if share <= 0.0 or not moved:
        return _pick(look, "cold")
    return _pick(look, "lukewarm") if share < HALF_WARM else _pick(look, "warm")


HALF_WARM = 0.7
"""Of all elements' watts; with one of two broken half is left. At 208 V they give 0.75."""


def _line(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    """The large line outdoors: cold gas comes back in cooling, hot gas goes in heating."""
    settled = visit.live(look.when)
    own = look.subject in visit.house.compressors
    compressor = look.subject if own else visit.house.compressor
    if not settled.turns(compressor):
        return _pick(look, "like the air")
    if reversed_for_heat(settled):
        return _pick(look, "hot")
    return _of_cold(visit, look, compressor, rng) if look.when == "calling" else look.choices[0]


STARVED_CHARGE, WARM_GAS = 0.7, 0.65
"""Charge under which the liquid is gone early in the coil, and how often its line is then felt to
be warm and not white (common practice, no source)."""

WARM_DAY = 0.02
"""Chance that a good line feels warm, in a house that has stood hot."""

WHITE_F = 29.0
"""Suction saturated under this, °F, and the line outdoors grows white (common practice)."""


def _of_cold(visit: Visit, look: Look, compressor: str, rng: np.random.Generator) -> str:
    """A suction line by its pressure and charge; hot days and long lines warm a good one."""
    heat = visit.calling.heats[compressor]
    charge = visit.house.weather.charge_of(visit.house.unit.part(compressor).circuit)
    if charge < STARVED_CHARGE and rng.random() < WARM_GAS:
        return _pick(look, "like the air")
    if saturated_f(heat.suction_psig) < WHITE_F and rng.random() < 0.85:
        return _pick(look, "frosted")
    return _pick(look, "like the air") if rng.random() < WARM_DAY else look.choices[0]


def _pump(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """Water poured in: it runs where it is fed and not dead, slimed or not."""
    solved, name = visit.calling.solved, look.subject
    fed = abs(solved.volt(f"{name}.L", f"{name}.N")) > LINE_VOLT
    return _second(look, remark=not fed or bool(visit.house.value(name, "dead")))


LINE_VOLT = 90.0


def _lock_light(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    """The light of a delay board, which few fail to read."""
    locked = visit.called.stand.state(look.subject, "locked")
    return _second(look, remark=rng.random() < 0.9) if locked else _mark(visit, look, rng)


def _sequence(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """How far a furnace comes as it lights."""
    settled = visit.heating
    far = how_far_it_lights(visit.house, settled.stand, settled.solved, look.subject)
    return look.choices[min(far, len(look.choices) - 1)]


def _pulls(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """A steel screwdriver at a coil."""
    solved, name = visit.calling.solved, look.subject
    volt = abs(solved.volt(f"{name}.1", f"{name}.2"))
    strong = volt > 0.5 * visit.house.value(name, "plate_coil_volt")
    return _second(look, remark=not strong or bool(visit.house.value(name, "coil_open")))


def _kicks(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    leaks = visit.house.value(look.subject, "leaks")
    return _second(look, remark=rng.random() < (0.95 if leaks else STRAY_MARK))


def _alarm_code(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    """The code of a leak board's light, which few fail to read."""
    house = visit.house
    alarms = house.value(look.subject, "alarms") and any(
        visit.called.stand.state(part.name, "alarm")
        for part in house.unit.parts_of_kind("leak_board")
    )
    return _second(look, remark=rng.random() < 0.9) if alarms else look.choices[0]


def _stage(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """Whether the amps of a compressor of two stages rise as its second one is asked for."""
    settled, name = visit.calling, look.subject
    lifted = settled.stand.state(name, "in") and not visit.house.value(name, "valve_stuck")
    return _second(look, remark=not (lifted and settled.turns(name)))


def _quiet(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """Whether any contactor buzzes or chatters on a call for cooling."""
    house, late = visit.house, visit.calling
    buzzes = any(own.get("buzzes") and late.stand.state(part, "in")
                 for part, own in house.values.items())  # fmt: skip
    return _second(look, remark=buzzes or bool(late.chatters | visit.starting.chatters))


def _cool_air(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """Warm where the heat is on or runs round the wrong way, like the room where none cools."""
    late, house = visit.calling, visit.house
    cools = any(late.turns(name) for name in house.compressors) and not reversed_for_heat(late)
    heats = bool(house.part_of("heating_element")) and visit.warm_share(late) > 0.0
    return _second(look, remark=heats or not cools)


def _gauge(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """Suction beside the cut-in of the control: down where no liquid comes, or too little."""
    state, name = visit.calling.stand.state, look.subject
    return _second(look, remark=not state(name, "in") or bool(state(name, "open")))


def _rotation(visit: Visit, look: Look, _: np.random.Generator) -> str:
    """A rotation meter at three terminals; one leg less and it shows neither order."""
    positive, negative = sequences(visit.called.solved, look.subject)
    if min(positive, negative) > 0.5 * max(positive, negative):
        return look.choices[2]
    return look.choices[int(negative > positive)]


def _phase_light(visit: Visit, look: Look, rng: np.random.Generator) -> str | None:
    """By the light of a phase monitor; some have none that tells one fault from another."""
    if rng.random() < NO_TELLING_LIGHT:
        return None
    positive, negative = sequences(visit.called.solved, look.subject)
    if visit.called.stand.state(look.subject, "in"):
        return look.choices[0]
    return look.choices[1] if negative > 2.0 * positive else look.choices[2]


NO_TELLING_LIGHT = 0.25


def _mark(visit: Visit, look: Look, rng: np.random.Generator) -> str:
    marks = visit.house.marks
    chance = marks.get((look.thing, look.subject), marks.get((look.thing, ""), 0.0))
    usual = USUAL.get(look.thing, STRAY_MARK)
    return _second(look, remark=rng.random() < max(chance, usual))


_FACTS: Mapping[str, Callable[[Visit, Look, np.random.Generator], str | None]] = {
    "turns": _turns,
    "alarm_code": _alarm_code,
    "sequence": _sequence,
    "pull": _pulls,
    "kicks": _kicks,
    "stage": _stage,
    "sound": _sound,
    "plunger": _plunger,
    "idle": _idle,
    "device": _device,
    "screen": _powered,
    "board_light": _powered,
    "thermostat": _thermostat,
    "joints": _joints,
    "shell": _shell,
    "burnt": _burnt,
    "smell": _burnt,
    "turns_on_heat": _turns_on_heat,
    "warm_air": _warm_air,
    "line": _line,
    "pump": _pump,
    "light": _lock_light,
    "phase_light": _phase_light,
    "rotation": _rotation,
    "quiet": _quiet,
    "cool_air": _cool_air,
    "gauge": _gauge,
}
