"""Mutants of what decides: is each one killed by the quick tests?

`python -m tests.bench.mutants [mutants [seed [seconds]]] [tests ...]` draws mutants by seed over
all places where the session and the deciding part of reason can be changed: a comparison turned
round, a number one up or down, `and` for `or`, a condition negated, another result, a statement
dropped, two arguments swapped. Each is tried in a copy of the tree by the tests named, up to the
first that fails or to the time limit, which counts as killed too. Tests that fail before anything
is changed are told and left out. Survivors are listed with their place; 85 of 100 killed is the
goal. Not in CI: each mutant takes as long as its tests.
"""

from __future__ import annotations

import ast
import copy
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
SEED, MUTANTS, SECONDS = 20260505, 60, 240.0
DECIDES = (
    "session/**/*.py",
    "reason/plan/choose.py",
    "reason/plan/verdict.py",
    "reason/plan/decision_problem.py",
    "reason/chain/sufficiency.py",
)
TESTS = (
    "tests/session",
    "tests/library",
    "tests/reason/plan",
    "tests/reason/chain/test_sufficiency.py",
    "tests/dangers",
)
COPIED = ("diag", "tests", "rules", "pyproject.toml")

TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
Change = tuple[str, Callable[[ast.AST], ast.AST | None]]
"""What is done to a node in words, and how; None drops the node."""


@dataclass(frozen=True)
class Mutant:
    """A place, and what is done to it: the node by its number in the walk of the module."""

    path: Path
    node: int
    change: int
    line: int
    words: str


def changes(node: ast.AST) -> Iterator[Change]:
    """Yield what can be done to a node."""
    if isinstance(node, ast.Compare):
        turned = TURNED.get(type(node.ops[0]))
        if turned:
            yield "comparison turned", lambda one: _with(one, ops=[turned(), *node.ops[1:]])
    elif isinstance(node, ast.BoolOp):
        other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield "and for or", lambda one: _with(one, op=other)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not left out", lambda one: node.operand
    elif isinstance(node, ast.If | ast.IfExp):
        yield "condition negated", lambda one: _with(one, test=ast.UnaryOp(ast.Not(), node.test))
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield "one more", lambda one: ast.Constant(node.value + 1)
        yield "one less", lambda one: ast.Constant(node.value - 1)
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield "true for false", lambda one: ast.Constant(not node.value)
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        other_sum = ast.Sub() if isinstance(node.op, ast.Add) else ast.Add()
        yield "plus for minus", lambda one: _with(one, op=other_sum)
    elif isinstance(node, ast.Return) and node.value is not None:
        yield "returns None", lambda one: ast.Return(ast.Constant(None))
        yield "returns True", lambda one: ast.Return(ast.Constant(True))
    elif isinstance(node, ast.Expr | ast.AugAssign) and not _is_text(node):
        yield "statement dropped", lambda one: ast.Pass()
    elif isinstance(node, ast.Call) and len(node.args) == 2 and not node.keywords:
        yield "arguments swapped", lambda one: _with(one, args=node.args[::-1])


def _with(node: ast.AST, **fields: object) -> ast.AST:
    new = copy.copy(node)
    for name, value in fields.items():
        setattr(new, name, value)
    return new


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def mutants(root: Path) -> list[Mutant]:
    """Return all mutants of a tree, in order of place."""
    paths = sorted(path for pattern in DECIDES for path in (root / "diag").glob(pattern))
    return [
        Mutant(path.relative_to(root), number, which, node.lineno, words)
        for path in paths
        for number, node in enumerate(_walked(path.read_text("utf-8")))
        if hasattr(node, "lineno")
        for which, (words, _) in enumerate(changes(node))
    ]


def _walked(text: str) -> list[ast.AST]:
    """Return the nodes of a module in the order of the walk; decorators are left as they are."""
    nodes = list(ast.walk(ast.parse(text)))
    held = {
        id(inner)
        for node in nodes
        for decorator in getattr(node, "decorator_list", [])
        for inner in ast.walk(decorator)
    }
    return [ast.Pass() if id(node) in held else node for node in nodes]


