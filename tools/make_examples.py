"""Write the example calls of Maple Hollow: every reading is simulated, none is typed in.

Each call has one true fault on one unit. A specimen of the unit is drawn (tolerances, severity,
supply volts), solved, and read by a simulated technician whose meters have their errors. What the
tool itself asks for next is read, until it has its answer.

    .venv/bin/python tools/make_examples.py [NAME ...]

NAME: only the calls whose file name has this in it.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rungwise.diagnosis import Belief, CheckCard, FaultTable, next_check, verdict
from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.build import build_table
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.complaint import complaint_weights
from rungwise.evaluation.sources import EngineSource
from rungwise.evaluation.technician import Technician
from rungwise.faults import SuspectSet
from rungwise.quantity import format_quantity
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import read_unit

FOLDER = Path(__file__).parent.parent / "examples" / "maple-hollow"
SYMPTOMS = ("compressor", "fan", "blower", "idle")
SPECIMENS = 24
MOST_READINGS = 14
DIGITS = 4


@dataclass(frozen=True)
class Call:
    """One example.

    fault: id of the true suspect. luck: seed of the specimens, and which of them this unit is; it
    carries the severity too. first: checks made before the tool is asked, by whoever was there.
    seen: looks besides the symptoms that a customer tells. complaint: what the customer said, by
    the ids of the chips. asked: how many checks of its own choice the tool may ask for.
    """

    name: str
    unit: str
    fault: str
    luck: tuple[int, int]
    title: str
    customer: str
    technician: str
    date: dt.date
    head: str
    suspected: str = ""
    seen: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    complaint: tuple[str, ...] = ()
    asked: int = MOST_READINGS


def day(month: int, number: int) -> dt.date:
    """A day of the season of the examples."""
    return dt.date(2026, month, number)


MILL, ORCHARD, CREAMERY = "unit-01-mill-street", "unit-02-orchard-lane", "unit-03-creamery-road"
STATION, QUARRY, CHAPEL = "unit-04-station-hill", "unit-05-quarry-court", "unit-06-chapel-green"

CALLS = (
    Call(
        "call-01-suspected-contactor", MILL, "float_switch.open", (101, 3),
        "No cooling; a new contactor was quoted", "Mrs. Finch", "R. Amari", day(7, 3),
        "The plunger stays out, so a first visitor quoted a contactor. The coil was measured.\n"
        "See what the readings say of that contactor, and where the 24 V stop.",
        suspected="contactor", seen=("plunger",),
        first=("volts-coil", "ohms-coil"),
    ),
    Call(
        "call-02-no-call", ORCHARD, "thermostat.setting", (102, 5),
        "Nothing starts, indoors or out", "A. Pell", "R. Amari", day(6, 18),
        "Everything is silent and no breaker has tripped.\n"
        "See how few readings it takes to leave the outdoor unit alone.",
    ),
    Call(
        "call-03-high-pressure", STATION, "high_pressure.open", (103, 7),
        "Cools in the morning, not after noon", "M. Tarrow", "S. Okoro", day(7, 21),
        "The plunger is out with 24 V on its way.\n"
        "See a switch found that may be doing its job, and what is asked for behind it.",
        seen=("plunger",), complaint=("afternoons_only",),
    ),
    Call(
        "call-04-low-pressure", MILL, "low_pressure.open", (124, 9),
        "No cooling since the weekend", "Mrs. Finch", "S. Okoro", day(8, 10),
        "The same unit as call 1, another day, the plunger out again.\n"
        "See the readings walk along the Y line.",
        seen=("plunger",),
    ),
    Call(
        "call-05-ghost-volts", STATION, "y_float.open", (105, 4),
        "No cooling; volts where none should be", "M. Tarrow", "R. Amari",
        day(6, 30),
        "With the thermostat off, the first meter shows volts on Y that should not be there.\n"
        "See the same two points read in low-impedance mode.",
        seen=("plunger",), first=("idle-volts-board-Y-C", "idle-lowz-board-Y-C"),
    ),
    Call(
        "call-06-broken-y-outdoors", CREAMERY, "y_hp.open", (106, 6),
        "No cooling after the garden was cut back", "Odell dairy", "S. Okoro", day(5, 28),
        "The blower runs and the outdoor unit does nothing.\n"
        "See two points a hand's width apart disagree.",
        seen=("plunger",),
    ),
    Call(
        "call-07-blown-fuse", ORCHARD, "y_field+c_field.shorted", (107, 2),
        "The low-voltage fuse blows each time", "A. Pell", "R. Amari", day(7, 9),
        "A fuse was put in and blew at once.\n"
        "See the answer go past the fuse.",
        first=("look-lv_fuse",),
    ),
    Call(
        "call-08-transformer", QUARRY, "transformer.secondary_open", (108, 8),
        "The bakery has no cooling and a blank thermostat", "Bellweather bakery", "S. Okoro",
        day(7, 14),
        "Nothing answers the thermostat.\n"
        "See which readings tell a dead transformer from a dead supply.",
    ),
    Call(
        "call-09-indoor-breaker", STATION, "indoor_breaker.off", (109, 10),
        "All silent after the storm", "M. Tarrow", "R. Amari", day(6, 5),
        "A storm went over in the night.\n"
        "See two supplies told apart.",
        complaint=("after_storm",),
    ),
    Call(
        "call-10-door-switch", MILL, "door_switch.open", (110, 11),
        "All silent after a filter was changed", "Mrs. Finch", "R. Amari", day(5, 12),
        "The filter was changed yesterday.\n"
        "See what a person did last turn out to matter.",
        complaint=("filter_changed",),
    ),
    Call(
        "call-11-coil", QUARRY, "contactor.coil_open", (111, 12),
        "No cooling, blower runs", "Bellweather bakery", "S. Okoro", day(8, 2),
        "This time the contactor is looked at last.\n"
        "See how sure a reading of ohms makes it.",
        seen=("plunger",),
    ),
    Call(
        "call-12-blocked-plunger", ORCHARD, "contactor.blocked", (112, 13),
        "Hums, but the plunger does not move", "A. Pell", "S. Okoro", day(8, 19),
        "The coil has its volts and the plunger is out.\n"
        "See a contactor that needs no replacing.",
        seen=("plunger",), suspected="contactor",
    ),
    Call(
        "call-13-chatter", MILL, "y_hp.high_resistance", (133, 15),
        "The outdoor unit chatters and will not start", "Mrs. Finch", "R. Amari", day(7, 27),
        "The contactor chatters as long as the thermostat calls.\n"
        "See why the contactor is not to blame, and where the volts are lost.",
        seen=("plunger",), suspected="contactor",
    ),
    Call(
        "call-14-delay", CREAMERY, "delay.dead", (114, 5),
        "Does not come back after a short power cut", "Odell dairy", "S. Okoro", day(7, 30),
        "The power was off for a minute; five hours later the unit is still waiting.\n"
        "See the delay measured at both ends.",
        seen=("plunger",), complaint=("after_power_cut",),
    ),
    Call(
        "call-15-never-stops", ORCHARD, "contactor.welded", (115, 15),
        "The outdoor unit never stops", "A. Pell", "R. Amari", day(8, 23),
        "The thermostat is off and the outdoor unit runs.\n"
        "See what the plan for making it dead warns of.",
        seen=("plunger",),
    ),
    Call(
        "call-16-dead-leg", ORCHARD, "disconnect.pole1_open", (116, 16),
        "No cooling; the contactor pulls in", "A. Pell", "S. Okoro", day(6, 11),
        "Leg to leg the contactor reads next to nothing, as if the power were off.\n"
        "See what each leg reads to earth.",
        seen=("plunger",), first=("volts-contactor-L1-L2", "volts-contactor-L1-earth"),
    ),
    Call(
        "call-17-cold-crankcase", CHAPEL, "nothing.found", (117, 17),
        "Cools well, but the compressor is cold and starts hard at dawn", "J. Amberley",
        "R. Amari", day(10, 2),
        "A contactor was changed last season, and the unit cools.\n"
        "See what this circuit no longer does.",
        seen=("plunger",), first=("idle-amps-heater_line", "ohms-heater-1-2"), asked=2,
    ),
    Call(
        "call-18-weak-capacitor", QUARRY, "capacitor.herm_weak", (118, 21),
        "Hums, then stops", "Bellweather bakery", "S. Okoro", day(7, 18),
        "The fan turns; the compressor hums and gives up.\n"
        "See a cheap part told from a dear one.",
        suspected="compressor", seen=("plunger",),
    ),
    Call(
        "call-19-seized-fan", STATION, "fan.seized", (119, 18),
        "Cools for some minutes, then warm air", "M. Tarrow", "S. Okoro", day(8, 5),
        "The compressor runs and the outdoor fan does not.\n"
        "See motor and capacitor told apart.",
        seen=("plunger",),
    ),
    Call(
        "call-20-hard-start", CREAMERY, "start_capacitor.start_open", (120, 19),
        "Starts hard on hot days", "Odell dairy", "R. Amari", day(8, 14),
        "The unit has a hard-start kit.\n"
        "See whether the kit still does anything.",
        seen=("plunger",),
    ),
    Call(
        "call-21-low-volts", QUARRY, "service.low_volts", (555, 12),
        "Chatters in the afternoon, when everybody cools", "Bellweather bakery", "S. Okoro",
        day(7, 23),
        "It chatters only in the heat of the day.\n"
        "See how far from the contactor the cause can be.",
        seen=("plunger",), suspected="contactor", complaint=("afternoons_only",),
    ),
)  # fmt: skip


class Shop:
    """What is the same for every call on one unit."""

    def __init__(self, unit: Unit) -> None:
        self.suspects = SuspectSet(unit)
        self.checks = {check.card.id: check for check in checks_of(unit)}
        self.table: FaultTable = build_table(unit)

    def technician(self, call: Call) -> Technician:
        """Whoever is at the unit, which has the call's fault."""
        suspect = self.suspects.suspect(call.fault)
        seed, specimen = call.luck
        drawn = self.suspects.particles([suspect], SPECIMENS, seed)
        values = {key: _one(value, specimen) for key, value in drawn.items()}
        bench = Bench(self.suspects.plan, values, 1, np.zeros(1))
        return Technician(bench, suspect, self.checks, EngineSource(bench), seed)


