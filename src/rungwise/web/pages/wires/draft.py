"""A wires file as it is being written: what was found, the new part, what was left, loose ends."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from typing import Any

__all__ = ["WiresDraft"]

Entry = dict[str, Any]


@dataclass
class WiresDraft:
    """The tables of a wires file. found, left: by the wire's name, as the file has them.

    loose, readings: as the file has them. It holds whatever was typed; what cannot be used is
    refused where the text is read.
    """

    part: str = ""
    new: Entry = field(default_factory=dict)
    found: dict[str, Entry] = field(default_factory=dict)
    left: dict[str, Entry] = field(default_factory=dict)
    off: list[str] = field(default_factory=list)
    loose: list[Entry] = field(default_factory=list)
    readings: list[Entry] = field(default_factory=list)

    @classmethod
    def of(cls, found: str, left: str) -> WiresDraft:
        """What two texts hold: as found, and as left. "" holds nothing."""
        first, second = (tomllib.loads(text) for text in (found, left))
        return cls(
            part=first.get("part", ""),
            new=first.get("new", {}),
            found={each["wire"]: each for each in first.get("as_found", [])},
            left={each["wire"]: each for each in second.get("as_left", [])},
            off=first.get("off", []),
            loose=first.get("loose", []),
            readings=first.get("readings", []),
        )

    def about(self, part: str) -> WiresDraft:
        """The draft for a part; what was told of another part's places is left behind."""
        if self.part != part:
            self.part, self.new, self.left = part, {}, {}
        return self

    def found_text(self) -> str:
        """The file as found, with the loose ends."""
        lost = {"off": self.off, "loose": self.loose, "readings": self.readings}
        return _text({**self._moved(), **{key: told for key, told in lost.items() if told}})

    def moved_text(self) -> str:
        """The file that the moves are read from."""
        return _text(self._moved())

    def left_text(self) -> str:
        """The file as left, "" while nothing was told of that."""
        if not self.left:
            return ""
        return _text({**self._moved(), "as_left": list(self.left.values())})

    def lost_text(self) -> str:
        """The file that loose wires are looked for with."""
        told = {
            "off": self.off,
            "as_found": list(self.found.values()),
            "loose": self.loose,
            "readings": self.readings,
        }
        return _text({key: each for key, each in told.items() if each})

    def _moved(self) -> dict[str, Any]:
        told: dict[str, Any] = {"part": self.part} if self.part else {}
        if self.part and self.new:
            told["new"] = self.new
        if self.found:
            told["as_found"] = list(self.found.values())
        return told


def _text(told: dict[str, Any]) -> str:
    import tomlkit  # noqa: PLC0415  # slow to import

    return tomlkit.dumps(told) if told else ""
