"""Nothing wrong now: a short fixed batch of readings that shows it, each made once, and an end.

Greedy measuring never ends on a healthy unit: every reading only lowers what is left a little. A
technician takes the handful that a working unit is judged by, and then says that nothing is wrong
now, and what may come and go.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import islice, takewhile
from weakref import WeakKeyDictionary

from rungwise.circuit import FINE_VOLTS
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.check_ids import WARMS_ON, id_of, look_id
from rungwise.diagnosis.checks_leg import LEG_DROP
from rungwise.diagnosis.complaint import looks_owed
from rungwise.diagnosis.fault_table import LOOK_AT, CheckCard, FaultTable
from rungwise.diagnosis.large_line import LINE_COLD
from rungwise.diagnosis.look_card import ON_CALL, ON_HEAT
from rungwise.diagnosis.oddness import never_on_good
from rungwise.diagnosis.reading_model import Reading
from rungwise.diagnosis.season import as_it_cools, begun_by_heat, seen_running_on
from rungwise.diagnosis.table_parts import after_start, contactors_in, parts_with, usual_reading
from rungwise.faults import HEALTHY
from rungwise.parts import Defrosts, Heater, Motor, OpensOn, Overcurrent

NOT_READ_HERE = (
    "the air split and the refrigerant, which belong to the proof that the unit cools",
    "what comes and goes with heat, vibration, rain or short dips of the supply",
)
"""What no electrical reading of the call shows, told with the acquittal."""


NOT_READ_IN_THE_COLD = "the cooling, which is not to be run and judged on a day of heat"
"""Told beside that with the acquittal of a call for heat."""


LEAST_SEEN = 3
"""Readings, the first of them what anyone sees and hears, under which nothing is said of health."""

NOT_STANDING_OUT = 0.5
"""A repair more probable than this is looked into before the unit is taken for a working one."""

AS_ON_A_GOOD_UNIT = 0.15
"""The readings speak this much for a good unit against any likely fault, or more."""

TOLD_APART = 2.0
"""Readings that make a fault this much likelier against a good unit tell the two apart."""

HARMLESS_SHARE = 0.85
"""Share of what reads as a good unit does that is nothing to repair now; the rest is what this
proof does not see (common practice, no source)."""

ACQUITTED = 0.75
"""Probability of `unseen` from which a unit that seems healthy is let go."""

ENOUGH_OF_PROOF = 10
"""Checks after which nothing more is asked of a unit whose readings leave no fault that stands out:
a cabinet of four contactors has more poles than a call is worth. What was not read is told with the
acquittal."""

RUNS_AMP = 1.0
"""Amps on a call from which a compressor runs, whatever was told of it."""

FROM_OUTSIDE = frozenset({"turns", "sound", "quiet", "idle", "turns_on_heat", "warm_air"})
"""What is seen and heard of a unit by whoever stands there: things of looks that begin a call."""

WORTH_COMPARING = 0.02
"""Probability of a fault that is likely enough to be compared with."""


def healthy_repair(table: FaultTable) -> str | None:
    """The repair of the suspect of nothing wrong; None for a table without it."""
    return next((each.repair for each in table.suspects if each.id == HEALTHY), None)


def seems_healthy(belief: Belief) -> bool:
    """Whether nothing wrong leads, or all reads as on a good unit and nothing stands out.

    The second compares what the readings said, not what was believed before them: a unit on which
    all runs is first read as a working one, however seldom a call finds nothing.
    """
    healthy = healthy_repair(belief.table)
    if healthy is None:
        return False
    best, most = belief.best_repair()
    if best == healthy:
        return True
    if len(belief.readings) < LEAST_SEEN or most > NOT_STANDING_OUT:
        return False
    before, now = belief.upto(0).by_suspect(), belief.by_suspect()
    risen = [now[each] / before[each] for each in now if now[each] >= WORTH_COMPARING]
    return now[HEALTHY] >= AS_ON_A_GOOD_UNIT * max(risen, default=0.0) * before[HEALTHY] > 0.0


def unseen(belief: Belief) -> float:
    """Probability that nothing is wrong which these readings would have shown.

    Nothing wrong, with most of what they tell from it no better than by `TOLD_APART`: what reads
    as a good unit does in everything that was read is no ground to change a part.
    """
    before, now = _as_found(belief), belief.by_suspect()
    good = now[HEALTHY] / before[HEALTHY]
    told = (now[each] for each in now if now[each] >= TOLD_APART * good * before[each])
    alike = 1.0 - belief.none_of_these - sum(told) - now[HEALTHY]
    return now[HEALTHY] + HARMLESS_SHARE * max(alike, 0.0)


def _as_found(belief: Belief) -> dict[str, float]:
    """Probability of each suspect once what anyone sees and hears was told, before any reading.

    That a unit runs speaks against most faults at their worst, and says nothing of how they read
    where they are mild: from here on a drop that no good run has tells a joint that burns.
    """
    checks = belief.table.checks
    told = takewhile(lambda each: checks[each.check].thing in FROM_OUTSIDE, belief.readings)
    return belief.upto(sum(1 for _ in told)).by_suspect()


def checks_made(belief: Belief) -> int:
    """How many checks were made, beside what anyone sees and hears."""
    checks = belief.table.checks
    return sum(checks[each.check].thing not in FROM_OUTSIDE for each in belief.readings)


def proof_batch(table: FaultTable) -> tuple[CheckCard, ...]:
    """The readings that a working unit of this kind is judged by, in the order of the walk.

    Volts under load, amps of the compressor, microfarads under load of each section (amps of a fan
    without one), the drop over each leg that is switched, from the disconnect on where it can be
    read, the crankcase heater, whether contactors are quiet, how the cold gas comes back, and once
    it is dead the joints and contacts: a unit that runs may still burn in one of them. What these
    leave open (the coil's volts, the fan's amps, what is hot at breakers) is read where it still
    tells something.
    """
    if table not in _BATCHES:
        known = {card.id: card for card in table.checks}
        names = dict.fromkeys(_names(table))
        _BATCHES[table] = tuple(known[name] for name in names if name in known)
    return _BATCHES[table]


_BATCHES: WeakKeyDictionary[FaultTable, tuple[CheckCard, ...]] = WeakKeyDictionary()
"""What each table at hand is judged by: every step of a call on a good unit asks for it."""


def heat_proof(table: FaultTable) -> tuple[CheckCard, ...]:
    """The same on a call for heat, of a unit that may be asked for it.

    What is seen and felt of the heat, the amps of what makes it, the drop over what switches it,
    and once it is dead the joints indoors: they carry more amps than any other, and one that burns
    heats well meanwhile. What opens on warmth or overcurrent alone never breaks a load on a good
    unit; were it open, an element would draw nothing. Nor is the thermostat's contact held against
    millivolts: what it calls draws.
    """
    cards = [card for card in table.checks if card.condition == ON_HEAT]
    parts = {each.part for each in table.suspects if each.place}  # a wire stands nowhere
    parts -= {part for part, _, _ in parts_with(table, OpensOn)}
    parts -= {part for part, _, _ in parts_with(table, Overcurrent)}
    fine = (card for card in cards if card.instrument == FINE_VOLTS.name)
    poles = (card for card in fine if parts >= set(card.touches))
    looks = (card for card in cards if card.form == "choice")
    amps = (card for card in cards if card.quantity == "amps")
    joints = (card for card in table.checks if card.id == look_id("joints", "indoor"))
    return (*looks, *amps, *poles, *joints)


def called_for_heat(belief: Belief) -> bool:
    """Whether the call began with what was seen on a call for heat: it is cold outdoors."""
    return begun_by_heat(belief.table, belief.readings)


def in_the_weather(table: FaultTable) -> frozenset[str]:
    """Ids of the checks that read what a unit asked to cool makes of the air of the day.

    That are the amps of its motors, and what follows the cold of the outdoor coil.
    """
    coils = {part for part, _ in contactors_in(table)}
    colds = {part for part, _, opens in parts_with(table, OpensOn) if opens.what == "cold"}
    colds |= {part for part, _, _ in parts_with(table, Defrosts)}
    return frozenset(
        card.id
        for card in as_it_cools(table)
        if colds & set(card.touches)
        or (card.quantity in _MOTOR_AMPS and not coils & set(card.touches))
    )


def runs_on(belief: Belief) -> bool:
    """Whether something was seen to run with the thermostat off: that is looked into in any air."""
    return seen_running_on(belief.table, belief.readings)


_MOTOR_AMPS = ("amps", "held_amps", "winding_amps")


def proof_of(belief: Belief) -> tuple[CheckCard, ...]:
    """The proof of this call."""
    table = belief.table
    return heat_proof(table) if called_for_heat(belief) else proof_batch(table)


def proof_left(belief: Belief, allowed: Collection[str] | None = None) -> list[CheckCard]:
    """The checks of the batch not made yet, of those in reach; once enough was read, only what the
    customer's words ask for.
    """
    table = belief.table
    enough = checks_made(belief) >= ENOUGH_OF_PROOF and unseen(belief) >= ACQUITTED
    made = {table.checks[reading.check].id for reading in belief.readings}
    still = stands(belief)
    full = _needless_at_rest(belief)
    batch = [
        card
        for card in proof_of(belief)
        if card.id not in full and not (still and needs_running(card))
    ]
    # Readings first: of what the eye finds one in fifty is a slip.
    for wanted in ([] if enough else batch, _looks_owed(belief)):
        in_reach = (card for card in wanted if allowed is None or card.id in allowed)
        left = [card for card in in_reach if card.id not in made]
        if left:
            return left
    return []


def _needless_at_rest(belief: Belief) -> frozenset[str]:
    """The volts at rest that need not be read: while all runs no less came than usual."""
    table = belief.table
    read = {table.checks[each.check].id: each.value for each in belief.readings}
    by_rest = full_under_load(table).items()
    return frozenset(rest for rest, (load, volt) in by_rest if read.get(load, 0.0) >= volt)


def full_under_load(table: FaultTable) -> dict[str, tuple[str, float]]:
    """By the check of the volts at rest, that of the volts as all runs, and from how many of these
    it is needless: what is lost on the way would show there.
    """
    if healthy_repair(table) is None:
        return {}
    known = {card.id for card in table.checks if card.form == "number"}
    return {
        rest: (load, FULL_SHARE * usual_reading(table, HEALTHY, load))
        for load, rest in _supply_volts(table)
        if {load, rest} <= known
    }


FULL_SHARE = 0.97
"""Of the usual volts while all runs: from there on none are lost on the way that would burn
anything (common practice, no source)."""


def _looks_owed(belief: Belief) -> Iterator[CheckCard]:
    """What the customer saw or smelled, looked for where it comes from.

    Not for ice where the large line was felt cold: from a block of ice it comes back white.
    """
    owed = {name for chip in belief.said for name in looks_owed(belief.table.checks, chip)}
    needless = "ice" if _felt_cold(belief) and not {"ice", "water"} & set(belief.said) else ""
    cards = (card for card in belief.table.checks if card.thing != needless)
    return (card for card in cards if card.id in owed)


def _felt_cold(belief: Belief) -> bool:
    """Whether a large line was felt to be cold on a call for cooling."""
    taken = ((belief.table.checks[each.check], each.value) for each in belief.readings)
    return any(_felt(card) and card.choices[int(value)] == LINE_COLD for card, value in taken)


def read_again(belief: Belief, allowed: Collection[str] | None = None) -> CheckCard | None:
    """The first check of the call that a good unit hardly reads so, where it was made only once.

    What a customer tells, a single glance or a lead on the wrong screw may be a slip; letting the
    unit go on that it was one takes a second reading. None without one in reach.
    """
    once = (belief.table.checks[each.check] for each in odd_readings(belief) if each.times == 1)
    return next((card for card in once if allowed is None or card.id in allowed), None)


def odd_readings(belief: Belief) -> Iterator[Reading]:
    """What was read, as it was read last, that a good unit hardly gives.

    While one stands, a unit is not let go: it buzzes still, however well all else reads, and a wire
    that lost eight volts once may do so again. That a compressor was heard to stand is no such sign
    once it has drawn its amps.
    """
    standing, checks = _standing(belief), belief.table.checks
    if healthy_repair(belief.table) is None:
        return
    for each in belief.readings:
        card = checks[each.check]
        heard = card.quantity == _SOUND and card.choices[int(each.value)] in NEVER_RAN
        overruled = heard and not standing & set(card.touches)
        if not overruled and never_on_good(belief, each):
            yield each


NEVER_RAN = ("hums and trips", "silent")
"""What is heard of a compressor that stands: its amps while it is called deny them."""


def needs_running(card: CheckCard) -> bool:
    """Whether it reads a capacitor under load: behind an open switch there is no load."""
    return card.under_load


def stands(belief: Belief) -> bool:
    """Whether a compressor was seen not to run, or not to go on, and has not drawn amps since."""
    return bool(_standing(belief))


def _standing(belief: Belief) -> set[str]:
    standing: set[str] = set()
    for reading in belief.readings:
        card = belief.table.checks[reading.check]
        if card.quantity == _SOUND and card.choices[int(reading.value)] != "running":
            standing.update(card.touches)
        elif card.quantity == "amps" and card.condition == ON_CALL and reading.value >= RUNS_AMP:
            standing.difference_update(card.touches)
    return standing


_SOUND = f"{LOOK_AT}sound"


def _names(table: FaultTable) -> Iterator[str]:
    contactors = list(contactors_in(table))
    for load, rest in _supply_volts(table):
        yield from (load, rest)
    under_load = [card.id for card in table.checks if card.under_load]
    yield from (_common_amps(table, part) for part in _left_to_clamp(table, under_load))
    yield from under_load
    poles_by = [(part, pole) for part, poles in contactors for pole in poles.poles]
    legs = {card.black: card.id for card in table.checks if card.quantity == LEG_DROP}
    yield from (
        legs.get(f"{part}.{pole.load}", id_of("drop", part, pole.line, pole.load))
        for part, pole in poles_by
    )
    # One that stays cold is missed by nobody until the compressor starts on cold oil.
    heaters = [(part, own) for part, _, own in parts_with(table, Heater) if own.warms == "oil"]
    yield from (_heater_reading(table, part, own) for part, own in heaters)
    # Whether several sit still: one that hums at good volts draws the amps and drops of a good
    # one. A single one is heard without being asked for, and looked at where somebody heard it.
    yield from (card.id for card in table.checks if card.quantity == f"{LOOK_AT}quiet")
    # One that heats while it is asked to cool runs as well as a good one, and so does one whose
    # coil is a block of ice.
    yield from (card.id for card in table.checks if _felt(card))
    yield from (card.id for card in table.checks if card.quantity == f"{LOOK_AT}cool_air")
    # Nor does a valve that leaks show as it runs: the suction starts the unit again and again.
    yield from (card.id for card in table.checks if card.thing == "kicks")
    yield look_id("joints", "outdoor")


def _supply_volts(table: FaultTable) -> Iterator[tuple[str, str]]:
    """The ids of the volts under load, and at rest beside them.

    One supply comes to all contactors: both tell what is lost on the way from the pole to them.
    """
    for part, poles in islice(contactors_in(table), 1):
        (one, own), (other, beside) = poles.ends[:2]
        rest = id_of("volts", part, one, other, setting="standby")
        yield id_of("volts", part, own, beside), rest


def _felt(card: CheckCard) -> bool:
    """Whether it feels how the cold gas comes back on a call for cooling."""
    return card.quantity == f"{LOOK_AT}line" and card.condition == ON_CALL


def _common_amps(table: FaultTable, motor: str) -> str:
    """Amps of the common lead of a motor outdoors, which alone has amps read after the start."""
    held = next(after_start(table, motor), None)
    running = (
        card.id
        for card in table.checks
        if held and card.clamped and card.setting == "calling" and card.jaw == held.jaw
    )
    return next(running, "")


def _left_to_clamp(table: FaultTable, under_load: Collection[str]) -> Iterator[str]:
    """The compressors, and the fans that no reading under load clamps anyway, in their start lead.

    That such a fan draws is seen there; its amps differ from make to make by more than its faults
    move them.
    """
    leads = {card.jaw for card in table.checks if card.id in under_load}
    clamped = {part for card in table.checks if card.jaw in leads for part in card.touches}
    motors = list(parts_with(table, Motor))
    yield from (part for part, _, own in motors if own.drives == "compressor")
    yield from (part for part, _, own in motors if own.drives == "fan" and part not in clamped)


def _heater_reading(table: FaultTable, part: str, heater: Heater) -> str:
    """Amps of a heater's lead at rest; its ohms where a thermostat may keep it off.

    "" where neither can be read.
    """
    if any(opens.what == "warmth" for _, _, opens in parts_with(table, OpensOn)):
        return id_of("ohms", part, "-".join(heater.ends), setting="dead")
    rest = (card for card in table.checks if card.clamped and card.setting == WARMS_ON["oil"])
    return next((card.id for card in rest if part in card.touches), "")
