"""Reading a file of candidates: one part to be fitted, or all that the van carries.

::

    [[candidates]]
    name = "40 A two-pole"
    for = "contactor"            # the part of the unit whose place it takes
    kind = "contactor_2p"
    coil_volt = "24 V"
    fla_a = "40 A"
    price = 21.40
    where = "van, bin 3"
    [candidates.terminals]
    T1 = ["plate", "tab", "tab"]
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from functools import cache

from rungwise.errors import BadCandidateFile, BadInput, close_matches
from rungwise.files.document import Document, Table
from rungwise.parts import KINDS
from rungwise.parts.kind import Parameter
from rungwise.replacement.candidate import LOWER_VOLT, Candidate
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, CandidateKind, standing_in_for
from rungwise.replacement.label import most_coil_va
from rungwise.unit.joint_work import PLACES_ON_A_TERMINAL
from rungwise.unit.nameplate import RATED_VOLT
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement, unit_of_parameter

__all__ = ["candidates_from", "read_candidate", "read_candidates"]

MOST_PRICE = 100_000.0


def read_candidates(path: str | os.PathLike[str], unit: Unit) -> tuple[Candidate, ...]:
    """The candidates in the file at ``path``, in its order.

    Candidates for parts that ``unit`` does not have are in it too: a van serves many units.
    Raises BadCandidateFile with file, line, key, what is allowed and the next step.
    """
    return candidates_from(Document.read(path, error=BadCandidateFile), unit)


def candidates_from(document: Document, unit: Unit) -> tuple[Candidate, ...]:
    """The candidates that a document holds; raises as `read_candidates`."""
    root = document.root
    root.text("title", default="")
    tables = root.tables("candidates")
    root.done()
    if not tables:
        raise root.bad(
            what="The file names no candidate.",
            next_step='begin one with [[candidates]], then name = "..." and for = "contactor"',
        )
    found = tuple(read_candidate(table, unit) for table in tables)
    _refuse_twins(tables, found)
    return found


def read_candidate(table: Table, unit: Unit) -> Candidate:
    """The candidate that one table describes; raises the document's error."""
    name = table.text("name")
    parts = _parts(table, unit)
    kind = CANDIDATE_KINDS[table.text("kind", choices=sorted(CANDIDATE_KINDS))]
    _refuse_stranger(table, unit, parts, kind)
    _refuse_coil_twice(table)
    figures = dict(_figures(table, kind))
    _refuse_impossible_coil(table, figures)
    made = Candidate(
        name,
        parts,
        kind.name,
        figures,
        {key: table.text(key, choices=kind.texts[key]) for key in kind.texts if key in table},
        dict(_terminals(table.table("terminals", required=False), kind)),
        table.number("price", unit="", low=0.0, high=MOST_PRICE, default=None),
        table.text("where", default=""),
    )
    _know(table, kind)
    table.done()
    return made


def _parts(table: Table, unit: Unit) -> tuple[str, ...]:
    """The parts in whose place it comes; a near miss of a part's name is taken for a slip."""
    raw = table.value("for")
    names = table.strings("for") if isinstance(raw, list) else (table.text("for"),)
    if not names:
        raise table.bad("for", what="The candidate is for no part.", next_step='for = "contactor"')
    for name in names:
        near = close_matches(name, unit.part_by_name)
        if near and name not in unit.part_by_name and name not in _usual_names():
            raise table.bad(
                "for",
                what=f"This unit has no part '{name}'.",
                value=name,
                allowed=", ".join(unit.part_by_name),
                next_step=f"did you mean {' or '.join(near)}?",
            )
    return names


@cache
def _usual_names() -> frozenset[str]:
    """Names of parts that other units have: a van carries start capacitors for those that do."""
    return frozenset(name for each in ARRANGEMENTS for name in arrangement(each).part_by_name)


def _refuse_stranger(table: Table, unit: Unit, parts: tuple[str, ...], kind: CandidateKind) -> None:
    """Refuse a kind that can never stand in for the part: a fuse for a contactor."""
    for name in parts:
        part = unit.part_by_name.get(name)
        if part is None or part.kind in kind.replaces:
            continue
        allowed = standing_in_for(part.kind)
        raise table.bad(
            "kind",
            what=f"A {kind.title} cannot take the place of the {part.title}.",
            value=kind.name,
            allowed=", ".join(allowed) or "nothing: this part is not replaced from a van",
            next_step="mend the kind, or name another part with for",
        )


