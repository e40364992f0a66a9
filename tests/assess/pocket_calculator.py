"""Equations as a report prints them, worked out from inputs as a report prints them: a pocket calculator for tests.

Knows + − · / ² √( ) |…| π j ∞ and the functions exp, ln, min, max; nothing else is evaluated.
"""

import ast
import itertools
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from hazardreport.quantity.formatting import MINUS, NO_BREAK_SPACE, guard_digits
from hazardreport.quantity.trace import Number, Trace
from hazardreport.quantity.typed import SHOWN_UNITS

PREFIXES = {"": 0, "p": -12, "n": -9, "µ": -6, "m": -3, "k": 3, "M": 6, "G": 9}
SIGNS = {"·": "*", MINUS: "-", "²": "**2", "√": "sqrt", "∞": "infinity", "π": "pi"}
CONSTANTS = {"pi": math.pi, "j": 1j, "infinity": math.inf}
REMARKS = (
    "at most, since the two need not be in phase",
    "the reading does not stand out of its doubt, or is above the supply",
)
SIMPLER = "without C: "
ROUNDING = 1e-12


class NotEvaluableError(Exception):
    """A text that is no equation of the inputs."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Equation:
    """main, or both sides of one that is solved for the result; names that the text explains; a simpler form."""

    sides: tuple[ast.expr, ...]
    names: Mapping[str, ast.expr]
    simpler: ast.expr | None = None


def printed_interval(number: Number) -> tuple[float, float]:
    """Both ends of what the printed guard digits of a number stand for."""
    value, unit = number.measured.value, number.measured.unit
    if math.isinf(value) or value == 0.0:
        return value, value
    text, _, shown = guard_digits(value, unit).partition(NO_BREAK_SPACE)
    prefix = PREFIXES[shown.removesuffix(SHOWN_UNITS.get(unit, unit))]
    read = Decimal(text.replace(MINUS, "-")).scaleb(prefix)
    exponent = read.as_tuple().exponent
    assert isinstance(exponent, int)
    half = Decimal(5).scaleb(exponent - 1)
    return float(read - half), float(read + half)


def expression(text: str) -> ast.expr:
    """The text as Python's own syntax tree."""
    text = re.sub(r"√(\d+)", r"√(\1)", text)
    for sign, word in SIGNS.items():
        text = text.replace(sign, word)
    text = re.sub(r"\|([^|]+)\|", r"abs(\1)", text)
    try:
        return ast.parse(text.strip(), mode="eval").body
    except SyntaxError as error:
        raise NotEvaluableError(text) from error


def equation(text: str) -> Equation:
    """The parts of an equation's text, split at semicolons."""
    main, *others = text.split("; ")
    names: dict[str, ast.expr] = {}
    simpler = None
    for other in others:
        if other in REMARKS:
            continue
        if other.startswith(SIMPLER):
            simpler = expression(other.removeprefix(SIMPLER))
            continue
        for part in other.split(", "):
            name, equals, meaning = part.partition(" = ")
            if not equals or not name.isidentifier():
                raise NotEvaluableError(part)
            names[name] = expression(meaning)
    return Equation(sides=tuple(expression(side) for side in main.split(" = ")), names=names, simpler=simpler)


def symbols(found: Equation, node: ast.AST) -> set[str]:
    """Symbols of the inputs that an expression needs, through the names that the text explains."""
    needed: set[str] = set()
    for part in ast.walk(node):
        if isinstance(part, ast.Name) and part.id not in CONSTANTS and part.id not in FUNCTIONS:
            meaning = found.names.get(part.id)
            needed |= {part.id} if meaning is None else symbols(found, meaning)
    return needed


def _root(value: complex) -> complex:
    return value**0.5


def _power(value: complex) -> float:
    return math.exp(value.real)


def _logarithm(value: complex) -> float:
    return math.log(value.real)


FUNCTIONS = {"abs": abs, "sqrt": _root, "min": min, "max": max, "exp": _power, "ln": _logarithm}
OPERATIONS = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b if b != 0 else math.inf if a != 0 else 0.0,
    ast.Pow: lambda a, b: a**b,
}


