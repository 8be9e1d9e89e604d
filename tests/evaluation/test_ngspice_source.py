"""ngspice's readings, with just the leads off that a check asks for, against our own engine's.

The table lifts every wire for a part measured alone, and takes a wire's ohms from its element;
here the netlist lifts the check's own leads only. That both read the same says that the checks
ask for enough leads. Tolerance: a fifth of the meter's own error, 1 sd.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.evaluation.benches import Site, site

from rungwise.diagnosis.check import Check
from rungwise.diagnosis.readers import LoadMicrofaradReader, Reader
from rungwise.errors import MissingProgram
from rungwise.evaluation.ngspice_source import NgspiceSource
from rungwise.evaluation.sources import EngineSource
from rungwise.evaluation.technician import instrument_of

SITES = (
    ("one_pole_heater", "compressor.earthed"),
    ("two_pole_plain", "y_field+c_field.shorted"),
    ("hard_start_delay", "capacitor.swapped_herm_fan"),
    ("heater_line_side", "compressor.overload_open"),
)
OF_EACH_SORT = 3


def some_of_each_sort(checks: dict[str, Check], start: int) -> list[tuple[Check, Reader]]:
    """A few checks of every sort of reader and setting, evenly over the catalogue."""
    sorts: dict[tuple[object, ...], list[tuple[Check, Reader]]] = {}
    for check in checks.values():
        reader = check.reader
        if reader is not None and not isinstance(reader, LoadMicrofaradReader):
            sort = (type(reader), *(getattr(reader, n, "") for n in ("setting", "element")))
            sorts.setdefault(sort, []).append((check, reader))
    return [
        held[(start + k * len(held) // OF_EACH_SORT) % len(held)]
        for held in sorts.values()
        for k in range(min(OF_EACH_SORT, len(held)))
    ]


@pytest.mark.parametrize(("name", "suspect"), SITES)
def test_ngspice_reads_what_the_engine_reads(name: str, suspect: str) -> None:
    here = site(name, suspect, still_hot=True)
    engine, ngspice = EngineSource(here.bench), NgspiceSource(here.bench)
    differing = []
    for check, reader in some_of_each_sort(here.checks, len(suspect)):
        ours, theirs = engine.read(check, reader), ngspice.read(check, reader)
        sd = float(instrument_of(reader).sd(np.asarray(ours)))
        if ours != theirs and not abs(ours - theirs) < 0.2 * sd:
            differing.append((check.card.id, ours, theirs))
    assert differing == []


def read_both(here: Site, check: Check) -> tuple[float, float]:
    assert check.reader is not None
    return (
        EngineSource(here.bench).read(check, check.reader),
        NgspiceSource(here.bench).read(check, check.reader),
    )


def test_a_lead_on_a_wrong_terminal_reads_whole_by_itself() -> None:
    """Swapped leads are as good as before; only another wire's break is one."""
    here = site("hard_start_delay", "capacitor.swapped_herm_fan", still_hot=True)
    for name in ("wire-comp_s", "wire-fan_s", "wire-comp_c"):
        ours, right = read_both(here, here.checks[name])
        assert 0.0 < ours < 0.5
        assert right == pytest.approx(ours, rel=0.02)


def test_a_lead_left_on_shows_in_ngspice_s_reading_only() -> None:
    """With the heater's far lead on, its megohms are those of the earthed winding behind it."""
    here = site("one_pole_heater", "compressor.earthed")
    check = here.checks["insulation-heater"]
    assert check.off == ("heater.1", "heater.2")
    ours, right = read_both(here, check)
    assert right == pytest.approx(ours, rel=0.02)
    _, hasty = read_both(here, replace(check, off=("heater.1",)))
    assert hasty < 0.1 * right


def test_a_meter_of_low_impedance_takes_a_ghost_down_in_ngspice_too() -> None:
    here = site("two_pole_plain", "y_field.open")
    _, ghost = read_both(here, here.checks["volts-coil"])
    high = here.checks["volts-y_splice-1-C"]
    low = here.checks["lowz-y_splice-C"]
    assert read_both(here, low)[1] < 0.1
    assert read_both(here, high)[1] < 1.0, "the coil behind the splice takes it down as well"
    assert ghost < 1.0
    _, floating = read_both(here, here.checks["idle-volts-board-Y-C"])
    assert floating > 1.0


def test_no_ngspice_is_told_with_the_way_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    here = site("two_pole_plain", "y_field.open")
    check = here.checks["volts-coil"]
    assert check.reader is not None
    monkeypatch.setenv("PATH", "")
    with pytest.raises(MissingProgram, match="ngspice"):
        NgspiceSource(here.bench).read(check, check.reader)


def test_a_reader_without_a_netlist_is_a_mistake_in_the_code() -> None:
    here = site("two_pole_plain", "y_field.open")
    check = here.checks["loaduf-capacitor-HERM"]
    assert check.reader is not None
    with pytest.raises(TypeError, match="loaduf-capacitor-HERM"):
        NgspiceSource(here.bench).read(check, check.reader)
