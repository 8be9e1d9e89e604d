"""Words as a reader of text would find them on a plate: text, column and row, all of them level."""

from __future__ import annotations

from collections.abc import Sequence

from rungwise.camera import Word

__all__ = ["PAIRS", "TABLE", "words_of"]

LETTER, HIGH, APART = 12.0, 20.0, 40.0

PAIRS = (
    "HOLLOW AIR",
    "MODEL NO. HA-3-36",
    "SERIAL NO. 2207 F 61943",
    "VOLTS 208/230 PH 1 HZ 60",
    "COMPRESSOR RLA 14.1 LRA 73",
    "FAN MOTOR FLA 1.2 HP 1/4",
    "MIN. CIRCUIT AMPACITY 18.8",
    "MAX. FUSE OR CKT. BKR. 30 A",
    "FACTORY CHARGE R-410A 6 LB 4 OZ",
    "MFG DATE 05/2019",
)
TABLE = (
    "MODEL          SERIAL",
    "HA-3-36        2207 F 61943",
    "VOLTS          PHASE          HERTZ",
    "208/230        1              60",
    "COMPR. RLA     COMPR. LRA     FAN FLA",
    "14.1           73             1.2",
    "MCA            MOP            DATE OF MFR",
    "18.8           30             05/2019",
    "REFRIGERANT R-410A",
)


def words_of(
    rows: Sequence[str], *, score: float = 0.99, faint: str = "", lean: float = 0.0
) -> tuple[Word, ...]:
    """The words of rows of text. faint: a word whose letters are uncertain. lean: rise of the rows,
    a share of their length.
    """
    found = []
    for number, row in enumerate(rows):
        at = 0
        for text in row.split():
            at = row.index(text, at)
            left, right = at * LETTER, (at + len(text)) * LETTER
            top = number * APART
            at += len(text)
            corners = tuple(
                (x, y + lean * x)
                for x, y in ((left, top), (right, top), (right, top + HIGH), (left, top + HIGH))
            )
            found.append(Word(text, 0.5 if text == faint else score, corners))  # type: ignore[arg-type]
    return tuple(found)