def evaluated(found: Equation, node: ast.expr, values: Mapping[str, float]) -> complex:
    """The value of an expression."""
    match node:
        case ast.Constant(value=float() | int() as value):
            return value
        case ast.Name(id=name) if name in CONSTANTS:
            return CONSTANTS[name]
        case ast.Name(id=name) if name in found.names:
            return evaluated(found, found.names[name], values)
        case ast.Name(id=name) if name in values:
            return values[name]
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -evaluated(found, operand, values)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in OPERATIONS:
            return complex_or_real(
                OPERATIONS[type(op)](evaluated(found, left, values), evaluated(found, right, values))
            )
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]) if name in FUNCTIONS:
            return FUNCTIONS[name](*(evaluated(found, argument, values) for argument in arguments))
    raise NotEvaluableError(ast.unparse(node))


def complex_or_real(value: complex) -> complex:
    """A number without an imaginary part as a real one, so that numbers can be compared."""
    return value.real if isinstance(value, complex) and value.imag == 0.0 else value


def _corners(intervals: Mapping[str, tuple[float, float]]) -> Iterator[dict[str, float]]:
    for ends in itertools.product(*({low, high} for low, high in intervals.values())):
        yield dict(zip(intervals, ends, strict=True))


def _spanned(found: Equation, node: ast.expr, intervals: Mapping[str, tuple[float, float]]) -> tuple[float, float]:
    needed = symbols(found, node)
    if needed - set(intervals):
        raise NotEvaluableError(f"no input for {sorted(needed - set(intervals))}")
    results = [
        evaluated(found, node, values) for values in _corners({name: intervals[name] for name in sorted(needed)})
    ]
    assert all(isinstance(result, float | int) or abs(result.imag) <= ROUNDING * abs(result) for result in results)
    reals = [result.real for result in results]
    return min(reals), max(reals)


def overlap(first: tuple[float, float], second: tuple[float, float]) -> bool:
    """Whether two intervals have a point in common, but for the arithmetic of the machine."""
    room = ROUNDING * max(abs(end) for end in (*first, *second) if math.isfinite(end)) if first != second else 0.0
    return first[0] <= second[1] + room and second[0] <= first[1] + room


def comes_out(number: Number, trace: Trace) -> bool:
    """Whether a number lies where its printed inputs put it by its printed equation.

    Raises NotEvaluableError for a text that is no equation of its inputs, and where two inputs share a symbol.
    """
    found = equation(number.equation)
    inputs = [trace[name] for name in number.inputs]
    intervals = {item.symbol: printed_interval(item) for item in inputs}
    for symbol in intervals:
        if len({item.id for item in inputs if item.symbol == symbol}) > 1:
            raise NotEvaluableError(f"two inputs are called {symbol}")
    own = printed_interval(number)
    if len(found.sides) == 1:
        return overlap(own, _spanned(found, found.sides[0], intervals))
    if number.symbol in intervals:
        raise NotEvaluableError(f"{number.symbol} is result and input")
    left, right = found.sides
    balanced = _balanced(found, left, right, intervals, own, number.symbol)
    return balanced and (found.simpler is None or _simpler_agrees(found, number, intervals))


def _balanced(
    found: Equation,
    left: ast.expr,
    right: ast.expr,
    intervals: Mapping[str, tuple[float, float]],
    own: tuple[float, float],
    symbol: str,
) -> bool:
    """Whether left − right has a zero between the ends of everything that was printed."""
    difference = ast.BinOp(left=left, op=ast.Sub(), right=right)
    low, high = _spanned(found, difference, {**intervals, symbol: own})
    return low <= 0.0 <= high


def _simpler_agrees(found: Equation, number: Number, intervals: Mapping[str, tuple[float, float]]) -> bool:
    """Whether the simpler form solves the equation once the capacitances are nothing."""
    assert found.simpler is not None
    middle = {
        name: 0.0 if _is_capacitance(found, name) else (low + high) / 2 for name, (low, high) in intervals.items()
    }
    solved = complex_or_real(evaluated(found, found.simpler, middle))
    left, right = (evaluated(found, side, {**middle, number.symbol: solved.real}) for side in found.sides)
    return math.isclose(abs(left), abs(right), rel_tol=1e-9)


def _is_capacitance(found: Equation, name: str) -> bool:
    bound = [symbol for symbol, meaning in found.names.items() if symbols(found, meaning) == {name}]
    return name.startswith("C") or any(symbol.startswith("C") for symbol in bound)
