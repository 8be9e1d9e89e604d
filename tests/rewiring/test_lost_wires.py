"""Lost wires: what is left, when it is enough, and never a wrong answer."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from tests.rewiring.cabinet import unit
from tests.rewiring.test_dead_ohms import BARE, with_windings

from rungwise.errors import BadWiresFile
from rungwise.parts.element import EARTH
from rungwise.rewiring.colour_habits import COLOURS, colour_shares, weights
from rungwise.rewiring.dead_ohms import Known
from rungwise.rewiring.exchange import relative
from rungwise.rewiring.lost_wires import MOST_SOLVED, LostWires, Standing
from rungwise.rewiring.recovery import recover
from rungwise.rewiring.taken_reading import OUT_OF_REACH, band_of
from rungwise.rewiring.wires_record import LooseWire, Reading, WiresRecord


@cache
def lost() -> LostWires:
    whole = with_windings(unit())
    return LostWires(whole, [t for t in whole.terminals() if t.partition(".")[0] in BARE])


def read(a: str, b: str, ohm: float) -> Reading:
    low, high = band_of(ohm) or (0.0, np.inf)
    return Reading(a, b, low, high, f"{ohm:g} Ω", 1, ohm)


def wires(*far: str) -> tuple[LooseWire, ...]:
    """Loose wires at the contactor, of each the far end that is seen ("" where none is)."""
    return tuple(LooseWire(f"w{at}", far=each) for at, each in enumerate(far))


CONTACTOR_FAR = (
    "disconnect.load1", "disconnect.load2", "compressor.R", "compressor.C", "capacitor.C", "fan.C",
    "heater.1", "heater.2", "low_pressure.2", "c_splice.1",
)  # fmt: skip


@cache
def contactor_only() -> LostWires:
    whole = with_windings(unit())
    return LostWires(whole, [t for t in whole.terminals() if t.startswith("contactor.")])


def test_colours_alone_never_settle_it() -> None:
    """Every wire in its recorded colour, and still nothing is ruled out."""
    off = lost().off
    loose = tuple(
        LooseWire(f"w{at}", each.wire.colour, each.wire.awg) for at, each in enumerate(off.ends)
    )
    standing = lost().standing(WiresRecord("", loose=loose))
    assert standing.remaining == np.prod(np.arange(1.0, len(off) + 1))
    assert not standing.alike
    brown = dict(standing.may_belong())[f"w{off.nears.index('capacitor.FAN')}"]
    assert max(brown, key=brown.__getitem__) == "capacitor.FAN"
    assert brown["capacitor.FAN"] < 1.0


def test_seen_far_ends_settle_all() -> None:
    standing = contactor_only().standing(WiresRecord("", loose=wires(*CONTACTOR_FAR)))
    assert standing.remaining == 1
    assert standing.alike
    assert standing.next_check is None
    assert standing.placed["w2"] == "contactor.T1"


def test_what_is_left_over_needs_a_reading_of_its_own_though_it_does_not_matter_which() -> None:
    """The two heater leads: which is which does not matter, but either wire may be broken."""
    far = [each if "heater" not in each else "" for each in CONTACTOR_FAR]
    standing = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    assert standing.remaining == 2
    assert not standing.alike
    whole = standing.read(read("w6", "w7", 830.0))
    assert whole.found
    assert set(whole.placed) == {f"w{at}" for at in range(10)}


def test_an_end_left_over_is_not_placed_before_it_reads() -> None:
    """The Y wire is the only one left; it is placed by one beep, and named broken by one OL."""
    far = [each if each != "low_pressure.2" else "" for each in CONTACTOR_FAR]
    standing = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    assert standing.remaining == 1
    assert not standing.found
    assert "w8" not in standing.placed
    check = standing.next_check
    assert check is not None
    assert (check.a, check.b) == ("w8", "low_pressure.2")
    assert standing.read(read("w8", "low_pressure.2", 0.1)).placed["w8"] == "contactor.coil1"
    silent = standing.read(read("w8", "low_pressure.2", np.inf))
    assert not silent.found
    assert silent.broken == ("w8",)
    assert silent.next_check is None
    assert "w8" not in silent.placed


def test_ol_rules_an_end_out_only_once_its_wire_was_read_whole() -> None:
    """Before that the wire may be broken, and the end be there all the same."""
    hidden = ("low_pressure.2", "disconnect.load1")
    far = [each if each not in hidden else "" for each in CONTACTOR_FAR]
    start = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    silent = start.read(read("w8", "low_pressure.2", np.inf))
    assert silent.remaining == 2
    assert silent.placed.keys() == {f"w{at}" for at in range(1, 10)} - {"w8"}
    found = silent.read(read("w8", "disconnect.load1", 0.1))
    assert found.placed["w8"] == "contactor.L1"
    assert "w0" not in found.placed
    assert found.read(read("w0", "low_pressure.2", 0.2)).found


def test_what_cannot_be_reached_is_not_asked_again_and_places_nothing() -> None:
    far = [each if each != "compressor.R" else "" for each in CONTACTOR_FAR]
    start = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    check = start.next_check
    assert check is not None
    shut = start.read(Reading("w2", "compressor.R", *OUT_OF_REACH, "can't reach"))
    assert not shut.broken
    assert shut.next_check is None or "compressor.R" not in {shut.next_check.a, shut.next_check.b}


@pytest.mark.parametrize(
    ("awg", "end", "stops"), [(10.0, 8, True), (16.0, 8, False), (18.0, 0, True), (12.0, 0, False)]
)
def test_a_gauge_that_cannot_be_right_stops_an_end_that_reads_well(
    awg: float, end: int, *, stops: bool
) -> None:
    """A wire far thicker than the 24 V side has, and one far thinner than the line has."""
    loose = tuple(
        replace(each, awg=awg) if at == end else each
        for at, each in enumerate(wires(*CONTACTOR_FAR))
    )
    standing = contactor_only().standing(WiresRecord("", loose=loose))
    assert standing.alike
    assert standing.found is not stops
    assert [each.name for each in standing.misfits] == [f"w{end}"] * stops


def test_a_sweep_names_the_ends_to_touch_next_likeliest_first() -> None:
    hidden = ("low_pressure.2", "c_splice.1", "disconnect.load1", "disconnect.load2")
    far = [each if each not in hidden else "" for each in CONTACTOR_FAR]
    check = contactor_only().standing(WiresRecord("", loose=wires(*far))).next_check
    assert check is not None
    assert check.b in hidden
    assert {check.a, *check.then} == {"w0", "w1", "w8", "w9"}


def test_what_is_left_otherwise_must_be_measured_first() -> None:
    """The compressor's C and R: 0 Ω at its C terminal tells them apart, an OL tells nothing."""
    hidden = ("compressor.R", "compressor.C")
    far = [each if each not in hidden else "" for each in CONTACTOR_FAR]
    standing = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    assert standing.remaining == 2
    assert not standing.alike
    assert standing.mistake is not None
    assert "compressor hums" in standing.mistake.does[0].text
    assert standing.next_check is not None
    told = standing.read(read("w2", "compressor.C", 0.8))
    assert told.remaining == 1
    assert told.placed["w2"] == "contactor.T1"
    turned = standing.read(read("w2", "compressor.C", 0.1))
    assert turned.placed["w2"] == "contactor.T2"
    assert standing.read(read("w2", "fan.C", np.inf)).remaining == 2


