"""Rows of complex numbers, `LANES` variants wide, added and multiplied in compiled loops.

A row of an array [rows, 2, LANES] holds the real parts of the variants beside one another, then
their imaginary ones.  Each function here works on whole rows as on vectors of the processor: they
are written out for the compiler, which cannot see that two rows of an array lie apart, and
otherwise takes one number at a time, in four times the time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from llvmlite import ir
from numba import types
from numba.extending import intrinsic

from rungwise.circuit.kernel_arrays import LANES

_VECTOR = ir.VectorType(ir.DoubleType(), LANES)
_ZERO = ir.Constant(_VECTOR, [0.0] * LANES)
_INDEX = ir.IntType(64)
_ALIGNED = 8
"""Bytes: what every array of doubles keeps to."""

Rows = list[list[Any]]
"""Places of the real and of the imaginary part of each row."""


def compiled(told: Callable[..., Any]) -> Callable[..., Any]:
    """What compiled code calls: `told` gives the types of a call and its code."""
    made: Callable[..., Any] = intrinsic(told)
    return made


@compiled
def clear_row(_context: Any, row: Any, r: Any) -> Any:
    """Row `r` to 0."""
    return types.void(row, r), _working(_clear)


@compiled
def copy_row(_context: Any, to: Any, t: Any, one: Any, o: Any) -> Any:
    """Into row `t` of `to`, row `o` of `one`."""
    return types.void(to, t, one, o), _working(_copy)


@compiled
def add_row(_context: Any, to: Any, t: Any, more: Any, m: Any) -> Any:
    """To row `t` of `to`, row `m` of `more`."""
    return types.void(to, t, more, m), _working(_add)


@compiled
def put_product(_context: Any, to: Any, t: Any, one: Any, o: Any, other: Any, p: Any) -> Any:
    """Into row `t` of `to`, row `o` of `one` times row `p` of `other`."""
    return types.void(to, t, one, o, other, p), _working(_put_product)


@compiled
def add_product(_context: Any, to: Any, t: Any, one: Any, o: Any, other: Any, p: Any) -> Any:
    """To row `t` of `to`, row `o` of `one` times row `p` of `other`."""
    return types.void(to, t, one, o, other, p), _working(_add_product)


@compiled
def put_difference(_context: Any, to: Any, t: Any, one: Any, o: Any, other: Any, p: Any) -> Any:
    """Into row `t` of `to`, row `o` of `one` less row `p` of `other`."""
    return types.void(to, t, one, o, other, p), _working(_put_difference)


@compiled
def take_product(_context: Any, off: Any, t: Any, one: Any, o: Any, other: Any, p: Any) -> Any:
    """From row `t` of `off`, row `o` of `one` times row `p` of `other`."""
    return types.void(off, t, one, o, other, p), _working(_take_product)


@compiled
def invert_row(_context: Any, row: Any, r: Any) -> Any:
    """One over row `r`, in place; False where a variant has 0 there."""
    return types.boolean(row, r), _working(_invert)


@compiled
def any_in_row(_context: Any, row: Any, r: Any) -> Any:
    """Whether any variant has anything but 0 in row `r`."""
    return types.boolean(row, r), _working(_any)


@compiled
def square_at_most(_context: Any, most: Any, m: Any, row: Any, r: Any) -> Any:
    """Raise the real part of row `m` of `most` to the squares of the sizes in row `r`."""
    return types.void(most, m, row, r), _working(_square_at_most)


def _clear(builder: Any, rows: Rows) -> None:
    _store(builder, rows[0], [_ZERO, _ZERO])


def _copy(builder: Any, rows: Rows) -> None:
    _store(builder, rows[0], _read(builder, rows[1]))


def _add(builder: Any, rows: Rows) -> None:
    into, more = rows
    _store(builder, into, map(builder.fadd, _read(builder, into), _read(builder, more)))


def _put_product(builder: Any, rows: Rows) -> None:
    into, one, other = rows
    _store(builder, into, _product(builder, _read(builder, one), _read(builder, other)))


def _add_product(builder: Any, rows: Rows) -> None:
    into, one, other = rows
    product = _product(builder, _read(builder, one), _read(builder, other))
    _store(builder, into, map(builder.fadd, _read(builder, into), product))


def _put_difference(builder: Any, rows: Rows) -> None:
    into, one, other = rows
    _store(builder, into, map(builder.fsub, _read(builder, one), _read(builder, other)))


def _take_product(builder: Any, rows: Rows) -> None:
    off, one, other = rows
    product = _product(builder, _read(builder, one), _read(builder, other))
    _store(builder, off, map(builder.fsub, _read(builder, off), product))


def _invert(builder: Any, rows: Rows) -> Any:
    real, imag = _read(builder, rows[0])
    square = builder.fadd(builder.fmul(real, real), builder.fmul(imag, imag))
    _store(builder, rows[0], [builder.fdiv(real, square), builder.fdiv(builder.fneg(imag), square)])
    return _none(builder, builder.fcmp_ordered("==", square, _ZERO))


def _any(builder: Any, rows: Rows) -> Any:
    differs = (builder.fcmp_unordered("!=", part, _ZERO) for part in _read(builder, rows[0]))
    return builder.not_(_none(builder, builder.or_(*differs)))


def _square_at_most(builder: Any, rows: Rows) -> None:
    (most, _), (real, imag) = rows[0], _read(builder, rows[1])
    square = builder.fadd(builder.fmul(real, real), builder.fmul(imag, imag))
    before = builder.load(most, align=_ALIGNED)
    larger = builder.fcmp_unordered(">", square, before)
    builder.store(builder.select(larger, square, before), most, align=_ALIGNED)


def _none(builder: Any, told: Any) -> Any:
    """Whether it is so in no lane."""
    bits = ir.IntType(LANES)
    return builder.icmp_unsigned("==", builder.bitcast(told, bits), ir.Constant(bits, 0))


def _working(work: Callable[[Any, Rows], Any]) -> Callable[..., Any]:
    """What numba asks for: the code of a call, from its arrays and row numbers in turn."""

    def code(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        given = zip(signature.args[::2], args[::2], args[1::2], strict=True)
        found = work(builder, [_row(context, builder, *each) for each in given])
        return context.get_dummy_value() if found is None else found

    return code


def _row(context: Any, builder: Any, sort: Any, array: Any, row: Any) -> list[Any]:
    numbers = context.make_array(sort)(context, builder, array).data
    start = builder.mul(row, ir.Constant(_INDEX, 2 * LANES))
    starts = start, builder.add(start, ir.Constant(_INDEX, LANES))
    return [builder.bitcast(builder.gep(numbers, [at]), _VECTOR.as_pointer()) for at in starts]


def _read(builder: Any, row: list[Any]) -> list[Any]:
    return [builder.load(part, align=_ALIGNED) for part in row]


def _store(builder: Any, row: list[Any], numbers: Any) -> None:
    for number, part in zip(list(numbers), row, strict=True):
        builder.store(number, part, align=_ALIGNED)


def _product(builder: Any, one: list[Any], other: list[Any]) -> list[Any]:
    (a, b), (c, d) = one, other
    real = builder.fsub(builder.fmul(a, c), builder.fmul(b, d))
    return [real, builder.fadd(builder.fmul(a, d), builder.fmul(b, c))]
