"""The keys of a wires file: what may stand in each of its tables."""

from __future__ import annotations

from rungwise.files import (
    Flag,
    Many,
    Measured,
    Named,
    Number,
    One,
    Row,
    Schema,
    Text,
    Texts,
    document_schema,
    key,
)
from rungwise.parts import JOINTS, KINDS, PLACES_ON_A_TERMINAL

_A_POINT = "a loose end, a terminal, or ground"
_AS_IN_THE_UNIT = "part.terminal; by default where the unit has it"


class NewRow(Row, what="the part that goes in"):
    """The `[new]` part. Which terminals it has follows from its kind."""

    kind: str = key(Text("its kind, by default the old one's", choices=tuple(sorted(KINDS))))
    beside: bool = key(
        Flag("whether it can be held beside the old part while the wires move", missing=True)
    )
    marked: bool | None = key(Flag("whether its line and load are marked"))
    terminals: dict[str, str] = key(
        Named("what stands on its terminals where that is another name",
              each=Text("the label", needed=True))
    )  # fmt: skip
    places: dict[str, tuple[str, ...]] = key(
        Named("what each terminal offers to wires, one entry a wire",
              each=Texts(needed=True, choices=PLACES_ON_A_TERMINAL))
    )  # fmt: skip


class EntryRow(Row):
    """A wire as somebody found or left it."""

    wire: str = key(Text("its name in the unit", needed=True))
    start: str = key(Text(_AS_IN_THE_UNIT), called="from")
    end: str = key(Text(_AS_IN_THE_UNIT), called="to")
    off: bool = key(Flag("the wire is off at both ends", missing=False))
    added: bool = key(Flag("a wire that the unit never had", missing=False))
    colour: str = key(Text("color, such as yellow/black"))
    awg: float | None = key(Number("American gauge", low=-3, high=24))
    ends: tuple[str, ...] | None = key(
        Texts("how its two ends are made, first the one of from", missing=None, choices=JOINTS,
              least=2, most=2)
    )  # fmt: skip
    torque_in_lb: float | None = key(
        Number("in-lb its screw was tightened to, as marked on the part", low=1, high=600)
    )


class LooseRow(Row, what="a wire with an end that hangs free"):
    """One of the `[[loose]]` wires."""

    name: str = key(Text("the tag on it, without a point", needed=True))
    colour: str = key(Text("colour"))
    awg: float | None = key(Number("American gauge", low=-3, high=24))
    far: str = key(Text("part.terminal on which its other end can be seen"))
    near: str = key(Text("part.terminal on which the loose end belongs, if somebody knows"))
    both_ends: bool = key(
        Flag("both its ends hang free; they are then called NAME.1 and NAME.2", missing=False)
    )


class ReadingRow(Row, what="ohms between two points of the dead unit"):
    """One of the `[[readings]]`, or a sweep: one lead stayed on `from`."""

    start: str = key(Text(_A_POINT, needed=True), called="from")
    end: str = key(Text(_A_POINT), called="to")
    value: object = key(Measured('what the meter showed: 2.2, "2.2 Ω", "OL", "beep", "no beep"'))
    ol: tuple[str, ...] = key(Texts("points that read OL before, while a lead stayed on from"))
    note: str = key(Text("anything worth remembering"))


class WiresRow(Row, what="Wires as found and as left, a new part, and loose ends with readings."):
    """A wires file, as it stands."""

    title: str = key(Text("what it is about, in a few words"))
    part: str = key(Text("the part of the unit that comes out"))
    new: NewRow | None = key(One(row=NewRow))
    as_found: tuple[EntryRow, ...] = key(
        Many("where a wire was, and what it is like; the rest as in the unit", row=EntryRow)
    )
    as_left: tuple[EntryRow, ...] = key(
        Many("where a wire is now; a wire of the part that is missing is off", row=EntryRow)
    )
    off: tuple[str, ...] = key(Texts("parts or terminals whose wires are all off"))
    sound: tuple[str, ...] = key(Texts("parts in which nothing is open"))
    doubtful: tuple[str, ...] = key(Texts("motors and heaters that may be shorted to ground"))
    loose: tuple[LooseRow, ...] = key(Many(row=LooseRow))
    readings: tuple[ReadingRow, ...] = key(Many(row=ReadingRow))


def wires_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a wires file.

    Which wires and terminals there are depends on the unit, and whether hands could wire it so is
    judged where the file is read: `read_wires`.
    """
    return document_schema(WiresRow, "Rungwise wires")
