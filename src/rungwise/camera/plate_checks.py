"""What the fields of a plate say of each other: a figure that cannot stand is called unsure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rungwise.camera.read_field import ReadField
from rungwise.wording import mark

RANGES = {
    "rla_a": (3.0, 70.0), "lra_a": (10.0, 350.0), "fan_fla_a": (0.2, 8.0), "mca_a": (5.0, 100.0),
    "mocp_a": (10.0, 125.0), "heater_w": (20.0, 200.0),
}  # fmt: skip
"""What a residential outdoor unit has, as the unit file allows it."""

FUSES = (10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125)
"""Standard ampere ratings: NFPA 70-2020, 240.6(A), from memory; 10 A is common on plates."""

SHORTEST_SERIAL = 7
"""Signs of a serial number (common practice, no source)."""

STARTS = (3.0, 8.0)
"""LRA over RLA (common practice, no source)."""


def checked(fields: Mapping[str, ReadField]) -> tuple[ReadField, ...]:
    """The fields, each with a doubt where it does not go with the others."""
    found = dict(fields)
    for keys, why in (*_ranges(found), *_between(found)):
        for key in keys:
            if key in found:
                found[key] = found[key].doubted(why)
    return tuple(found.values())


Doubts = Iterable[tuple[tuple[str, ...], str]]


def _ranges(fields: Mapping[str, ReadField]) -> Doubts:
    for key, (low, high) in RANGES.items():
        number = _number(fields, key)
        if number is not None and not low <= number <= high:
            yield (key,), f"outside {low:g} to {high:g}"
    fuse = _number(fields, "mocp_a")
    if fuse is not None and fuse not in FUSES:
        yield ("mocp_a",), mark("no standard size")
    if "serial" in fields and len(fields["serial"].printed.replace(" ", "")) < SHORTEST_SERIAL:
        yield ("serial",), mark("short for a serial number")
    for key in ("model", "serial"):
        if key in fields and _could_be_either(fields[key].printed):
            yield (key,), mark("a letter may be a digit: O 0, I 1, B 8, S 5, Z 2")


def _between(fields: Mapping[str, ReadField]) -> Doubts:
    rla, lra, fla, mca, mocp = (
        _number(fields, key) for key in ("rla_a", "lra_a", "fan_fla_a", "mca_a", "mocp_a")
    )
    if rla and lra and not STARTS[0] <= lra / rla <= STARTS[1]:
        yield ("rla_a", "lra_a"), mark("LRA is not 3 to 8 times RLA")
    if rla and fla and mca and not _adds_up(rla, fla, mca):
        yield ("rla_a", "fan_fla_a", "mca_a"), mark("MCA is not 1.25 times RLA plus FLA")
    if mca and mocp and not mca <= mocp <= 2.5 * mca:
        yield ("mca_a", "mocp_a"), mark("the fuse does not go with MCA")
    for key in ("rla_a", "fan_fla_a", "mca_a"):
        if key in fields and not (rla and fla and mca) and "." not in fields[key].printed:
            yield (key,), mark("a decimal point may be missing")


def _adds_up(rla: float, fla: float, mca: float) -> bool:
    """1.25 times the largest motor and the others: NFPA 70-2020, 440.33, from memory; plates round
    to a tenth or to a whole ampere.
    """
    return abs(1.25 * rla + fla - mca) <= 0.6


def _could_be_either(printed: str) -> bool:
    """Whether a group of letters and digits holds a sign that stands for either."""
    return any(
        set(group) & set("OIQDBSZ") and any(each.isdigit() for each in group)
        for group in printed.upper().replace("-", " ").split()
        if any(each.isalpha() for each in group)
    )


def _number(fields: Mapping[str, ReadField], key: str) -> float | None:
    try:
        return float(fields[key].printed) if key in fields else None
    except ValueError:
        return None
