"""Running netlists in ngspice, many in one process, and reading what it found."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from rungwise.errors import CircuitError, MissingProgram

PROGRAM = "ngspice"
TIMEOUT_S = 600.0


@dataclass(frozen=True, slots=True)
class SpiceResult:
    """What ngspice found in one netlist, by the netlist's own names in small letters.

    ``volts`` of every node against earth; ``amps`` of every voltage source, into its first node,
    under the source's name without its letter V.
    """

    volts: dict[str, complex]
    amps: dict[str, complex]


def run_one(netlist: str) -> SpiceResult:
    """What ngspice finds in one netlist; raises as :func:`run_many`."""
    return run_many([netlist])[0]


def run_many(netlists: Sequence[str]) -> list[SpiceResult]:
    """What ngspice finds in each netlist, all run in one process.

    Every netlist ends in one analysis of one point (``.ac lin 1 60 60`` or ``.op``).  Raises
    MissingProgram when ngspice is not installed, CircuitError when it solves one of them not.
    """
    program = shutil.which(PROGRAM)
    if program is None:
        raise MissingProgram(
            "ngspice is not installed, so there is nothing to compare with.",
            program=PROGRAM,
            next_step="install it, on Debian: apt-get install ngspice",
        )
    with TemporaryDirectory(prefix="rungwise-") as folder:
        place = Path(folder)
        _write(place, netlists)
        # -n: a person's own start-up file must not change the figures.
        run = subprocess.run(  # noqa: S603  # the program found above, on files written above
            [program, "-n", "-b", "run.cir"],
            cwd=place,
            capture_output=True,
            text=True,
            timeout=TIMEOUT_S,
            check=False,
        )
        found = list(_plots(place / "all.raw"))
    if len(found) != len(netlists):
        msg = f"ngspice solved {len(found)} of {len(netlists)} netlists:\n{run.stderr[-2000:]}"
        raise CircuitError(msg)
    return found


def _write(place: Path, netlists: Sequence[str]) -> None:
    script = ["* netlists one after the other", ".control", "set appendwrite"]
    for at, text in enumerate(netlists):
        (place / f"{at}.cir").write_text(text, encoding="ascii", errors="replace")
        script += [f"source {at}.cir", "run", "write all.raw", "destroy all", "remcirc"]
    script += ["quit", ".endc", ".end"]
    (place / "run.cir").write_text("\n".join(script) + "\n", encoding="ascii")


def _plots(file: Path) -> Iterator[SpiceResult]:
    """The plots in a binary raw file: a head of text lines each, then one point of numbers."""
    data = file.read_bytes() if file.exists() else b""
    at = 0
    while at < len(data):
        start = data.index(b"Binary:\n", at) + len(b"Binary:\n")
        head = data[at:start].decode("ascii").splitlines()
        names = [line.split()[1] for line in head[head.index("Variables:") + 1 : -1]]
        kind = np.dtype(complex if "Flags: complex" in head else float)
        at = start + kind.itemsize * len(names)
        yield _result(names, np.frombuffer(data[start:at], kind))


def _result(names: Sequence[str], numbers: np.ndarray) -> SpiceResult:
    volts: dict[str, complex] = {"0": 0j}
    amps: dict[str, complex] = {}
    for name, number in zip(names, numbers, strict=True):
        if name.startswith("v("):
            volts[name[2:-1]] = complex(number)
        elif name.startswith("i(v"):
            amps[name[3:-1]] = complex(number)
    return SpiceResult(volts, amps)