class _Replaces(ast.NodeTransformer):
    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self._old, self._new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return self._new if node is self._old else self.generic_visit(node)


def mutated(mutant: Mutant, text: str) -> str:
    """Return the text of a mutant's module, of which `text` is what it was."""
    tree = ast.parse(text)
    node = list(ast.walk(tree))[mutant.node]
    new = list(changes(node))[mutant.change][1](node)
    assert new is not None
    return ast.unparse(ast.fix_missing_locations(_Replaces(node, new).visit(tree)))


@dataclass(frozen=True)
class Tried:
    """A copy of the tree, and how the tests are run in it."""

    copied: Path
    seconds: float
    """What a mutant has; the untouched tree has four times as long."""
    tests: tuple[str, ...]

    @classmethod
    def copy(cls, folder: Path, seconds: float, tests: tuple[str, ...]) -> Tried:
        """Copy the tree, and leave out the tests that fail in it as it is."""
        for name in COPIED:
            whole = ROOT / name
            if whole.is_dir():
                shutil.copytree(whole, folder / name)
            else:
                shutil.copy(whole, folder / name)
        tried = cls(folder, seconds, tests)
        done = tried._run(4 * seconds, "-rfE")
        if done is None:
            raise SystemExit("the tests do not come to an end in time before anything is changed")
        lines = [line.split(" - ")[0] for line in done.stdout.decode().splitlines()]
        red = [line.split(" ", 1)[1] for line in lines if line.startswith(("FAILED ", "ERROR "))]
        for name in red:
            print(f"left out, as it fails already: {name}", flush=True)
        return cls(folder, seconds, (*tests, *(f"--deselect={name}" for name in red)))

    def kills(self, mutant: Mutant) -> bool:
        """Tell whether a test fails on a mutant; the copy is put right again."""
        place = self.copied / mutant.path
        before = place.read_text("utf-8")
        place.write_text(mutated(mutant, before), encoding="utf-8")
        try:
            done = self._run(self.seconds, "-x")
        finally:
            place.write_text(before, encoding="utf-8")
        return done is None or done.returncode != 0

    def _run(self, seconds: float, *words: str) -> subprocess.CompletedProcess[bytes] | None:
        """Run the tests in the copy; None where they take too long."""
        fixed = ["-q", "-o", "addopts=--import-mode=importlib", "-m", "not cases"]
        home = str(self.copied / "home")
        try:
            return subprocess.run(
                [sys.executable, "-m", "pytest", *fixed, *words, *self.tests],
                cwd=self.copied,
                env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "DIAG_HOME": home},
                capture_output=True,
                timeout=seconds,
                check=False,
            )
        except subprocess.TimeoutExpired:
            return None


def main(wanted: int, seed: int, seconds: float, tests: tuple[str, ...]) -> None:
    """Print how many were killed, and the survivors."""
    dead = 0
    with tempfile.TemporaryDirectory() as folder:
        tried = Tried.copy(Path(folder), seconds, tests)
        found = mutants(tried.copied)
        chosen = random.Random(seed).sample(found, min(wanted, len(found)))
        for number, mutant in enumerate(chosen, 1):
            good = tried.kills(mutant)
            dead += good
            told = f"{dead} of {number} killed"
            if not good:
                lines = (tried.copied / mutant.path).read_text("utf-8").splitlines()
                line = lines[mutant.line - 1].strip()
                told += f"; survives {mutant.path}:{mutant.line} {mutant.words}: {line}"
            print(told, flush=True)
    print(f"{dead} of {len(chosen)} killed, {dead / len(chosen):.0%}; {len(found)} places in all")


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word.startswith("tests")]
    numbers = [float(word) for word in sys.argv[1:] if word not in words]
    main(
        int(numbers[0]) if numbers else MUTANTS,
        int(numbers[1]) if numbers[1:] else SEED,
        numbers[2] if numbers[2:] else SECONDS,
        tuple(words) or TESTS,
    )
