"""The wires of one part as the page tells them: where each is meant to be, was found, was left."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal

from pydantic import Field

from rungwise.parts import end_mark, terminal_of
from rungwise.rewiring import SCREWED
from rungwise.unit import Unit, Wire
from rungwise.web.pages.wires.draft import WiresDraft
from rungwise.web.shown import Shown
from rungwise.web.spots import terminal_names
from rungwise.wording import joined, mark, named, say

OFF = "off"
SHOWN = 4

_MORE = mark(", and {more} more situations")
_ONE_MORE = mark(", and {more} more situation")


class WireLine(Shown):
    """A wire's end on the part. meant: the terminal by the unit file; found, left: "" unknown."""

    wire: str
    colour: str
    color: str = Field(description="its color as it is said")
    awg: float
    joint: str
    other: str
    meant: str
    found: str
    left: str
    stripe: list[str]
    screwed: bool = Field(description="whether a screw holds its end here")
    torque: str = Field(description="in-lb as left, as marked on the part")


class MoveLine(Shown):
    """One move of one wire's end."""

    number: int
    wire: str
    text: str
    work: str
    care: str
    side: str
    done: bool
    who: str
    at: str


class WiresNow(Shown):
    """The one thing that is next. doing: entering a wire as found or left, a move, or the result.

    number, of: which of them it is.
    """

    doing: Literal["found", "moves", "left", "end"]
    number: int
    of: int
    wire: WireLine | None = None
    move: MoveLine | None = None


class ConsequenceLine(Shown):
    """What the unit then does that it should not, and where that shows."""

    text: str
    where: str


class JudgedLine(Shown):
    """Wires that are elsewhere than meant.

    status: wrong, stays live, against the marks, or harmless. label: what must stand in the door,
    "" where nothing must.
    """

    status: str
    text: str
    why: str
    in_company: bool
    does: list[ConsequenceLine]
    more: int
    live: list[str]
    label: str


def wire_lines(unit: Unit, part: str, draft: WiresDraft) -> list[WireLine]:
    """Every wire's end on a part, terminal by terminal."""
    ends = (
        (terminal, wire, side)
        for terminal in unit.kind_of(part).terminals
        for wire, side in unit.wires_at(f"{part}.{terminal}")
    )
    return [_line(unit, draft, *each) for each in ends]


def judged(check: dict[str, Any] | None) -> list[JudgedLine]:
    """What the check of a record found, worst first; as `rungwise rewire --json` has it."""
    if check is None:
        return []
    order = ("wrong", "stays live", "against the marks", "harmless")
    groups = sorted(check["groups"], key=lambda each: order.index(each["status"]))
    found = [group_line(each) for each in groups]
    if check["part"]:
        text = mark("The new part itself, with every wire where it belongs")
        found.insert(0, _judged("wrong", text, check["part"]))
    return found


def moves(answer: dict[str, Any], ticked: dict[int, tuple[str, str, str]]) -> Iterator[MoveLine]:
    """The moves in order; ticked: text, who and when by number."""
    told = answer["moves"] or {"steps": []}
    for number, step in enumerate(told["steps"], start=1):
        text = _move(step)
        was, who, at = ticked.get(number, ("", "", ""))
        done = was == text
        work = (
            say(
                "From {step} to {step2}: {step3}.",
                step=step["joint"],
                step2=step["place"],
                step3=step["work"],
            )
            if step["work"]
            else ""
        )
        yield MoveLine(
            number=number,
            wire=step["wire"],
            text=text,
            work=work,
            care=step["care"] or "",
            side=step["side"],
            done=done,
            who=who if done else "",
            at=at if done else "",
        )