def _one(value: np.ndarray, specimen: int) -> np.ndarray:
    return value[specimen : specimen + 1] if np.ndim(value) else value


def worked(shop: Shop, call: Call) -> Iterator[tuple[CheckCard, float | str]]:
    """Symptoms, what was read first, then what the tool asks for until it has its answer."""
    technician = shop.technician(call)
    said = complaint_weights(shop.table.suspects, None, call.complaint)
    belief = Belief.start(shop.table, said, said=call.complaint)
    times: Counter[str] = Counter()
    looks = [f"look-{each}" for each in (*SYMPTOMS, *call.seen)]
    for check in (*looks, *call.first):
        found = technician.take(check)
        times[check] += 1
        belief = belief.observe(check, found)
        yield shop.checks[check].card, found
    for _ in range(call.asked):
        advice = next_check(belief)
        if advice.check is None:
            break
        found = technician.take(advice.check.id, times[advice.check.id])
        times[advice.check.id] += 1
        belief = belief.observe(advice.check.id, found)
        yield advice.check, found
    answer = verdict(belief)
    told = f"{answer.answer.suspect.id} {answer.probability:.2f}" if answer.answer else "none"
    print(f"{call.name}: true {call.fault}, {answer.kind} {told}")


def file_text(call: Call, outcomes: Sequence[tuple[CheckCard, float | str]]) -> str:
    """The call file."""
    told = len(SYMPTOMS) + len(call.seen)
    rows = [f"# {line}" for line in call.head.splitlines()]
    rows += [f'unit = "{call.unit}.toml"', f'title = "{call.title}"']
    rows += [f'customer = "{call.customer}"', f'technician = "{call.technician}"']
    rows += [f"date = {call.date.isoformat()}"]
    rows += [f'suspected = "{call.suspected}"'] if call.suspected else []
    said = ", ".join(f'"{chip}"' for chip in call.complaint)
    rows += [f"complaint = [{said}]"] if said else []
    rows += ["", "[symptoms]"]
    rows += [f'{card.id.removeprefix("look-")} = "{found}"' for card, found in outcomes[:told]]
    for card, found in outcomes[told:]:
        rows += ["", "[[readings]]", f'check = "{card.id}"', f'value = "{shown(card, found)}"']
    return "\n".join([*rows, ""])


def shown(card: CheckCard, found: float | str) -> str:
    """An outcome as a technician writes it down."""
    if isinstance(found, str):
        return found
    return format_quantity(found, card.unit, DIGITS)


def proof_in(path: Path) -> str:
    """The proof at the end of a call's file, with the comment over it: written by hand, so kept."""
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    before, table, _ = text.partition("\n[proof]\n")
    return text[f"{before}\n".rindex("\n\n") + 1 :] if table else ""


def main(wanted: Sequence[str]) -> None:
    """Write the calls whose name has one of `wanted` in it; all without any."""
    chosen = [c for c in CALLS if not wanted or any(text in c.name for text in wanted)]
    shops: dict[str, Shop] = {}
    for call in chosen:
        if call.unit not in shops:
            shops[call.unit] = Shop(read_unit(FOLDER / f"{call.unit}.toml"))
        outcomes = tuple(worked(shops[call.unit], call))
        path = FOLDER / f"{call.name}.toml"
        path.write_text(file_text(call, outcomes) + proof_in(path), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
