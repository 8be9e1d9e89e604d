"""Running netlists in ngspice, many in one process, and reading what it found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from rungwise.errors import CircuitError
from rungwise.spice_run import run_ngspice


@dataclass(frozen=True, slots=True)
class SpiceResult:
    """What ngspice found in one netlist, by the netlist's own names in small letters.

    `volts` of every node against earth; `amps` of every voltage source, into its first node,
    under the source's name without its letter V.
    """

    volts: dict[str, complex]
    amps: dict[str, complex]


def run_one(netlist: str) -> SpiceResult:
    """What ngspice finds in one netlist; raises as `run_many`."""
    return run_many([netlist])[0]


def run_many(netlists: Sequence[str]) -> list[SpiceResult]:
    """What ngspice finds in each netlist, all run in one process.

    Every netlist ends in one analysis of one point (`.ac lin 1 60 60` or `.op`).  Raises
    MissingProgram when ngspice is not installed, CircuitError when it does not solve one of them.
    """
    with TemporaryDirectory(prefix="rungwise-") as folder:
        place = Path(folder)
        _write(place, netlists)
        run = run_ngspice(place, "run.cir")
        return [_read(place / f"{at}.raw", at, run.stderr) for at in range(len(netlists))]


def _write(place: Path, netlists: Sequence[str]) -> None:
    script = ["* netlists one after the other", ".control"]
    for at, text in enumerate(netlists):
        (place / f"{at}.cir").write_text(text, encoding="ascii", errors="replace")
        script += [f"source {at}.cir", "run", f"write {at}.raw", "destroy all", "remcirc"]
    script += ["quit", ".endc", ".end"]
    (place / "run.cir").write_text("\n".join(script) + "\n", encoding="ascii")


def _read(file: Path, at: int, complaints: str) -> SpiceResult:
    """The one point in a binary raw file: a head of text lines, then the numbers."""
    head_bytes, _, data = (file.read_bytes() if file.exists() else b"").partition(b"Binary:\n")
    head = head_bytes.decode("ascii", errors="replace").splitlines()
    # What fails to run leaves ngspice's own constants as the plot to write.
    if not data or "Plotname: constants" in head:
        msg = f"ngspice does not solve netlist {at + 1}; it said:\n{complaints[-2000:]}"
        raise CircuitError(msg)
    names = [line.split()[1] for line in head[head.index("Variables:") + 1 :]]
    kind = np.dtype(complex if "Flags: complex" in head else float)
    return _result(names, np.frombuffer(data, kind, len(names)))


def _result(names: Sequence[str], numbers: np.ndarray) -> SpiceResult:
    volts: dict[str, complex] = {"0": 0j}
    amps: dict[str, complex] = {}
    for name, number in zip(names, numbers, strict=True):
        if name.startswith("v("):
            volts[name[2:-1]] = complex(number)
        elif name.startswith("i(v"):
            amps[name[3:-1]] = complex(number)
    return SpiceResult(volts, amps)