def test_a_hot_overload_does_not_mislead() -> None:
    """C reads OL to R and S: that is no proof that none of them is C."""
    hidden = ("compressor.R", "compressor.C", "fan.C")
    far = [each if each not in hidden else "" for each in CONTACTOR_FAR]
    start = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    swept = start
    for a, b in (("w2", "w3"), ("w2", "w5"), ("w3", "w5")):
        swept = swept.read(read(a, b, np.inf))
    assert swept.remaining == start.remaining == 6
    sound = LostWires(
        contactor_only().unit,
        [t for t in unit().terminals() if t.startswith("contactor.")],
        ["compressor.S"],
        known=Known(sound=frozenset({"compressor"})),
    ).standing(WiresRecord("", loose=wires(*far)))
    # with the compressor sound and both wires whole, what reads OL is not its C and R
    whole = sound.read(read("w2", "compressor.R", 0.1), read("w3", "compressor.C", 0.1))
    assert whole.remaining == 1
    assert whole.read(read("w2", "w3", np.inf)).remaining == 0


def test_readings_that_fit_nothing_are_named() -> None:
    far = [each if each != "compressor.R" else "" for each in CONTACTOR_FAR]
    start = contactor_only().standing(WiresRecord("", loose=wires(*far)))
    good = start.read(read("w2", "w3", 0.7))
    wrong = good.read(read("w2", EARTH, 0.4))
    assert wrong.remaining == 0
    assert not wrong.alike
    assert wrong.next_check is None
    (strange,) = wrong.strange_readings()
    assert strange.b == EARTH
    assert good.strange_readings() == ()


