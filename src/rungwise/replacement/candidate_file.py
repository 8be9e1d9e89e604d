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
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from rungwise.errors import BadCandidateFile, close_matches
from rungwise.files import (
    Document,
    Keys,
    Many,
    Named,
    Number,
    Only,
    Row,
    Schema,
    Table,
    Text,
    Texts,
    document_schema,
    key,
    read_keys,
)
from rungwise.parts import KINDS, PLACES_ON_A_TERMINAL, Parameter
from rungwise.replacement.candidate import LOWER_VOLT, Candidate
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, CandidateKind, standing_in_for
from rungwise.replacement.label import most_coil_va
from rungwise.unit import ARRANGEMENTS, Unit, arrangement, key_of
from rungwise.wording import joined, say

MOST_PRICE = 100_000.0
MOST_COUNT = 999.0
OF_THE_COIL = ("coil_ohm", "coil_in_henry", "coil_out_henry")
"""A coil for more volts has more of these, in the square of the volts."""


@dataclass(frozen=True)
class _OneOrMore(Texts):
    """A text, or a list of them."""

    def read(self, table: Table, name: str) -> Any:
        raw = table.value(name)
        return table.strings(name) if isinstance(raw, list) else (table.text(name),)

    def form(self) -> Schema:
        return {"anyOf": [Text(self.what, needed=True).schema(), super().form()]}

    def told(self) -> str:
        return say("a text or a {told}", told=super().told())


_FOR = _OneOrMore("a part of the unit", needed=True, each="a part")


def candidate_keys(kind: CandidateKind, coil_scale: float | None = None) -> Keys:
    """What may stand under each key of a candidate of a kind.

    coil_scale: how many times the usual ohms and henries its coil may have; None where the volts
    of the coil are not known, and then nothing is too much.
    """
    terminals = sorted({t for piece in kind.pieces for t in KINDS[piece.kind].terminals})
    return {
        "name": Text("what the shop calls it", needed=True),
        "for": _FOR,
        "kind": Only(kind.title, needed=True, value=kind.name),
        "price": Number("in the shop's own money", low=0.0, high=MOST_PRICE),
        "where": Text("van bin or shelf"),
        "count": Number("how many there are; not counted without it", low=0.0, high=MOST_COUNT),
        "terminals": Named(
            "what each terminal offers to wires, one entry a wire",
            each=Texts(needed=True, choices=PLACES_ON_A_TERMINAL),
            known=tuple(terminals),
            stranger=say("A {title} has no terminal", title=kind.title),
        ),
        **{name: _figure(name, each, kind, coil_scale) for name, each in kind.parameters().items()},
        **{name: Text(choices=choices) for name, choices in kind.texts.items()},
    }


def _figure(name: str, parameter: Parameter, kind: CandidateKind, scale: float | None) -> Number:
    made = key_of(parameter, parameter.what, needed=name in kind.label)
    if name not in OF_THE_COIL:
        return made
    low, high = parameter.low, parameter.high
    ends = (
        {"low": low, "high": None} if scale is None else {"low": low * scale, "high": high * scale}
    )
    return replace(made, **ends)


def _sort(kind: CandidateKind) -> str:
    """Its title; with its name where kinds share one, as those for a valve that heats or cools."""
    alike = [each for each in CANDIDATE_KINDS.values() if each.title == kind.title]
    return kind.title if len(alike) == 1 else f"{kind.title} ({kind.name})"


class CandidatesRow(Row, what="Parts that may be fitted: one, or all that a van carries."):
    """A candidate file, as it stands."""

    title: str = key(Text("whose parts they are"))
    candidates: tuple[Table, ...] = key(
        Many(
            "a part that may be fitted",
            needed=True,
            least=1,
            sorts={_sort(each): candidate_keys(each) for each in CANDIDATE_KINDS.values()},
        )
    )


def candidate_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a candidate file.

    Whether a unit has the part that a candidate is for is judged where the file is read.
    """
    return document_schema(CandidatesRow, "Rungwise candidates")


def read_candidates(path: str | os.PathLike[str], unit: Unit) -> tuple[Candidate, ...]:
    """The candidates in the file at `path`, in its order.

    Candidates for parts that `unit` does not have are in it too: a van serves many units.
    Raises BadCandidateFile with file, line, key, what is allowed and the next step.
    """
    return candidates_from(Document.read(path, error=BadCandidateFile), unit)


def candidates_from(document: Document, unit: Unit) -> tuple[Candidate, ...]:
    """The candidates that a document holds; raises as `read_candidates`."""
    row = CandidatesRow.read(document.root)
    if not row.candidates:
        raise row.at.bad(
            what="The file names no candidate.",
            next_step='begin one with [[candidates]], then name = "..." and for = "contactor"',
        )
    found = tuple(read_candidate(table, unit) for table in row.candidates)
    _refuse_twins(row.candidates, found)
    return found


def read_candidate(table: Table, unit: Unit) -> Candidate:
    """The candidate that one table describes; raises the document's error."""
    table.text("name")
    parts = _parts(table, unit)
    kind = CANDIDATE_KINDS[table.text("kind", choices=sorted(CANDIDATE_KINDS))]
    _refuse_stranger(table, unit, parts, kind)
    _refuse_unlabelled(table, kind)
    told = read_keys(table, candidate_keys(kind, _coil_scale(table, kind)))
    _refuse_coil_twice(table)
    figures = dict(_figures(kind, told))
    _refuse_impossible_coil(table, figures)
    return Candidate(
        told["name"], parts, kind.name, figures,
        {name: told[name] for name in kind.texts if told[name]},
        told["terminals"], told["price"], told["where"],
    )  # fmt: skip


