"""`rungwise plate`: what the nameplate asks of the circuit, and whether the circuit gives it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from rungwise.cli.options import AsJson, UnitName

if TYPE_CHECKING:
    from rungwise.cli.page import Page
    from rungwise.replacement import Plate, Surroundings
    from rungwise.unit import Unit

DEGREES = (60, 75, 90)


BY_THE_NEC = "Sizes by the NEC, 2023 edition; local codes come first."
OF_THE_PLACE = (
    "The rules of the place govern a 50 Hz supply; they are not judged here. Sizes by the NEC, "
    "2023 edition, stand for comparison only."
)
NEC_HZ = 60.0
"""The NEC's supplies have 60 Hz."""


def plate(
    unit: UnitName,
    insulation: Annotated[
        int, typer.Option("--insulation", metavar="°C", help="Insulation: 60, 75 or 90.")
    ] = 75,
    terminals: Annotated[
        int, typer.Option("--terminals", metavar="°C", help="Marked on every terminal: 60 or 75.")
    ] = 60,
    ambient: Annotated[
        float, typer.Option("--ambient", metavar="°C", help="Around the conductors.")
    ] = 30.0,
    conductors: Annotated[
        int, typer.Option("--conductors", metavar="N", help="Current-carrying, lying together.")
    ] = 3,
    line_volts: Annotated[
        str,
        typer.Option(
            "--line-volts",
            metavar="V,V,V",
            help="Three line-to-line volts of a three-phase supply.",
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Work out the circuit that the nameplate asks for, and compare breaker, run and plate with it.

    Sizes follow the NEC, 2023 edition; local codes come first. Exit code 1 when something is wrong.

    Example: rungwise plate one_pole_heater --terminals 75 --ambient 40
    """
    from rungwise.cli.printing import waiting
    from rungwise.replacement import Surroundings, plate_of
    from rungwise.services import open_unit

    around = Surroundings(
        _degrees("--insulation", insulation, DEGREES),
        _degrees("--terminals", terminals, DEGREES[:2]),
        _between("--ambient", ambient, -40.0, 85.0),
        int(_between("--conductors", conductors, 1, 100)),
        _volts(line_volts),
    )
    opened = open_unit(unit)
    with waiting(f"solving {opened.unit.name}"):
        found = plate_of(opened.unit, around)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(_as_json(opened.unit, found, around))
    else:
        from rungwise.cli.page import Page

        _tell(Page(), opened.unit, found)
    if not found.stands:
        raise typer.Exit(1)


def _tell(page: Page, unit: Unit, found: Plate) -> None:
    from rungwise.replacement import Standing, rules_of_the_place

    page.title(unit.title, [OF_THE_PLACE if unit.hz < NEC_HZ else BY_THE_NEC])
    page.heading("the circuit it asks for")
    raised = f" ({found.device.raised})" if found.device.raised else ""
    loads = found.loads
    rest = f"{loads.motors_a:g} A other motors, {sum(loads.others_a):.2f} A heater"
    device = f"{found.device.size_a} A, from {found.device.raw_a:.1f} A{raised}"
    page.pairs(
        [
            ("loads", f"{loads.largest_a:g} A largest motor, {rest}"),
            ("minimum ampacity", f"{found.mca_a:.1f} A"),
            ("largest device", device),
            ("disconnect", f"at least {found.disconnect_a:.1f} A"),
        ]
    )
    page.heading("what is there")
    marks = {Standing.WRONG: "no:", Standing.DOUBT: "look:", Standing.FINE: "ok:"}
    for finding in found.findings:
        page.point(f"{finding.text} [{finding.source}]", mark=marks[finding.level])
    told = rules_of_the_place(unit)
    if told:
        page.heading("rules of the place")
        for rule in told:
            page.point(rule)


def _as_json(unit: Unit, found: Plate, around: Surroundings) -> dict[str, Any]:
    from dataclasses import asdict

    from rungwise.replacement import rules_of_the_place
    from rungwise.services import unit_json

    told = rules_of_the_place(unit)
    return {
        "unit": unit_json(unit),
        "surroundings": asdict(around),
        "loads": asdict(found.loads),
        "mca_a": found.mca_a,
        "device": asdict(found.device),
        "limits": asdict(found.limits),
        "disconnect_a": found.disconnect_a,
        "stands": found.stands,
        "findings": [{**asdict(each), "level": each.level.value} for each in found.findings],
        **({"rules_of_the_place": list(told)} if told else {}),
    }


def _degrees(option: str, typed: int, allowed: tuple[int, ...]) -> int:
    if typed not in allowed:
        _refuse(option, str(typed), f"{', '.join(map(str, allowed))} °C")
    return typed


def _between(option: str, typed: float, low: float, high: float) -> float:
    if not low <= typed <= high:
        _refuse(option, f"{typed:g}", f"{low:g} to {high:g}")
    return typed


def _volts(typed: str) -> tuple[float, ...]:
    from rungwise.quantity import in_range, parse

    if not typed:
        return ()
    each = typed.split(",")
    if len(each) != 3:  # a line-to-line voltage for each pair of phases
        _refuse("--line-volts", typed, "three voltages with commas between: 460,467,450")
    what = "line-to-line volts"
    return tuple(in_range(parse(v, "V", what=what), 100, 1000, "V", what) for v in each)


def _refuse(option: str, value: str, allowed: str) -> None:
    from rungwise.errors import BadInput

    raise BadInput(
        what=f"{option} cannot be that.", value=value, allowed=allowed, next_step="type it again"
    )
