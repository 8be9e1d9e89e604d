"""What must be done to a wire's end before it goes onto another sort of terminal.

A wire's end is one of the joints of a unit file; a terminal offers places: a tab for a push-on, a
plate or lug for a stripped end, a screw for a ring, a lead to be spliced.  All of it is common
practice, no source.
"""

from __future__ import annotations

from rungwise.wording import joined, mark

JOINTS = ("push-on", "ring", "plate", "screw", "splice")
"""How a wire's end sits on its terminal."""

PLACES_ON_A_TERMINAL = ("tab", "plate", "lug", "screw", "lead")
"""What a terminal can offer to one wire."""

JOINT_WORDS = {
    "push-on": mark("quick-connect"),
    "ring": mark("ring terminal"),
    "plate": mark("under a pressure plate"),
    "screw": mark("bare end under a screw"),
    "splice": mark("splice"),
}
"""What each joint is called."""

PLACE_WORDS = {
    "tab": mark("quick-connect tab"),
    "plate": mark("pressure plate"),
    "lug": mark("lug"),
    "screw": mark("screw"),
    "lead": mark("lead"),
}
"""What each place on a terminal is called."""

_TAKES = {
    "tab": ("push-on",),
    "plate": ("plate", "screw"),
    "lug": ("plate", "screw"),
    "screw": ("ring", "screw"),
    "lead": ("splice",),
}
"""The joints that a place takes as they are; a bare end from under a screw goes under a plate."""

_OFF = {
    "push-on": mark("cut off the quick-connect"),
    "ring": mark("cut off the ring"),
    "plate": mark("trim the end that was under the pressure plate"),
    "screw": mark("trim the end that was under the screw"),
    "splice": mark("open the splice"),
}

_ON = {
    "tab": mark("strip, crimp on a quick-connect of the wire's size, see that it sits snug"),
    "plate": mark(
        "strip, gather every strand, re-make it under the pressure plate, tighten to the "
        "marked torque"
    ),
    "lug": mark(
        "strip, gather every strand, re-make it in the lug and tighten to the marked torque"
    ),
    "screw": mark("strip, crimp on a ring of the wire's and the screw's size, tighten"),
    "lead": mark("strip and splice it to the lead with a connector listed for both sizes"),
}


def work_for(joint: str, place: str) -> str:
    """The work that brings a wire's end from `joint` onto `place`; "" where it fits as it is.

    Raises KeyError for a joint or place that does not exist.
    """
    return "" if joint in _TAKES[place] else joined(", ", (_OFF[joint], _ON[place]))