def _figures(table: Table, kind: CandidateKind) -> Iterator[tuple[str, float]]:
    scale = _coil_scale(table, kind)
    for key, parameter in kind.parameters().items():
        factor = scale if key in ("coil_ohm", "coil_in_henry", "coil_out_henry") else 1.0
        if key in table:
            yield key, _figure(table, key, parameter, factor)
            if parameter.name == RATED_VOLT:
                yield LOWER_VOLT, _lower_volt(table, key, parameter)
        elif key in kind.label:
            raise _not_on_the_label(table, kind, key, parameter)


def _not_on_the_label(
    table: Table, kind: CandidateKind, key: str, parameter: Parameter
) -> BadInput:
    """A rating is missing, or stands under a name that is nearly right."""
    near = close_matches(key, (each for each in table if each not in kind.parameters()))
    read_it = f"read it off the label and write {key} = ...; a rating is not guessed"
    return table.bad(
        what=f"The {kind.title} '{table.data['name']}' has no {key} ({parameter.what}).",
        allowed=f"{parameter.low:g} to {parameter.high:g} {parameter.unit}".rstrip(),
        next_step=f"rename {near[0]} to {key}, if that was meant" if near else read_it,
    )


def _figure(table: Table, key: str, parameter: Parameter, factor: float = 1.0) -> float:
    unit, what = unit_of_parameter(parameter), parameter.what
    low, high = parameter.low * factor, parameter.high * factor
    if parameter.name == RATED_VOLT and key in table:
        both = table.rating(key, unit=unit, low=low, high=high, what=what)
        if both is not None:
            return both[1]
    return table.number(key, unit=unit, low=low, high=high, what=what)


def _lower_volt(table: Table, key: str, parameter: Parameter) -> float:
    """The lower of two rated volts on a label such as 208/230; the only one where it has one."""
    unit, what = unit_of_parameter(parameter), parameter.what
    both = table.rating(key, unit=unit, low=parameter.low, high=parameter.high, what=what)
    return both[0] if both is not None else float("nan")


def _coil_scale(table: Table, kind: CandidateKind) -> float:
    """A coil for more volts has more ohms and henries in the square of the volts."""
    parameters = kind.parameters()
    if "coil_volt" not in parameters or "coil_volt" not in table:
        return 1.0
    volt = _figure(table, "coil_volt", parameters["coil_volt"])
    return float(max(1.0, (volt / parameters["coil_volt"].default) ** 2))


def _terminals(table: Table, kind: CandidateKind) -> Iterator[tuple[str, tuple[str, ...]]]:
    known = {terminal for piece in kind.pieces for terminal in KINDS[piece.kind].terminals}
    for terminal in table:
        if terminal not in known:
            near = close_matches(terminal, known)
            raise table.bad(
                terminal,
                what=f"A {kind.title} has no terminal {terminal}.",
                value=terminal,
                allowed=", ".join(sorted(known)),
                next_step=f"did you mean {' or '.join(near)}?" if near else "take it out",
            )
        yield terminal, table.strings(terminal, choices=PLACES_ON_A_TERMINAL)


def _refuse_coil_twice(table: Table) -> None:
    """Volt-amperes and henries say the same of a coil; two answers would need a judge."""
    for volt_amp, henry in (("sealed_va", "coil_in_henry"), ("inrush_va", "coil_out_henry")):
        if volt_amp in table and henry in table:
            raise table.bad(
                henry,
                what=f"{volt_amp} and {henry} both say how much the coil draws.",
                next_step="keep the one that stands on the label",
            )


def _refuse_impossible_coil(table: Table, figures: Mapping[str, float]) -> None:
    """Refuse volt-amperes that the coil's resistance, where it is told, does not let through."""
    for key in ("sealed_va", "inrush_va"):
        if key not in figures or "coil_ohm" not in figures:
            continue
        ohm = figures["coil_ohm"]
        most = most_coil_va(figures["coil_volt"], ohm)
        if figures[key] >= most:
            raise table.bad(
                key,
                what=f"A coil of {ohm:.3g} Ω on {figures['coil_volt']:g} V cannot draw that much.",
                value=f"{figures[key]:g} VA",
                allowed=f"less than {most:.3g} VA",
                next_step="check coil_volt, coil_ohm and the volt-amperes against the label",
            )


def _know(table: Table, kind: CandidateKind) -> None:
    """Ask for every key that may stand here, so that only strangers are refused."""
    for key in (*kind.parameters(), *kind.texts):
        table.value(key, default=None)


def _refuse_twins(tables: tuple[Table, ...], found: tuple[Candidate, ...]) -> None:
    seen: set[tuple[str, tuple[str, ...]]] = set()
    for table, each in zip(tables, found, strict=True):
        if (each.name, each.parts) in seen:
            raise table.bad(
                "name",
                what="Two candidates for the same part have this name.",
                value=each.name,
                next_step="give each its own name, so that the answer can be told apart",
            )
        seen.add((each.name, each.parts))
