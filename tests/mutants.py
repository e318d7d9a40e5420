"""Do the tests notice? One small change after the other is made in a module, and its tests must fail each time.

    python tests/mutants.py oil.ledger units.table [--most 200] [--seed 1] [--tests tests/test_oil.py ...]

Changed are comparisons, boolean operators, conditions, arithmetic, numbers, single words, results and statements (these
are left out). No file is touched: each change is compiled in a process of its own, split off from one that has the
slow libraries loaded. Where a module has more than ``--most`` changes, a sample of that size is drawn. The end is a
failure if fewer than `FLOOR` of the changes are noticed.
"""

from __future__ import annotations

import argparse
import ast
import importlib.machinery
import importlib.util
import os
import pickle
import random
import re
import signal
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

import coverage
import hypothesis
import numpy  # noqa: F401  slow to start, and loaded once
import pytest

ROOT = Path(__file__).resolve().parents[1]
FLOOR = 0.85
"""Share of changes that a module's tests must notice."""

TESTS = {
    "assess": ("tests/test_assess_reading.py",),
    "classroom.intake": ("tests/test_classroom_intake.py",),
    "classroom.gradebook": ("tests/test_classroom_gradebook.py",),
}
"""Tests of a module or room where all those that bear the room's name would take too long."""

COMPARISONS = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
ARITHMETIC = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Div,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
}
UNCHANGED = frozenset({"annotation", "returns", "decorator_list", "format_spec"})
"""Fields of the syntax tree that say nothing about behavior or whose text is for people."""

Change = tuple[ast.AST, str, Callable[[], object]]


def changes(node: ast.AST) -> Iterator[Change]:
    """Every change below a node: what it stands at, in words what is done, and the doing."""
    for field, value in ast.iter_fields(node):
        children = value if isinstance(value, list) else [value]
        for place, child in enumerate(children):
            if field in UNCHANGED or not isinstance(child, ast.AST) or _is_text(child):
                continue

            def put(new: ast.AST, field: str = field, place: int = place, old: ast.AST = child) -> None:
                ast.fix_missing_locations(ast.copy_location(new, old))
                if isinstance(getattr(node, field), list):
                    getattr(node, field)[place] = new
                else:
                    setattr(node, field, new)

            for new, words in replacements(child):
                yield child, words, lambda put=put, new=new: put(new)
            if not isinstance(child, ast.JoinedStr):
                yield from changes(child)
            else:  # the sentence is for people, what is put into it is not
                for part in child.values:
                    yield from changes(part) if isinstance(part, ast.FormattedValue) else ()


