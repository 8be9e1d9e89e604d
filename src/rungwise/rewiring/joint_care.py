"""What a joint wants while its wire goes across (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["CARE", "tightens"]

_STRANDS = (
    "gather every strand; cut the end back and strip it again where it is burnt or nicked; tighten "
    "to the torque marked on the part"
)

CARE: Mapping[str, str] = {
    "tab": "pull it by the push-on, not by the wire; it must go on snug: squeeze it slightly, or "
    "re-make it where it is loose, brown or brittle",
    "plate": _STRANDS,
    "lug": _STRANDS,
    "screw": "flat on the metal with nothing under it; tighten to the torque marked on the part",
    "lead": "re-make the splice with a connector listed for both sizes",
}
"""By what the wire goes onto: see `unit.joint_work`."""


def tightens(place: str) -> bool:
    """Whether a screw holds it, which then wants the torque that is marked on the part."""
    return place in ("plate", "lug", "screw")
