"""What somebody wrote down of the wires: as found, as left, the new part, and loose ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rungwise.rewiring.terminal_room import Places
from rungwise.rewiring.wirings import Ends
from rungwise.unit import Wire


@dataclass(frozen=True)
class WireEntry:
    """One wire as somebody found or left it. ends: None where it is off; line: in the file.

    stated: whether the joints of its two ends are written down, rather than taken from the unit.
    torque_in_lb: what its screw was tightened to, as marked on the part; None where not written.
    """

    wire: Wire
    ends: Ends | None
    stated: bool
    line: int | None
    torque_in_lb: float | None = None


@dataclass(frozen=True)
class NewPart:
    """The part that goes in.

    beside: whether it can be held or mounted beside the old one while the wires move. marked:
    whether its line and load are marked. labels: what stands on its terminals, by the terminal of
    the kind. places: what its terminals offer, by `part.terminal`.
    """

    kind: str
    beside: bool = True
    marked: bool = True
    labels: Mapping[str, str] = field(default_factory=dict)
    places: Mapping[str, Places] = field(default_factory=dict)

    def label(self, terminal: str) -> str:
        """What stands on its terminal (a name of the kind)."""
        return self.labels.get(terminal, terminal)


@dataclass(frozen=True)
class LooseWire:
    """A wire with an end that hangs free.

    name: the tag somebody gave it. far, near: the terminal (`part.terminal`) that its other end
    can be seen on, or that somebody remembers for the loose end; "" if nobody knows. both_ends:
    whether both its ends hang free. colour, awg: "" and None where not told.
    """

    name: str
    colour: str = ""
    awg: float | None = None
    far: str = ""
    near: str = ""
    both_ends: bool = False
    line: int | None = None

    @property
    def ends(self) -> tuple[str, ...]:
        """The names of its loose ends."""
        return (f"{self.name}.1", f"{self.name}.2") if self.both_ends else (self.name,)


@dataclass(frozen=True)
class Reading:
    """Ohms between two points: loose ends, terminals or earth.

    low, high: the band that the meter's answer stands for, infinite for OL; 0 and infinite where
    a point could not be reached. typed: as written. ohm: as shown, None where only a sound was
    told.
    """

    a: str
    b: str
    low_ohm: float
    high_ohm: float
    typed: str
    line: int | None = None
    ohm: float | None = None


@dataclass(frozen=True)
class WiresRecord:
    """A wires file.

    part: the one that comes out, or "". off: terminals whose wires are off. sound: parts in which
    nothing is open. doubtful: parts that may be shorted to ground.
    """

    file: str
    part: str = ""
    new: NewPart | None = None
    as_found: tuple[WireEntry, ...] = ()
    as_left: tuple[WireEntry, ...] = ()
    off: tuple[str, ...] = ()
    sound: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()
    loose: tuple[LooseWire, ...] = ()
    readings: tuple[Reading, ...] = ()