def _is_text(node: ast.AST) -> bool:
    """A docstring, the list of names that a module gives away, imports for the type checker."""
    if isinstance(node, ast.If):
        return ast.unparse(node.test) == "TYPE_CHECKING"
    if isinstance(node, ast.Assign):
        return ast.unparse(node.targets[0]) == "__all__"
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def replacements(node: ast.AST) -> Iterator[tuple[ast.AST, str]]:
    """What may stand in place of one node, and the change in words."""
    match node:
        case ast.Compare(left, [operator], [right]):
            for other in COMPARISONS[type(operator)]:
                yield ast.Compare(left, [other()], [right]), f"{type(operator).__name__} to {other.__name__}"
        case ast.Compare(left, operators, rights):
            for place, operator in enumerate(operators):
                for other in COMPARISONS[type(operator)]:
                    new = [*operators[:place], other(), *operators[place + 1 :]]
                    yield ast.Compare(left, new, rights), f"{type(operator).__name__} to {other.__name__}"
        case ast.BoolOp(operator, values):
            other = ast.Or if isinstance(operator, ast.And) else ast.And
            yield ast.BoolOp(other(), values), f"{type(operator).__name__} to {other.__name__}"
        case ast.BinOp(left, operator, right) if type(operator) in ARITHMETIC:
            other = ARITHMETIC[type(operator)]
            yield ast.BinOp(left, other(), right), f"{type(operator).__name__} to {other.__name__}"
        case ast.AugAssign(target, operator, value):
            if type(operator) in ARITHMETIC:
                other = ARITHMETIC[type(operator)]
                yield ast.AugAssign(target, other(), value), f"{type(operator).__name__} to {other.__name__}"
            yield ast.Pass(), "left out"
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield operand, "sign left out"
        case ast.If(test, body, orelse) if not isinstance(test, ast.Compare | ast.BoolOp | ast.UnaryOp):
            yield ast.If(ast.UnaryOp(ast.Not(), test), body, orelse), "condition turned round"
        case ast.IfExp(test, body, orelse) if not isinstance(test, ast.Compare | ast.BoolOp | ast.UnaryOp):
            yield ast.IfExp(ast.UnaryOp(ast.Not(), test), body, orelse), "condition turned round"
        case ast.Constant(bool() as value):
            yield ast.Constant(not value), f"to {not value}"
        case ast.Constant(int() as value):
            for new in (value + 1, value - 1):
                yield ast.Constant(new), f"to {new}"
        case ast.Constant(float() as value):
            for new in (value * 1.5, value * 0.7) if value else (1.0,):
                yield ast.Constant(new), f"to {new:g}"
        case ast.Constant(str() as value) if re.fullmatch(r"\w+", value):
            yield ast.Constant(f"not {value}"), f"to 'not {value}'"
        case ast.Return(value) if value is not None and ast.unparse(value) != "None":
            yield ast.Return(ast.Constant(None)), "None returned"
        case ast.Raise() | ast.Continue() | ast.Break() | ast.Expr(ast.Call()):
            yield ast.Pass(), "left out"
        case ast.Assign([ast.Subscript() | ast.Attribute()]):
            yield ast.Pass(), "left out"


class _Changed(importlib.machinery.SourceFileLoader):
    """Loads one module from a syntax tree instead of its file."""

    def __init__(self, name: str, path: str, tree: ast.Module):
        super().__init__(name, path)
        self.tree = tree

    def get_code(self, fullname):
        return compile(self.tree, self.path, "exec")

    def find_spec(self, name, path=None, target=None):
        return importlib.util.spec_from_file_location(name, self.path, loader=self) if name == self.name else None


class _Chosen:
    """Lets pytest run the chosen tests alone, the quickest first."""

    def __init__(self, tests: Iterable[str], seconds: Mapping[str, float]):
        self.order = {test: place for place, test in enumerate(sorted(tests, key=lambda test: seconds[test]))}

    def pytest_collection_modifyitems(self, items):
        items[:] = sorted((i for i in items if i.nodeid in self.order), key=lambda item: self.order[item.nodeid])


class _Watched:
    """Notes how long each test takes and which lines of a module it reaches."""

    def __init__(self, path: Path):
        self.coverage = coverage.Coverage(data_file=None, include=[str(path)], config_file=False)
        self.path, self.seconds = path, {}
        self.coverage.start()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item):
        self.coverage.switch_context(item.nodeid)
        started = time.monotonic()
        result = yield
        self.seconds[item.nodeid] = time.monotonic() - started
        return result

    def notes(self) -> tuple[dict[str, float], dict[int, list[str]]]:
        self.coverage.stop()
        return self.seconds, self.coverage.get_data().contexts_by_lineno(str(self.path))


def _pytest(files: Iterable[str], *plugins: object) -> int:
    options = ("-x", "-q", "-p", "no:cacheprovider", "-o", "addopts=--import-mode=importlib")
    return int(pytest.main([*options, *sorted(set(files))], plugins=list(plugins)))