def _parts(table: Table, unit: Unit) -> tuple[str, ...]:
    """The parts in whose place it comes; a near miss of a part's name is taken for a slip."""
    names: tuple[str, ...] = _FOR.read(table, "for")
    if not names:
        raise table.bad("for", what="The candidate is for no part.", next_step='for = "contactor"')
    for name in names:
        near = close_matches(name, unit.part_by_name)
        if near and name not in unit.part_by_name and name not in _usual_names():
            raise table.bad(
                "for",
                what=say("This unit has no part '{name}'.", name=name),
                value=name,
                allowed=", ".join(unit.part_by_name),
                next_step=say("did you mean {join}?", join=joined(" or ", near)),
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
            what=say(
                "A {title} cannot take the place of the {title2}.",
                title=kind.title,
                title2=part.title,
            ),
            value=kind.name,
            allowed=", ".join(allowed) or "nothing: this part is not replaced from a van",
            next_step="fix the kind, or name another part with for",
        )


def _figures(kind: CandidateKind, told: Mapping[str, Any]) -> Iterator[tuple[str, float]]:
    for name in kind.parameters():
        if isinstance(told[name], tuple):  # a label such as 208/230
            yield name, told[name][1]
            yield LOWER_VOLT, told[name][0]
        elif told[name] is not None:
            yield name, told[name]


def _refuse_unlabelled(table: Table, kind: CandidateKind) -> None:
    """Refuse a rating that is missing, or stands under a name that is nearly right."""
    for name, parameter in kind.parameters().items():
        if name in table or name not in kind.label:
            continue
        near = close_matches(name, (each for each in table if each not in kind.parameters()))
        read_it = say(
            "read it off the label and write {name} = ...; a rating is not guessed", name=name
        )
        raise table.bad(
            what=say(
                "The {title} '{data}' has no {name} ({what}).",
                title=kind.title,
                data=table.data["name"],
                name=name,
                what=parameter.what,
            ),
            allowed=f"{parameter.low:g} to {parameter.high:g} {parameter.unit}".rstrip(),
            next_step=say("rename {near} to {name}, if that was meant", near=near[0], name=name)
            if near
            else read_it,
        )


def _coil_scale(table: Table, kind: CandidateKind) -> float:
    """A coil for more volts has more ohms and henries in the square of the volts."""
    parameter = kind.parameters().get("coil_volt")
    if parameter is None or "coil_volt" not in table:
        return 1.0
    volt = key_of(parameter, parameter.what, needed=True).read(table, "coil_volt")
    return float(max(1.0, (volt / parameter.default) ** 2))


def _refuse_coil_twice(table: Table) -> None:
    """Volt-amperes and henries say the same of a coil; two answers would need a judge."""
    for volt_amp, henry in (("sealed_va", "coil_in_henry"), ("inrush_va", "coil_out_henry")):
        if volt_amp in table and henry in table:
            raise table.bad(
                henry,
                what=say(
                    "{volt_amp} and {henry} both say how much the coil draws.",
                    volt_amp=volt_amp,
                    henry=henry,
                ),
                next_step="keep the one that stands on the label",
            )


def _refuse_impossible_coil(table: Table, figures: Mapping[str, float]) -> None:
    """Refuse volt-amperes that the coil's resistance, where it is told, does not let through."""
    for name in ("sealed_va", "inrush_va"):
        if name not in figures or "coil_ohm" not in figures:
            continue
        ohm = figures["coil_ohm"]
        most = most_coil_va(figures["coil_volt"], ohm)
        if figures[name] >= most:
            raise table.bad(
                name,
                what=say(
                    "A coil of {ohm} Ω on {figures} V cannot draw that much.",
                    ohm=f"{ohm:.3g}",
                    figures=f"{figures['coil_volt']:g}",
                ),
                value=f"{figures[name]:g} VA",
                allowed=say("less than {most} VA", most=f"{most:.3g}"),
                next_step="check coil_volt, coil_ohm and the volt-amperes against the label",
            )


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
