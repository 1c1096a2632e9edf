"""The house itself: small files, plain arrows, one name and one home for each idea."""

from __future__ import annotations

import ast
import re
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MOST_LINES, MOST_IN_A_FUNCTION, MOST_POSITIONAL, MOST_MODULES = 300, 40, 5, 15
UNIFORM = {"diag.authoring.lints": "one lint a module", "diag.physics.formulas": "tables"}
"""Packages that may hold any number of modules, since these are all of one kind."""
MADE_FROM_OPTIONS = {
    "diag.cli.ask.options.ask", "diag.cli.drill.options.drill", "diag.cli.drill.options.make",
    "diag.cli.jobs.options.label", "diag.cli.jobs.options.open_job",
    "diag.cli.rules.options.sequence", "diag.cli.rules.options.tree",
    "diag.cli.report.options.report",
}  # fmt: skip
"""Command functions: each parameter is an option, and nobody calls them by hand."""
READS_DIGITS = {
    "diag.model.amounts": "the parser of typed numbers",
    "diag.rulebook.language.tokens": "numbers as words of a condition, handed to that parser",
    "diag.session.hearing.words": "words of a sentence, which may be numbers",
    "diag.session.steering.lists": "places in a list, and ranges of them",
    "diag.cli.terminal.wrapping": "the marks of numbered lists",
}
"""Modules whose patterns may hold digits, and what for."""
ROOMS_ALIKE = re.compile(r"diag\.bench\.\w+\.inputs")
"""The rooms of the bench call what is asked alike by the same name, each with its own range."""


def _module(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _trees(folder: str) -> dict[str, ast.Module]:
    files = sorted((ROOT / folder).rglob("*.py"))
    return {_module(path): ast.parse(path.read_text(encoding="utf-8")) for path in files}


TREES = _trees("diag")
PATHS = {_module(path): path for path in sorted((ROOT / "diag").rglob("*.py"))}
PACKAGES = {name for name, path in PATHS.items() if path.name == "__init__.py"}


def functions() -> Iterator[tuple[str, ast.FunctionDef]]:
    """Yield every function and method by its module and name."""
    for module, tree in TREES.items():
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef):
                yield f"{module}.{node.name}", node