def now_of(wires: Sequence[WireLine], listed: Sequence[MoveLine], asked: str) -> WiresNow:
    """The first wire not entered as found, else the first move, else the first not told as left.

    asked: "found", "moves" or "left", to go there at once.
    """
    found = [each for each in wires if not each.found]
    moved = [each for each in listed if not each.done]
    left = [each for each in wires if not each.left]
    many = len(wires)
    if found and asked in ("", "found"):
        return WiresNow(doing="found", number=many - len(found) + 1, of=many, wire=found[0])
    if moved and asked in ("", "moves") and not (asked == "" and len(left) < many):
        of = len(listed)
        return WiresNow(doing="moves", number=of - len(moved) + 1, of=of, move=moved[0])
    if left:
        return WiresNow(doing="left", number=many - len(left) + 1, of=many, wire=left[0])
    return WiresNow(doing="end", number=many, of=many)


def _line(unit: Unit, draft: WiresDraft, terminal: str, wire: Wire, side: str) -> WireLine:
    entry = draft.found.get(wire.name, {})
    at = 0 if side == "start" else 1
    joints = entry.get("ends", wire.joints)
    other = wire.end if side == "start" else wire.start
    colour = str(entry.get("colour", wire.colour))
    return WireLine(
        wire=wire.name,
        colour=colour,
        color=named(colour),
        awg=_told_awg(entry, wire.awg),
        joint=str(joints[at]),
        other=terminal_names(unit)[other],
        meant=terminal,
        found=_on(draft.found.get(wire.name), side),
        left=_on(draft.left.get(wire.name), side),
        stripe=colour.split("/"),
        screwed=str(joints[at]) in SCREWED,
        torque=_as_typed(draft.left.get(wire.name, {}).get("torque_in_lb", "")),
    )


def _told_awg(entry: Mapping[str, Any], meant: float) -> float:
    """The gauge that was told; what is no number stays with the draft, which is refused for it."""
    told = entry.get("awg", meant)
    return told if isinstance(told, int | float) else meant


def _as_typed(told: float | str) -> str:
    return told if isinstance(told, str) else f"{told:g}"


def _on(entry: dict[str, Any] | None, side: str) -> str:
    """The terminal that an entry has this end on, "" where nothing was told of it."""
    if entry is None:
        return ""
    if entry.get("off"):
        return OFF
    return terminal_of(str(entry["from" if side == "start" else "to"]))


def group_line(told: Mapping[str, Any]) -> JudgedLine:
    """A group of wires that was judged, as `rungwise rewire --json` has it."""
    return _judged(
        told["status"],
        joined("; ", [each["text"] for each in told["moves"]]),
        told["does"],
        why=told["why"] or "",
        in_company=told["in_company"],
        live=told["live"],
        label=told["label"] or "",
    )


def _judged(
    status: str,
    text: str,
    does: Sequence[dict[str, Any]],
    *,
    why: str = "",
    in_company: bool = False,
    live: Sequence[str] = (),
    label: str = "",
) -> JudgedLine:
    return JudgedLine(
        status=status,
        text=text,
        why=why,
        in_company=in_company,
        does=[consequence_line(each) for each in does[:SHOWN]],
        more=max(0, len(does) - SHOWN),
        live=list(live),
        label=label,
    )


def consequence_line(told: dict[str, Any]) -> ConsequenceLine:
    """One consequence, as `rungwise rewire --json` has it."""
    names = told["situations"]
    more = len(names) - 1
    also = say(_MORE if more > 1 else _ONE_MORE, more=more) if more else ""
    return ConsequenceLine(text=told["text"], where=joined("", (names[0], also)))


def _move(step: dict[str, Any]) -> str:
    about = joined("", (named(step["colour"]), f" {step['awg']:g} AWG (", step["wire"], ")"))
    old, new = (end_mark(step[end] or "") for end in ("old", "new"))
    return {
        "move": say("{about}: off {step}, onto {step2}", about=about, step=old, step2=new),
        "take off": say("{about}: tag it {step}, and take it off", about=about, step=old),
        "put on": say("{about}: onto {step}", about=about, step=new),
    }[step["does"]]
