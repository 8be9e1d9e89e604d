"""What a joint wants while its wire goes across (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.wording import mark, say

_TORQUE = mark("tighten to the torque marked on the part, and write down the in-lb")
_STRANDS = say(
    "gather every strand; cut the end back and strip it again where it "
    "is burnt or a strand is nicked; one wire to a place unless it is "
    "marked for more; {torque}",
    torque=_TORQUE,
)
_ALUMINUM = mark(
    "an aluminum wire only where AL is marked, its end wire-brushed and"
    " with compound, never one that is nicked"
)

CARE: Mapping[str, str] = {
    "tab": mark(
        "pull it by the quick-connect, not by the wire; brown, brittle or "
        "loose: cut it off and crimp on a new insulated one of the wire's "
        "size with the tool, then tug it"
    ),
    "plate": f"{_STRANDS}; {_ALUMINUM}",
    "lug": f"{_STRANDS}; {_ALUMINUM}",
    "screw": say("flat on the metal with nothing under it; {torque}", torque=_TORQUE),
    "lead": mark("re-make the splice with a connector listed for both sizes"),
}
"""By what the wire goes onto: see `parts.joint_work`."""

FINISH: tuple[str, ...] = (
    mark("tug every end that you touched; no strand stands out, no wire lies on an edge or a pipe"),
    mark("the ground wire is back under its own screw, on bare metal"),
    mark("where the whip comes in: anti-short bushing, strain relief tight, a drip loop below it"),
    mark("what was changed is written on the wiring label in the door, with date and name"),
    mark("photos of the terminals as left are kept beside those as found"),
)
"""What to see to before the cover goes back on (common practice, no source)."""


SCREWED = frozenset({"plate", "screw", "ring"})
"""Joints of a wire that a screw holds."""


def tightens(place: str) -> bool:
    """Whether a screw holds it, which then wants the torque that is marked on the part."""
    return place in ("plate", "lug", "screw")
