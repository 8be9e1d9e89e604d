"""Compiled loops as machine code that is made once, kept as a file, and then only loaded.

numba takes half a second to load before it finds what it compiled; the code itself loads in a
twentieth of one.  It is kept beside the source, else in the user's cache folder, under a digest of
the source, of the compiler and of the processor.
"""

from __future__ import annotations

import ctypes
import hashlib
import os
import re
import tempfile
import threading
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import llvmlite
import llvmlite.binding as llvm
import numpy.typing as npt

from rungwise.errors import CircuitError

Array = npt.NDArray[Any]

Entry = Callable[[int], int]
"""A loop, called with the address of where its arrays lie; as `entries` lays down."""

NAMES = ("solve_round", "see_ports", "rest_speeds", "torques_nm")

SOURCES = (
    "entries.py", "kernel_arrays.py", "elimination_kernel.py", "lanes.py",
    "motion_kernel.py", "motion.py", "machine.py", "machine_code.py",
)  # fmt: skip
"""What the code is made of."""

MARK_BYTES = hashlib.sha256().digest_size

RETURNS = ctypes.CFUNCTYPE(ctypes.c_int32, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_void_p)
"""numba's own way to call: where the answer goes, where an error would, and what is given."""


_loading = threading.Lock()


def entry(name: str) -> Entry:
    """A compiled loop by its name; it is compiled, which takes seconds, where no file has it."""
    # Two threads that both find nothing would make two engines, and the one that the cache lets go
    # takes the code with it that its thread is running.
    with _loading:
        return _entries()[name]


@cache
def _entries() -> dict[str, Entry]:
    engine = _engine()
    return {name: _callable(engine, name) for name in NAMES}


def _callable(engine: Any, name: str) -> Entry:
    run = RETURNS(engine.get_function_address(_symbol(name)))

    def called(words: int) -> int:
        answer, error = ctypes.c_int64(), ctypes.c_void_p()
        if run(ctypes.addressof(answer), ctypes.addressof(error), words):
            raise CircuitError(f"the compiled loop {name} was given what it cannot work on")
        return answer.value

    return called


@cache
def _engine() -> Any:
    """What runs the code; it lasts as long as the process."""
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), _machine())
    for name in NAMES:
        engine.add_object_file(llvm.ObjectFileRef.from_data(_code(name)))
    engine.finalize_object()
    return engine


def _machine() -> Any:
    """This processor, with all that it can do."""
    return llvm.Target.from_default_triple().create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=_features(),
        opt=3,
        reloc="static",
        codemodel="jitdefault",
        jit=True,
    )


def _features() -> str:
    return str(llvm.get_host_cpu_features().flatten())


def _code(name: str) -> bytes:
    for folder in _folders():
        kept = _read(folder / _file(name))
        if kept is not None:
            return kept
    made = _compiled(name)
    for folder in _folders():
        if _write(folder / _file(name), made):
            break
    return made


def _folders() -> Iterator[Path]:
    yield Path(__file__).parent / "__pycache__"
    yield Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "rungwise" / "loops"


def _file(name: str) -> str:
    return f"{name}.{_digest()}.code"


@cache
def _digest() -> str:
    here = Path(__file__).parent
    told = hashlib.sha256(b"".join((here / name).read_bytes() for name in SOURCES))
    told.update(f"{llvmlite.__version__} {llvm.get_host_cpu_name()} {_features()}".encode())
    return told.hexdigest()[:16]


def _read(path: Path) -> bytes | None:
    """A code whose mark is right: half a file would take the process down."""
    try:
        whole = path.read_bytes()
    except OSError:
        return None
    mark, code = whole[:MARK_BYTES], whole[MARK_BYTES:]
    return code if hashlib.sha256(code).digest() == mark else None


def _write(path: Path, code: bytes) -> bool:
    """Whether it could be kept there."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as file:
            file.write(hashlib.sha256(code).digest() + code)
        Path(file.name).replace(path)
    except OSError:
        return False
    return True


def _symbol(name: str) -> str:
    return f"rungwise_{name}"


def _compiled(name: str) -> bytes:
    """A loop's machine code by way of numba."""
    from numba import njit  # noqa: PLC0415  # loads for half a second what is hardly ever needed

    from rungwise.circuit.entries import ENTRIES, SIGNATURE  # noqa: PLC0415  # the same

    plain = njit(  # type: ignore[call-overload]  # its types leave these two out
        SIGNATURE,
        nogil=True,
        error_model="numpy",
        no_cpython_wrapper=True,
        no_cfunc_wrapper=True,
    )(ENTRIES[name])
    (made,) = plain.overloads.values()
    code = made.library.get_llvm_str().replace(made.fndesc.llvm_func_name, _symbol(name))
    module = llvm.parse_assembly(_without_owner(code))
    wanted = {each.name for each in module.functions if each.is_declaration}
    alien = sorted(each for each in wanted if not each.startswith(("llvm.", "mem")))
    if alien:
        raise CircuitError(f"the compiled loop {name} asks for {', '.join(alien)}")
    return bytes(_machine().emit_object(module))


def _without_owner(code: str) -> str:
    """The code with nothing left to do for arrays that it owns: all of them are the caller's."""
    ends = r"^declare void @NRT_MemInfo_call_dtor\([^)]*\).*$"
    return re.sub(ends, "define internal void @NRT_MemInfo_call_dtor(ptr %0) { ret void }", code,
                  flags=re.MULTILINE)  # fmt: skip
