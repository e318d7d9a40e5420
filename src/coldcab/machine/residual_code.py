"""Generated code: the residuals of one machine as a function of plain numbers without a branch or a loop.

`model.evaluate` is run once on symbols instead of numbers. Each operation that a residual depends on is written into a
Python function, a line for what is used more than once: the same operations in the same order, so the same numbers to
the last bit, but without the calls and look-ups on the way, in about half the time. The equations are still written
once, in the parts.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable
from functools import lru_cache
from typing import Any, TypeAlias, cast

from coldcab.machine.floats import softplus
from coldcab.machine.fluid import Fluid
from coldcab.machine.layout import Machine
from coldcab.machine.model import evaluate
from coldcab.machine.ops import FLOATS, Arithmetic
from coldcab.machine.setting import Setting
from coldcab.refrigerants import FluidTable, SaturationLine

Residuals = Callable[[Setting, list[float]], tuple[float, ...]]

COUNT = 7
NAME = re.compile(r"\bv\d+\b")
DEEPEST = 50  # parentheses within one another; Python reads some 200
PAYS_AFTER = 4  # solutions of a machine; generating its code takes as long as some ten of them


class Symbol:
    """A number that is not known yet: working with it writes lines of the function."""

    __slots__ = ("lines", "name")

    def __init__(self, lines: CodeLines, name: str):
        self.lines = lines
        self.name = name

    def _with(self, sign: str, other: Operand, turned: bool = False) -> Symbol:
        return self.lines.write("{} " + sign + " {}", *((other, self) if turned else (self, other)))

    def __add__(self, other: Operand) -> Symbol:
        return self._with("+", other)

    def __radd__(self, other: Operand) -> Symbol:
        return self._with("+", other, turned=True)

    def __sub__(self, other: Operand) -> Symbol:
        return self._with("-", other)

    def __rsub__(self, other: Operand) -> Symbol:
        return self._with("-", other, turned=True)

    def __mul__(self, other: Operand) -> Symbol:
        return self._with("*", other)

    def __rmul__(self, other: Operand) -> Symbol:
        return self._with("*", other, turned=True)

    def __truediv__(self, other: Operand) -> Symbol:
        return self._with("/", other)

    def __rtruediv__(self, other: Operand) -> Symbol:
        return self._with("/", other, turned=True)

    def __pow__(self, other: Operand) -> Symbol:
        return self._with("**", other)

    def __neg__(self) -> Symbol:
        return self.lines.write("-{}", self)


Operand: TypeAlias = Symbol | float


class CodeLines:
    """The lines written so far, and the names that each makes and needs."""

    def __init__(self) -> None:
        self.written: list[tuple[tuple[str, ...], str]] = []
        self.known: dict[str, list[Symbol]] = {}
        self.count = 0

    def symbol(self) -> Symbol:
        """A new symbol, not yet on a line."""
        self.count += 1
        return Symbol(self, f"v{self.count}")

    def write(self, pattern: str, *operands: Operand) -> Symbol:
        """Write a line; ``pattern`` has a pair of braces for each operand. Returns its symbol."""
        return self.write_several(1, pattern, *operands)[0]

    def write_several(self, results: int, pattern: str, *operands: Operand) -> list[Symbol]:
        """The same for a line that makes several symbols."""
        names = [one.name if isinstance(one, Symbol) else repr(float(one)) for one in operands]
        expression = pattern.format(*names)
        made = self.known.get(expression)
        if made is None:
            # What was worked out before is not worked out again.
            made = self.known[expression] = [self.symbol() for _ in range(results)]
            self.written.append((tuple(one.name for one in made), expression))
        return made

    def needed_for(self, results: list[Symbol]) -> list[str]:
        """The lines, in order, that the results depend on; what is used once stands where it is used."""
        uses = Counter(one.name for one in results)
        kept = []
        for made, expression in reversed(self.written):
            if any(uses[name] for name in made):
                kept.append((made, expression))
                uses.update(NAME.findall(expression))
        returned = {one.name for one in results}
        inner: dict[str, tuple[str, int]] = {}
        lines = []
        for made, expression in reversed(kept):
            depths = [inner[name][1] for name in NAME.findall(expression) if name in inner]
            whole = NAME.sub(lambda found: inner[found[0]][0] if found[0] in inner else found[0], expression)
            if len(made) == 1 and uses[made[0]] == 1 and made[0] not in returned and max(depths, default=0) < DEEPEST:
                inner[made[0]] = f"({whole})", 1 + max(depths, default=0)
            else:
                lines.append(f"{', '.join(made)} = {whole}")
        return lines


class SymbolArithmetic:
    """Arithmetic of `ops` on symbols; each line does what `floats` does."""

    def __init__(self, lines: CodeLines):
        self.write = lines.write

    def exp(self, x: Symbol) -> Symbol:
        """e^x."""
        return self.write("exp({})", x)

    def log(self, x: Symbol) -> Symbol:
        """ln x."""
        return self.write("log({})", x)

    def sqrt(self, x: Symbol) -> Symbol:
        """Square root."""
        return self.write("sqrt({})", x)

    def maximum(self, x: Operand, y: Operand) -> Symbol:
        """The larger one."""
        return self.write("{1} if {1} > {0} else {0}", x, y)

    def minimum(self, x: Operand, y: Operand) -> Symbol:
        """The smaller one."""
        return self.write("{1} if {1} < {0} else {0}", x, y)

    def positive(self, x: Symbol, width: Operand) -> Symbol:
        """max(x, 0) with its corner rounded."""
        return self.write("0.5 * ({0} + hypot({0}, {1}))", x, width)

    def softplus(self, x: Symbol) -> Symbol:
        """ln(1 + e^x)."""
        return self.write("softplus({})", x)


class SymbolicLine:
    """A saturation line whose fields are symbols."""

    def __init__(self, lines: CodeLines, name: Symbol):
        self.name = name
        self.lines = lines

    def __getattr__(self, field: str) -> Symbol:
        return self.lines.write("{}" + f"[{SaturationLine._fields.index(field)}]", self.name)


class SymbolicTable:
    """A property table that writes calls of the real one."""

    def __init__(self, lines: CodeLines, name: str, table: FluidTable):
        self._lines = lines
        self._name = name
        self._table = table

    def __getattr__(self, name: str) -> object:
        return getattr(self._table, name)  # its limits

    def _call(self, results: int, method: str, log_pressure: Symbol, given: Symbol, line: SymbolicLine) -> list[Symbol]:
        pattern = f"{self._name}_{method}" + "({}, {}, {})"
        return self._lines.write_several(results, pattern, log_pressure, given, line.name)

    def saturation(self, log_pressure: Symbol) -> SymbolicLine:
        """All saturation functions."""
        return SymbolicLine(self._lines, self._lines.write(f"{self._name}_saturation" + "({})", log_pressure))

    def log_pressure(self, temperature: Symbol) -> Symbol:
        """ln p of saturation."""
        return self._lines.write(f"{self._name}_log_pressure" + "({})", temperature)

    def vapor(self, log_pressure: Symbol, enthalpy: Symbol, line: SymbolicLine) -> list[Symbol]:
        """Temperature, volume and entropy of vapour."""
        return self._call(3, "vapor", log_pressure, enthalpy, line)

    def liquid(self, log_pressure: Symbol, enthalpy: Symbol, line: SymbolicLine) -> list[Symbol]:
        """Temperature, volume and entropy of liquid."""
        return self._call(3, "liquid", log_pressure, enthalpy, line)

    def vapor_enthalpy(self, log_pressure: Symbol, temperature: Symbol, line: SymbolicLine) -> Symbol:
        """Enthalpy of vapour."""
        return self._call(1, "vapor_enthalpy", log_pressure, temperature, line)[0]

    def vapor_enthalpy_by_entropy(self, log_pressure: Symbol, entropy: Symbol, line: SymbolicLine) -> Symbol:
        """Enthalpy of vapour."""
        return self._call(1, "vapor_enthalpy_by_entropy", log_pressure, entropy, line)[0]

    def liquid_enthalpy(self, log_pressure: Symbol, temperature: Symbol, line: SymbolicLine) -> Symbol:
        """Enthalpy of liquid."""
        return self._call(1, "liquid_enthalpy", log_pressure, temperature, line)[0]


CALLS = (
    "saturation", "log_pressure", "vapor", "liquid", "vapor_enthalpy", "vapor_enthalpy_by_entropy", "liquid_enthalpy",
)  # fmt: skip


def generate_residuals(machine: Machine, fluid: Fluid, bulb: Fluid) -> Residuals:
    """Write the function of a setting and seven scaled unknowns that returns the residuals of `model.evaluate`."""
    lines = CodeLines()
    unknowns = [lines.symbol() for _ in range(COUNT)]
    setting = Setting(*(lines.symbol() for _ in Setting._fields))
    symbolic = fluid._replace(table=SymbolicTable(lines, "fluid", fluid.table))
    symbolic_bulb = bulb._replace(table=SymbolicTable(lines, "bulb", bulb.table))
    residuals = evaluate(
        cast(Arithmetic, SymbolArithmetic(lines)), machine, symbolic, symbolic_bulb, setting, unknowns
    ).residuals
    body = [
        f"({', '.join(one.name for one in setting)}) = setting",
        f"({', '.join(one.name for one in unknowns)}) = unknowns",
        *lines.needed_for(list(residuals)),
        f"return ({', '.join(one.name for one in residuals)})",
    ]
    names: dict[str, Any] = {"exp": math.exp, "log": math.log, "sqrt": math.sqrt, "hypot": math.hypot}
    names["softplus"] = softplus
    for prefix, table in (("fluid", fluid.table), ("bulb", bulb.table)):
        names |= {f"{prefix}_{call}": getattr(table, call) for call in CALLS}
    source = "def residuals(setting, unknowns):\n    " + "\n    ".join(body)
    exec(compile(source, f"<{machine.name}, generated code>", "exec"), names)
    return cast(Residuals, names["residuals"])


class _Usage:
    """Of a machine with its refrigerants: how often it was solved, and its code once it is generated."""

    def __init__(self) -> None:
        self.solutions = 0
        self.code: Residuals | None = None


@lru_cache(maxsize=32)
def _usage(machine: Machine, fluid: Fluid, bulb: Fluid) -> _Usage:
    return _Usage()


def residuals_of(machine: Machine, fluid: Fluid, bulb: Fluid) -> Residuals:
    """The residuals as a function of setting and unknowns: `model.evaluate` at first, generated code when it pays."""
    usage = _usage(machine, fluid, bulb)
    usage.solutions += 1
    if usage.code is None:
        if usage.solutions < PAYS_AFTER:
            return lambda setting, unknowns: evaluate(FLOATS, machine, fluid, bulb, setting, unknowns).residuals
        usage.code = generate_residuals(machine, fluid, bulb)
    return usage.code
