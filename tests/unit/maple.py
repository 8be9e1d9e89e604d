"""The unit file that the tests of reading share, and a way to see a refusal."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from rungwise.errors import BadInput, BadUnitFile
from rungwise.files.document import Document
from rungwise.files.table import Table

MAPLE = """\
# The unit behind the hardware store
name = "maple"   # as on the door
notes = '''
[not.a.table]
key = 1
'''

[parts.contactor]
# measured cold
coil_resistance_ohm = "14 Ω"  # good
poles = 1
marked = true
"side note" = "x"
run.volts = 240

[parts.capacitor]
sections = [
    45,  # herm ]
    "5 µF",
    { uf = 3, at = ["a", "#b"] },
]

[[wires]]
from = "contactor.T1"
to = "compressor.C"

[[wires]]
from = "contactor.T2"
to = "compressor.R"
joints = { near = "push", far.kind = "ring" }
  [[wires.photos]]
  file = "a.png"
  [[wires.photos]]
  file = "b.png"
"""


def document(text: str = MAPLE, error: type[BadInput] = BadUnitFile) -> Document:
    return Document(text, file="maple.toml", error=error)


def table(text: str) -> Table:
    return document(text).root


def refusal(act: Callable[[], object]) -> BadInput:
    with pytest.raises(BadUnitFile) as caught:
        act()
    return caught.value
