"""Units whose ladders the tests look at: shipped, examples, and some as a repair leaves them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from rungwise.replacement.candidate_file import read_candidates
from rungwise.replacement.seating import seat
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement, read_unit

HOLLOW = Path(__file__).parents[2] / "examples" / "maple-hollow"
EXAMPLES = tuple(sorted(path.stem for path in HOLLOW.glob("unit-*.toml")))
REPAIRED = ("two-pole contactor", "two run capacitors", "crossed", "loose")
NAMES = (*FIRST_ARRANGEMENTS, *EXAMPLES, *REPAIRED)


@cache
def unit_called(name: str) -> Unit:
    """A unit by its name in `NAMES`."""
    if name in FIRST_ARRANGEMENTS:
        return arrangement(name)
    if name in EXAMPLES:
        return read_unit(HOLLOW / f"{name}.toml")
    made = {
        "two-pole contactor": lambda unit: _fitted(unit, "contactor_2p"),
        "two run capacitors": lambda unit: _fitted(unit, "two_run_capacitors"),
        "crossed": lambda unit: moved(unit, {"comp_r": "contactor.T2", "fan_c": "contactor.T1"}),
        "loose": _loose,
    }
    return made[name](arrangement("one_pole_heater"))


def moved(unit: Unit, starts: dict[str, str]) -> Unit:
    """The unit with the first ends of some wires on other terminals."""
    wires = tuple(replace(w, start=starts.get(w.name, w.start)) for w in unit.wires)
    return replace(unit, wires=wires)


def _fitted(unit: Unit, kind: str) -> Unit:
    stock = read_candidates(HOLLOW / "van-stock.toml", unit)
    return seat(unit, next(each for each in stock if each.kind_name == kind)).unit


def _loose(unit: Unit) -> Unit:
    """Without the wires of the capacitor and the return of the control circuit."""
    gone = {"cap_c", "comp_s", "fan_s", "c_board"}
    return replace(unit, wires=tuple(w for w in unit.wires if w.name not in gone), cables=())
