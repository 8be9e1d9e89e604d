"""What a candidate may be, which parts it may stand in for, and what its label must say.

Most candidates are of a part kind of the unit room.  Two come as a package of two parts: a pair
of single run capacitors, and a hard-start kit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from rungwise.parts import KINDS
from rungwise.parts.kind import Parameter

__all__ = ["CANDIDATE_KINDS", "CandidateKind", "Piece", "standing_in_for"]

LABEL = "on the part's label"


@dataclass(frozen=True, slots=True)
class Piece:
    """One part of a candidate: its kind, and the file's key for each of its parameters.

    suffix: added to the name of the part that it replaces; "" for the part itself.
    """

    kind: str
    keys: Mapping[str, str]
    suffix: str = ""


@dataclass(frozen=True)
class CandidateKind:
    """A sort of candidate.

    replaces: kinds of the part, or parts, in whose place it may be asked for. label: keys that the
    file must give, because a rating is never guessed. more: figures of a label that are no
    parameter of the kind. texts: the same as words, each with its choices.
    """

    name: str
    title: str
    pieces: tuple[Piece, ...]
    replaces: frozenset[str]
    label: tuple[str, ...] = ()
    more: tuple[Parameter, ...] = ()
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def parameters(self) -> dict[str, Parameter]:
        """What a file may say of it, by the file's key."""
        found = {
            key: KINDS[piece.kind].parameter(name)
            for piece in self.pieces
            for key, name in piece.keys.items()
        }
        return found | {each.name: each for each in self.more}


def _number(name: str, unit: str, low: float, high: float, what: str) -> Parameter:
    return Parameter(name, unit, float("nan"), low, high, what, source=LABEL)


_TIGHTENED = ("contactor", "disconnect", "breaker", "service_switch")
"""Kinds, by the start of their names, whose terminals are tightened to a marked torque."""

_TORQUE = _number("torque_in_lb", "", 1, 300, "torque of its lugs in in-lb, as the tool said")
_TORQUE_SOURCES = ("marked on the part", "maker's sheet", "code table")
_CONTACT_A = _number("rating_a", "A", 0.1, 100, "ampere rating of its contact")
_COIL_VA = (
    _number("sealed_va", "VA", 1, 100, "coil volt-amperes, plunger in"),
    _number("inrush_va", "VA", 2, 1000, "coil volt-amperes, plunger out"),
)
_CONTACTOR = {
    "label": ("coil_volt", "fla_a", "lra_a", "resistive_a"),
    "more": _COIL_VA,
    "texts": {"coil_hz": ("50", "60", "50/60")},
}
_STATED: Mapping[str, Mapping[str, object]] = {
    "contactor_1p": _CONTACTOR,
    "contactor_2p": _CONTACTOR,
    "dual_capacitor": {"label": ("herm_uf", "fan_uf", "volt")},
    "run_capacitor": {"label": ("run_uf", "volt")},
    "start_capacitor": {"label": ("start_uf", "volt")},
    "potential_relay": {"label": ("pick_up_volt",)},
    "transformer": {"label": ("primary_volt", "va")},
    "lv_fuse": {"label": ("rating_a",)},
    "breaker_1p": {"label": ("rating_a",)},
    "breaker_2p": {"label": ("rating_a",)},
    "disconnect_pullout": {"label": ("rating_a",)},
    "disconnect_switch": {"label": ("rating_a",)},
    "disconnect_fused": {"label": ("rating_a", "fuse_a")},
    "service_switch": {"label": ("rating_a",)},
    "crankcase_heater": {"label": ("watt", "volt")},
    "compressor": {"label": ("rated_volt", "rated_a", "locked_a", "run_uf")},
    "fan_motor": {
        "label": ("rated_volt", "rated_a", "run_uf", "rated_rpm", "poles"),
        "texts": {"rotation": ("clockwise", "counterclockwise", "reversible")},
    },
    "relay": {"more": (_CONTACT_A,)},
    "heater_thermostat": {"more": (_CONTACT_A,)},
    "thermostat": {
        "label": ("volt",),
        "more": (
            _number("volt", "V", 12, 250, "volts that it is made for"),
            _number("rating_a", "A", 0.1, 20, "ampere rating of its contacts"),
        ),
        "texts": {"needs_common": ("yes", "no")},
    },
}

_FAMILIES = (
    ("contactor_1p", "contactor_2p"),
    ("dual_capacitor", "run_capacitor"),
    ("disconnect_pullout", "disconnect_switch", "disconnect_fused", "service_switch"),
    ("breaker_1p", "breaker_2p"),
)
"""Kinds that are asked for in each other's place."""


def _family(kind: str) -> frozenset[str]:
    return frozenset(next((each for each in _FAMILIES if kind in each), (kind,)))


def _single(kind: str) -> CandidateKind:
    keys = {p.name: p.name for p in KINDS[kind].parameters if not p.hidden}
    stated: Mapping[str, object] = _STATED.get(kind, {})
    made = CandidateKind(
        kind,
        KINDS[kind].title,
        (Piece(kind, keys),),
        _family(kind),
        **stated,  # type: ignore[arg-type]  # the table above holds only these fields
    )
    if not kind.startswith(_TIGHTENED):
        return made
    texts = {**made.texts, "torque_source": _TORQUE_SOURCES}
    return replace(made, more=(*made.more, _TORQUE), texts=texts)


_PAIR = CandidateKind(
    "two_run_capacitors",
    "pair of single run capacitors",
    (
        Piece("run_capacitor", {"herm_uf": "run_uf", "herm_volt": "volt"}, "_herm"),
        Piece("run_capacitor", {"fan_uf": "run_uf", "fan_volt": "volt"}, "_fan"),
    ),
    _family("dual_capacitor"),
    label=("herm_uf", "herm_volt", "fan_uf", "fan_volt"),
)
_RELAY_KEYS = ("pick_up_volt", "drop_out_volt", "coil_ohm", "coil_henry", "contact_ohm")
_KIT = CandidateKind(
    "hard_start_kit",
    "hard-start kit",
    (
        Piece("potential_relay", {key: key for key in _RELAY_KEYS}, "_relay"),
        Piece("start_capacitor", {k: k for k in ("start_uf", "volt", "bleed_ohm")}, "_capacitor"),
    ),
    frozenset({"compressor", "potential_relay", "start_capacitor"}),
    label=("start_uf", "volt", "pick_up_volt"),
    more=(
        _number("least_hp", "", 0.1, 20, "least horsepower of the compressor that it is for"),
        _number("most_hp", "", 0.1, 20, "most horsepower of the compressor that it is for"),
    ),
    texts={"listed": ("yes", "no")},
)

_NEVER_BOUGHT = {"wire", "cable_pair", "service"}

CANDIDATE_KINDS: Mapping[str, CandidateKind] = {
    **{kind: _single(kind) for kind in sorted(KINDS) if kind not in _NEVER_BOUGHT},
    _PAIR.name: _PAIR,
    _KIT.name: _KIT,
}
"""Every sort of candidate by its name."""


def standing_in_for(part_kind: str) -> tuple[str, ...]:
    """Names of the candidate kinds that may be asked for in place of a part of `part_kind`."""
    return tuple(name for name, kind in CANDIDATE_KINDS.items() if part_kind in kind.replaces)
