"""From plain answers, a wiring label or a change of a wire to a unit, with all that is told of it.

Commands and pages tell the same: both take what is worked out here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rungwise.errors import BadUnitFile
from rungwise.files import Document
from rungwise.services.as_json import unit_json
from rungwise.services.input_files import unit_from_text
from rungwise.services.runtime.result_cache import RESULTS
from rungwise.shaping import (
    Candidate,
    Choice,
    Extra,
    Portrait,
    chosen,
    own_candidate,
    portrait_of,
    read_label,
    shipped_candidates,
    text_of_unit,
    without_part,
)
from rungwise.unit import ARRANGEMENTS, Unit, arrangement, unit_from
from rungwise.wording import mark

OwnText = tuple[str, str]
"""Name and unit file of an arrangement of the shop's own."""

_shapes = RESULTS.shelf("shapes")


@dataclass(frozen=True)
class ShapedUnit:
    """A unit as soon as it is drawn.

    Attributes:
        text: its unit file.
        start: the name of the arrangement that it is held against, and its title.
        changes: what was done to that arrangement.
        taken: what was taken from it because the label does not tell it.
        unusual: in which wires it differs from it.
        unsaid: what nobody answered, and what cannot be known for it.
        alike: other arrangements that fit the answers, by name and title.
        extras: sorts of part by which those differ.
    """

    unit: Unit
    text: str
    start: tuple[str, str]
    portrait: Portrait
    changes: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()
    unusual: tuple[str, ...] = ()
    unsaid: tuple[str, ...] = ()
    alike: tuple[tuple[str, str], ...] = ()
    extras: tuple[Extra, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        return {
            "unit": unit_json(self.unit),
            "file": self.text,
            "against": {"name": self.start[0], "title": self.start[1]},
            "changes": list(self.changes),
            "taken": list(self.taken),
            "does": [
                {
                    "when": each.when,
                    "told": each.told,
                    "loads": {part: does.words for part, does in each.loads.items()},
                }
                for each in self.portrait.doings
            ],
            "no_longer": list(self.portrait.lost),
            "unusual": [*self.unusual, *self.portrait.odd],
            "missing": list(self.portrait.missing),
            "unsolved": self.portrait.unsolved or None,
            "not_known": list(self.unsaid),
            "alike": [{"name": name, "title": title} for name, title in self.alike],
            "extras": [{"kind": each.kind, "title": each.title} for each in self.extras],
        }


def shaped_unit(
    answers: Mapping[str, str],
    *,
    label: str = "",
    there: Sequence[str] = (),
    start: str = "",
    own: Sequence[OwnText] = (),
) -> ShapedUnit:
    """The unit that plain answers lead to, or that a wiring label tells.

    answers: by question; with a label they may be few or none. there: kinds of part that were seen
    besides. start: the arrangement to start from where several fit. own: the shop's own ones.
    Raises UnknownName and BadInput for what cannot be answered or read, or fits nothing.
    """
    told = tuple(sorted((key, answer) for key, answer in answers.items() if answer))
    return _shaped(told, label.strip(), tuple(there), start, tuple(own))


@_shapes.memo
def _shaped(
    told: tuple[tuple[str, str], ...],
    label: str,
    there: tuple[str, ...],
    start: str,
    own: tuple[OwnText, ...],
) -> ShapedUnit:
    every = (*shipped_candidates(), *_own(own))
    known = {key: answer for key, answer in told if answer != "unknown"}
    if label and not known:
        return _by_label(label, every, ())
    choice = chosen(known, there=there, start=start, candidates=every)
    if label:
        drawn = Candidate(choice.start.name, choice.unit, choice.start.base)
        return _by_label(label, (drawn, *choice.alike), tuple(known))
    return _by_answers(choice)


def _own(own: Sequence[OwnText]) -> Iterator[Candidate]:
    for name, text in own:
        yield own_candidate(name, unit_from_text(text, name))


def _by_answers(choice: Choice) -> ShapedUnit:
    meant = choice.start.unit
    return ShapedUnit(
        choice.unit,
        choice.text,
        (choice.start.name, meant.title),
        portrait_of(choice.unit, meant if choice.changes else None),
        changes=choice.changes,
        unsaid=choice.unsaid,
        alike=tuple((each.name, each.unit.title) for each in choice.alike),
        extras=choice.extras,
    )


def _by_label(label: str, candidates: Sequence[Candidate], settled: Sequence[str]) -> ShapedUnit:
    read = read_label(label, candidates, settled=settled)
    told = portrait_of(read.unit, read.start.unit)
    return ShapedUnit(
        read.unit,
        read.text,
        (read.start.name, read.start.unit.title),
        replace(told, missing=(*read.cut, *told.missing)),
        taken=read.taken,
        unusual=read.unusual,
    )


@_shapes.memo
def changed_unit(text: str, *, label: str = "", out: str = "") -> ShapedUnit:
    """The unit of a file with its wires as a list has them, or with a part taken out.

    The nameplate stays. label: the whole list, or that of one cabinet. out: a part's name.
    Raises BadUnitFile, and what reading a label raises.
    """
    unit, plate = _bare(text)
    base = _shipped(unit)
    held = None
    if label:
        held = read_label(label, (Candidate("", unit, base),), settled=("poles",))
    made = held.unit if held else without_part(unit, out) if out else unit
    made = replace(made, title=unit.title)
    told = portrait_of(made, unit)
    return ShapedUnit(
        made,
        _with_plate(text_of_unit(made, base), plate),
        ("", unit.title),
        replace(told, missing=(*held.cut, *told.missing)) if held else told,
        taken=held.taken if held else (),
        unusual=held.unusual if held else (),
    )


def told_unit(unit: Unit) -> ShapedUnit:
    """A unit that is there already, held against its arrangement; its plate is not in the text."""
    base = _shipped(unit)
    return ShapedUnit(
        unit,
        text_of_unit(unit, base),
        (unit.arrangement, base.title if base else unit.title),
        portrait_of(unit, base),
    )


def kept_text(text: str, title: str) -> str:
    """A unit's file as an arrangement of the shop's own: without its plate, under a title.

    Raises BadUnitFile for one that cannot be used.
    """
    unit, _ = _bare(text)
    named = replace(unit, title=title)
    return text_of_unit(named, _shipped(unit), remark="An arrangement of the shop's own.")


def _bare(text: str) -> tuple[Unit, Mapping[str, Any]]:
    """The unit without what its nameplate set, and the nameplate."""
    data = Document(text, file="the unit file").data
    plate = data.pop("nameplate", {})
    if not data:
        raise BadUnitFile(what=mark("The file holds nothing but a nameplate."))
    return unit_from(Document.of_values(data, file="the unit file"), name="unit"), plate


def _shipped(unit: Unit) -> Unit | None:
    return arrangement(unit.arrangement) if unit.arrangement in ARRANGEMENTS else None


def _with_plate(text: str, plate: Mapping[str, Any]) -> str:
    for key, value in plate.items():
        text = Document(text, file="the unit file").with_value(("nameplate", key), value)
    return text
