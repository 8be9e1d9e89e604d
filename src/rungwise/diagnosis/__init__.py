"""Diagnosis: from readings to the culprit, and to the check worth making next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.diagnosis.accused_compressor import starved_remarks
    from rungwise.diagnosis.address import addressed
    from rungwise.diagnosis.advice import Advice, next_check
    from rungwise.diagnosis.arrays import FloatArray, IntArray
    from rungwise.diagnosis.at_the_start import is_seen_at_start, is_stop, start_looks
    from rungwise.diagnosis.band import Band, expected_band
    from rungwise.diagnosis.belief import Belief
    from rungwise.diagnosis.bench import Bench, Live, Setting, dead_condition
    from rungwise.diagnosis.build import PARTICLES, bench_of, build_table, table_digest, table_of
    from rungwise.diagnosis.by_hand import PAPER_LISTS, PAPER_TEXTS, ByHand
    from rungwise.diagnosis.call_file import (
        Call,
        Outcome,
        OwnWeights,
        call_from,
        call_schema,
        read_call,
        value_of,
    )
    from rungwise.diagnosis.candidate import Candidate
    from rungwise.diagnosis.carried import packed, rounded
    from rungwise.diagnosis.check import UNNAMED, Check
    from rungwise.diagnosis.check_ids import (
        WARMS_ON,
        Word,
        coil_names,
        coil_volts_id,
        full_id,
        id_of,
        look_id,
        short_id,
    )
    from rungwise.diagnosis.checks import checks_of
    from rungwise.diagnosis.checks_live import HEAT_SIGNALS, LIVE_PARTS
    from rungwise.diagnosis.chips import CHIPS
    from rungwise.diagnosis.complaint import (
        ChipEffect,
        Moved,
        chips_named,
        complaint_told,
        complaint_weights,
        learned_ratios,
    )
    from rungwise.diagnosis.cross_checks import (
        crossed_windings,
        not_judged,
        remarks,
        taken_again,
    )
    from rungwise.diagnosis.expect import Expected, expected_readings
    from rungwise.diagnosis.explanation import Explanation, Forecast, Opinion, Told, explain
    from rungwise.diagnosis.fault_table import CheckCard, FaultTable, Grouping, SuspectCard
    from rungwise.diagnosis.likely_slip import slip_remarks
    from rungwise.diagnosis.look_card import DEAD, IN_DEFROST, LOOKING, ON_CALL, ON_HEAT
    from rungwise.diagnosis.mark_looks import WhichSpot
    from rungwise.diagnosis.policies import half_splitting, most_likely_first
    from rungwise.diagnosis.prices import PriceList
    from rungwise.diagnosis.proof_row import (
        METERINGS,
        AirRow,
        ConditionsRow,
        ProofReadingRow,
        ProofRow,
        RefrigerantRow,
    )
    from rungwise.diagnosis.readers import (
        AmpReader,
        InsulationReader,
        LinkReader,
        LoadMicrofaradReader,
        MicrofaradReader,
        OhmReader,
        Reader,
        VoltReader,
    )
    from rungwise.diagnosis.reading_model import Doubts, ReadingModel
    from rungwise.diagnosis.shown import Confirmation
    from rungwise.diagnosis.value_of_information import Outlook
    from rungwise.diagnosis.verdict_rules import Answer, Taken, Verdict, WrongPart, verdict
    from rungwise.diagnosis.verdict_words import (
        acquittal_lines,
        doubt_lines,
        headline,
        named,
        owed_lines,
        to_do_lines,
        verdict_lines,
    )
    from rungwise.diagnosis.visual_checks import KeepsRunning
    from rungwise.diagnosis.wording import (
        either,
        how_strong,
        percent,
        reading_text,
        sentence,
        strength,
    )
else:
    __getattr__ = door(__name__)