def apart(work: Callable[[], object], seconds: float) -> object:
    """What some work gives that is done silently in a process of its own; None if it takes longer."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            signal.setitimer(signal.ITIMER_REAL, seconds)
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            os.environ |= {"HYPOTHESIS_PROFILE": "hasty", "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
            with os.fdopen(writing, "wb") as pipe:
                pickle.dump(work(), pipe)
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    return pickle.loads(said) if said else None


class Module:
    """A module of the package and the tests that it answers to."""

    def __init__(self, name: str, files: tuple[str, ...]):
        self.name, stem = name, ROOT / "src" / "coldcab" / name.replace(".", "/")
        self.path = stem / "__init__.py" if stem.is_dir() else stem.with_suffix(".py")
        self.source = self.path.read_text(encoding="utf-8")

        def watch():
            watched = _Watched(self.path)
            return _pytest(files, watched), watched.notes()

        outcome, (self.seconds, reached) = apart(watch, 900.0)
        if outcome:
            raise SystemExit(f"{' '.join(files)}: pytest ends with {outcome} without any change; mend that first.")
        tests = set(self.seconds)
        self.reached = {line: tests.intersection(found) for line, found in reached.items()}
        self.tests = tests

    def count(self) -> int:
        """How many changes there are."""
        return sum(1 for _ in changes(ast.parse(self.source)))

    def survives(self, number: int) -> str:
        """The change in words if no test notices it, nothing otherwise."""
        tree = ast.parse(self.source)
        node, words, change = list(changes(tree))[number]
        told = f"{self.name}:{node.lineno}: {' '.join(ast.unparse(node).split())[:70]}: {words}"
        near = self.reached.get(_line_in_function(tree, node), set())
        change()
        # What a line gave may have been kept for later (a cache), so the others are asked too.
        return told if all(self._passes(tree, tests) for tests in (near, self.tests - near) if tests) else ""

    def _passes(self, tree: ast.Module, tests: set[str]) -> bool:
        def work():
            sys.meta_path.insert(0, _Changed(f"coldcab.{self.name}", str(self.path), tree))
            return _pytest({test.split("::")[0] for test in tests}, _Chosen(tests, self.seconds))

        # Endless is noticed, too.
        return apart(work, 5.0 * sum(self.seconds[test] for test in tests) + 20.0) == 0


def _line_in_function(tree: ast.Module, node: ast.AST) -> int:
    """First line of the statement that holds a node, 0 for what runs when the module is loaded."""
    line = 0
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef):
            for top in function.body:
                for statement in ast.walk(top):
                    if isinstance(statement, ast.stmt) and any(part is node for part in ast.walk(statement)):
                        line = max(line, statement.lineno)
    return line


def tests_of(module: str) -> tuple[str, ...]:
    """Files of tests that a module answers to."""
    room = module.split(".")[0]
    found = TESTS.get(module) or TESTS.get(room)
    return found or tuple(str(path.relative_to(ROOT)) for path in sorted(ROOT.glob(f"tests/test_{room}*.py")))


def probe(name: str, files: tuple[str, ...], most: int, seed: int) -> bool:
    """Make the changes one after the other, print those that nothing notices, and say whether they are few enough."""
    module = Module(name, files)
    count = module.count()
    numbers = sorted(random.Random(seed).sample(range(count), min(most, count)))
    survivors = 0
    for number in numbers:
        if told := module.survives(number):
            survivors += 1
            print(told, flush=True)
    noticed = len(numbers) - survivors
    print(f"{name}: {noticed} of {len(numbers)} noticed ({noticed / len(numbers):.0%}), of {count} that there are")
    return noticed >= FLOOR * len(numbers)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("modules", nargs="+", help="such as oil.ledger")
    parser.add_argument("--most", type=int, default=200, help="changes that are made in one module")
    parser.add_argument("--seed", type=int, default=1, help="of the sample")
    parser.add_argument("--tests", nargs="+", help="instead of the tests of the module's room")
    given = parser.parse_args()
    os.chdir(ROOT)
    sys.path.insert(0, str(ROOT / "src"))
    # A failing example is enough; a smaller one is of no use here.
    phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
    hypothesis.settings.register_profile("hasty", deadline=None, derandomize=True, phases=phases, database=None)
    enough = [probe(module, tuple(given.tests or tests_of(module)), given.most, given.seed) for module in given.modules]
    return 0 if all(enough) else 1


if __name__ == "__main__":
    sys.exit(main())
