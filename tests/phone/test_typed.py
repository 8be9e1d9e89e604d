"""What is typed is read on the phone as the server reads it, or it is left to the server."""

from __future__ import annotations

import json
from itertools import product

import pytest
from tests.phone.phone_belief import node_says

from rungwise.errors import BadQuantity
from rungwise.quantity import parse_reading
from rungwise.web.answer_parsing import typed_of

UNITS = {"V": ("V", "mV"), "A": ("A", "mA"), "Ω": ("Ω", "kΩ", "MΩ"), "MΩ": ("MΩ", "GΩ"),
         "µF": ("µF",)}  # fmt: skip
TYPED = (
    "27", "0", "2.1", "2,1", ".5", "-3", "−3", "+4", "1,234", "1234", "27 V", "400 mV", "0.4k",
    "12 kΩ", "3 m", "OL", "ol", "can't reach", "-", "abc", "27 A", "45 MFD", "1e3", "0,4 kΩ",
    "12.345678901234", "33.3", "7 ohm", "", "open",
)  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
def test_a_number_is_read_as_the_server_reads_it_or_left_to_it(unit: str) -> None:
    asked = [(typed, chosen) for typed, chosen in product(TYPED, UNITS[unit])]
    card = json.dumps({"form": "number", "unit": unit})
    told = node_says(
        "call",
        f"JSON.stringify({json.dumps(asked)}.map(([typed, unit]) => {{"
        f" const value = it.valueOf({card}, typed, unit, '');"
        " return value === undefined ? 'left' : value === Infinity ? 'OL' : value; }))",
    )
    read = 0
    for (typed, chosen), phone in zip(asked, told, strict=True):
        if phone == "left":
            continue
        try:
            value = parse_reading(typed_of(typed, chosen, ""), unit)
        except BadQuantity as refused:
            pytest.fail(f"{typed!r} {chosen} in {unit}: {phone}, where the server says {refused}")
        assert ("OL" if value == float("inf") else value) == phone, (typed, chosen)
        read += 1
    assert read > 10