def at_run_time(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the nodes below one that run, wherever they stand: what is for types alone does not."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
            continue
        yield child
        yield from at_run_time(child)


def imports(module: str) -> set[str]:
    """Return the modules of ours that a module imports, at its top or on its way."""
    found = set()
    for node in at_run_time(TREES[module]):
        if isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            inner = {f"{node.module}.{each.name}" for each in node.names}
            found |= inner & TREES.keys() or {node.module}
    return (found & TREES.keys()) - {module}


ARROWS = {module: imports(module) for module in TREES}


def defined(tree: ast.Module) -> Iterator[str]:
    """Yield the names that a module makes at its top, each time that it does."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.Assign):
            yield from (each.id for each in node.targets if isinstance(each, ast.Name))
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            yield node.target.id


def test_no_file_is_long() -> None:
    """A file has at most 300 lines."""
    lines = {name: len(path.read_text("utf-8").splitlines()) for name, path in PATHS.items()}
    assert {} == {name: count for name, count in lines.items() if count > MOST_LINES}


def test_no_function_is_long() -> None:
    """A function has at most 40 lines, its docstring counted."""
    lines = {
        name: (node.end_lineno or 0) - node.lineno + 1
        for name, node in functions()
        if name not in MADE_FROM_OPTIONS
    }
    assert {} == {name: count for name, count in lines.items() if count > MOST_IN_A_FUNCTION}


def test_no_function_takes_many_things_by_their_order() -> None:
    """A function has at most five positional parameters; more are given by name."""
    counts = {}
    for name, node in functions():
        given = [*node.args.posonlyargs, *node.args.args]
        counts[name] = sum(each.arg not in ("self", "cls") for each in given)
    many = {name for name, count in counts.items() if count > MOST_POSITIONAL}
    assert MADE_FROM_OPTIONS == many


def test_no_package_is_crowded() -> None:
    """A package has at most fifteen modules side by side, unless they are all of one kind."""
    counts = Counter(name.rpartition(".")[0] for name in TREES.keys() - PACKAGES)
    assert set() == {name for name, n in counts.items() if n > MOST_MODULES} - UNIFORM.keys()


@pytest.mark.parametrize("package", sorted(PACKAGES))
def test_a_package_says_what_it_is(package: str) -> None:
    """The docstring of a package is a sentence of more than its name."""
    said = ast.get_docstring(TREES[package]) or ""
    words = set(re.findall(r"[a-z]{2,}", said.partition("\n")[0].lower()))
    assert len(words - set(package.split("."))) >= 4


def test_no_circle_of_imports() -> None:
    """No module needs itself by way of others, imports inside functions counted."""
    order = tuple(TopologicalSorter(ARROWS).static_order())  # raises `CycleError` with the circle
    assert TREES.keys() == set(order)


def test_no_arrow_points_upward() -> None:
    """What a module imports stands in its own layer's package or in a layer below."""
    contract = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
    layers = contract["contracts"][0]["layers"]
    level = {
        f"diag.{name.strip()}": -at for at, row in enumerate(layers) for name in row.split("|")
    }
    wrong = [
        (module, other)
        for module, others in ARROWS.items()
        for other in others
        for here, there in [(module.split(".")[:2], other.split(".")[:2])]
        if len(here) == len(there) == 2
        and here != there
        and level[".".join(there)] >= level[".".join(here)]
    ]
    assert [] == wrong


def test_only_cli_prints() -> None:
    """Nothing but `cli` calls `print`, or writes to the streams of the process."""
    found = [
        f"{module}:{node.lineno}"
        for module, tree in TREES.items()
        if not module.startswith("diag.cli")
        for node in ast.walk(tree)
        if (isinstance(node, ast.Name) and node.id == "print")
        or (isinstance(node, ast.Attribute) and node.attr in ("stdout", "stderr"))
    ]
    assert [] == found


def test_one_parser_of_numbers() -> None:
    """No pattern of digits and no swap of commas stands outside the parser and what is named."""
    holding = {
        module
        for module, tree in TREES.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and ast.unparse(node.func).startswith("re.")
        for part in ast.walk(node)
        if isinstance(part, ast.Constant) and re.search(r"\\d|\[[-+−^]*0-9[.,]*\]", str(part.value))
    }
    assert READS_DIGITS.keys() == holding
    commas = {
        module
        for module, tree in TREES.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and ast.unparse(node).endswith(".replace(',', '.')")
    }
    assert {"diag.model.amounts", "diag.session.hearing.table"} == commas


def test_a_type_is_named_once() -> None:
    """No two classes or type aliases of the project share a name; type variables aside."""
    homes: Mapping[str, list[str]] = defaultdict(list)
    for module, tree in TREES.items():
        variables = {
            target.id
            for node in tree.body
            if isinstance(node, ast.Assign) and "TypeVar(" in ast.unparse(node.value)
            for target in node.targets
            if isinstance(target, ast.Name)
        }
        for name in defined(tree):
            if re.fullmatch(r"_?[A-Z]\w*[a-z]\w*", name) and name not in variables:
                homes[name].append(module)
    assert {} == {name: where for name, where in homes.items() if len(where) > 1}


def test_a_name_that_is_imported_has_one_home() -> None:
    """What one module takes from another by name means the same wherever it is taken."""
    homes: Mapping[str, set[str]] = defaultdict(set)
    makes = {module: set(defined(tree)) for module, tree in TREES.items()}
    for tree in TREES.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module in makes:
                for each in node.names:
                    if each.name in makes[node.module]:
                        homes[each.name].add(node.module)
    assert {} == {
        name: where
        for name, where in homes.items()
        if len(where) > 1 and not all(ROOMS_ALIKE.fullmatch(each) for each in where)
    }