def test_three_readings_tell_the_common_lead_of_a_motor_that_nobody_measured() -> None:
    """21, 38 and 59 Ω: the largest is the sum of the others, so the third lead is C."""
    whole = LostWires(unit(), ["contactor.T2", "capacitor.C", "capacitor.FAN"])
    far = [each.far for each in whole.off.ends]
    loose = wires(*("" if each.startswith("fan.") else each for each in far))
    name = {each: wire.name for wire, each in zip(loose, far, strict=True)}
    standing = whole.standing(WiresRecord("", loose=loose))
    assert standing.remaining == 6
    c, r, s = (name[f"fan.{lead}"] for lead in "CRS")
    for a, b, ohm in ((c, r, 21.0), (c, s, 38.0)):
        standing = standing.read(read(a, b, ohm))
    assert standing.remaining == 4
    standing = standing.read(read(r, s, 59.0))
    assert standing.remaining == 2
    assert dict(standing.may_belong())[c] == {"contactor.T2": pytest.approx(1.0)}
    # which of the others is the start lead stays open, and it matters
    assert not standing.alike


def test_too_many_ways_are_never_called_alike() -> None:
    standing = lost().standing(
        WiresRecord("", loose=tuple(LooseWire(f"w{at}") for at in range(len(lost().off))))
    )
    assert standing.remaining > MOST_SOLVED
    assert not standing.alike


def test_what_follows_from_following_one_way_while_another_is_true() -> None:
    followed, true = np.array([2, 0, 1]), np.array([[2, 0, 1], [0, 2, 1]])
    assert relative(followed, true).tolist() == [[0, 1, 2], [2, 1, 0]]


@pytest.mark.parametrize("recorded", [True, False])
def test_shares_of_colours_are_shares(*, recorded: bool) -> None:
    for end in lost().off.ends:
        shares = colour_shares(end, lost().off, recorded=recorded)
        assert sum(shares.values()) == pytest.approx(1.0)
        assert set(COLOURS) <= set(shares)
        assert min(shares.values()) > 0.0
        assert max(shares, key=shares.__getitem__) == end.wire.colour or not recorded


def test_weights_rule_nothing_out_and_go_by_what_was_written_down() -> None:
    loose = (LooseWire("a", "red", 10.0), LooseWire("b", "no such colour"), LooseWire("c"))
    table = weights(lost().off, loose)
    assert (table > 0.0).all()
    assert np.ptp(table[2]) == 0.0
    names = [each.wire.name for each in lost().off.ends]
    sure = weights(lost().off, loose[:1], recorded=["comp_r"])
    assert sure[0, names.index("comp_r")] > table[0, names.index("comp_r")]


def test_a_file_without_loose_wires_is_refused() -> None:
    with pytest.raises(BadWiresFile) as caught:
        recover(unit(), WiresRecord("lost.toml", off=("contactor.L1",)))
    assert caught.value.next_step


def test_two_wires_to_one_terminal_are_refused() -> None:
    """Only one wire of those that are off runs to the compressor's S."""
    off = ("capacitor.HERM", "capacitor.FAN")
    loose = wires("compressor.S", "compressor.S")
    with pytest.raises(BadWiresFile) as caught:
        recover(unit(), WiresRecord("lost.toml", off=off, loose=loose))
    assert "cannot all be true" in caught.value.what
    assert "w1 to compressor.S" in str(caught.value.value)


def test_readings_at_the_motor_itself_stand_for_the_unit_file() -> None:
    off = ("contactor.T2",)
    record = WiresRecord("lost.toml", off=off, loose=wires("", ""))
    assert recover(unit(), record).unrecorded == ("compressor", "fan")
    measured = (
        read("compressor.C", "compressor.R", 0.7),
        read("compressor.S", "compressor.C", 2.2),
    )
    told = recover(unit(), replace(record, readings=measured))
    assert told.unrecorded == ("fan",)
    assert isinstance(told.standing, Standing)
