"""What a program that uses the library can rely on: its own house is left alone."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
from pathlib import Path

import pytest

import diag
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from tests.library.answers import BREAD, bench_of

ROOT = Path(__file__).parents[2]
UNTOUCHED = """\
import gc, io, json, os, random, sys, time
from diag import Session, load_rules
from tests.library.answers import Bench, tell
from diag.rulebook import load_cases
from pathlib import Path

GIVEN = os.path.abspath("tests/books/bread")
opened, watching = [], False

def watch(event, args):
    if watching and (event.startswith(("socket.", "subprocess.", "os.putenv", "os.unsetenv"))
            or event == "open" and not os.path.abspath(str(args[0])).startswith(GIVEN)):
        opened.append((event, args))

def forbid(*names, of):
    for name in names:
        def refuse(*_, name=name, **__):
            raise AssertionError(f"{of.__name__}.{name} was used")
        setattr(of, name, refuse)

class Forbidden(dict):
    def __getattribute__(self, name):
        raise AssertionError(f"the environment was asked for {name}")
    __getitem__ = __contains__ = __iter__ = lambda *_: Forbidden().get

def run():
    book = load_rules("tests/books/bread")
    shows = {case.id: {name: str(value) for name, value in case.readings.items()}
             for case in CASES}
    told = tell(Session(book, complaint="does not rise"),
                Bench(shows["an old packet"], shows["a good loaf"]))
    told.session.why("yeast dead")
    Session.resume(book, told.events).question
    return told.session.verdict.repaired

CASES = load_cases(Path("tests/books/bread/cases"), load_rules("tests/books/bread"))
run()  # whatever is imported late has been imported now
sys.addaudithook(watch)
before = gc.get_threshold(), gc.isenabled(), gc.get_freeze_count(), random.getstate()
kept = [(of, name, getattr(of, name)) for of, names in (
    (gc, "enable disable collect freeze unfreeze set_threshold set_debug"),
    (time, "time monotonic perf_counter process_time sleep localtime gmtime time_ns monotonic_ns"),
    (random, "random randint choice shuffle seed"),
) for name in names.split()]
environ = os.environ
for of, name, _ in kept:
    forbid(name, of=of)
os.environ, watching = Forbidden(), True
found = run()
os.environ, watching = environ, False
for of, name, was in kept:
    setattr(of, name, was)
assert before == (gc.get_threshold(), gc.isenabled(), gc.get_freeze_count(), random.getstate())
assert not opened, opened
print(found)
"""


def python(code: str, *options: str) -> str:
    """Run code in a Python of its own at the top of the repository; return what it prints."""
    done = subprocess.run(
        [sys.executable, *options, "-c", code], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_a_whole_session_leaves_the_host_alone() -> None:
    """No collector, clock, environment, chance, or file beside the given folder is touched."""
    assert "('yeast dead',)" == python(UNTOUCHED)


def test_the_watch_does_see_what_it_looks_for() -> None:
    """The same watch catches a clock that is read and a file that is opened in a session."""
    clock = UNTOUCHED.replace("def run():\n", "def run():\n    time.monotonic()\n")
    opens = UNTOUCHED.replace("def run():\n", "def run():\n    open('README.md').close()\n")
    variable = UNTOUCHED.replace("def run():\n", "def run():\n    os.environ.get('HOME')\n")
    for code, what in (
        (clock, "time.monotonic was used"),
        (opens, "README.md"),
        (variable, "the environment was asked for get"),
    ):
        with pytest.raises(AssertionError, match=re.escape(what)):
            python(code)


def test_to_import_the_package_loads_nothing_else() -> None:
    """`import diag` brings in none of its own modules, nor what they need."""
    code = "import diag, sys; print([m for m in sys.modules if m[:5] == 'diag.' or m == 'yaml'])"
    assert "[]" == python(code)


def test_each_public_name_is_there() -> None:
    """Every name in `__all__` can be fetched, and no other one is made up."""
    assert [] == [name for name in diag.__all__ if not hasattr(diag, name)]
    with pytest.raises(AttributeError, match="module `diag` has no `Sessions`"):
        _ = diag.Sessions


TYPED = """\
from diag import NotUnderstood, Problem, ProblemsFound, Question, Session, Standing, load_rules


def leading(folder: str, answers: dict[str, str]) -> str:
    try:
        session = Session(load_rules(folder), complaint="does not rise")
    except ProblemsFound as found:
        problems: tuple[Problem, ...] = found.problems
        return str(problems[0])
    while not session.done:
        question: Question = session.question
        try:
            session.answer(answers.get(question.finding, "unsure"))
        except NotUnderstood as refused:
            return str(refused)
    again = Session.resume(session.rulebook, session.events)
    standing: Standing = again.verdict
    return f"{standing.causes[0].title} {standing.causes[0].share:.2f} {again.why()[0]}"
"""


@pytest.mark.skipif(importlib.util.find_spec("mypy") is None, reason="mypy is not installed")
def test_the_library_is_typed_for_its_users(tmp_path: Path) -> None:
    """A strict type checker passes right use of the library, and finds a wrong one."""
    assert (ROOT / "diag" / "py.typed").is_file()
    sample = tmp_path / "sample.py"
    for wrong, code in ((False, TYPED), (True, TYPED.replace("].share:", "].shares:"))):
        sample.write_text(code, encoding="utf-8")
        cache = ("--cache-dir", str(tmp_path / "cache"))
        done = subprocess.run(
            [sys.executable, "-m", "mypy", "--strict", "--follow-imports=silent",
             "--config-file=", *cache, str(sample)],
            cwd=ROOT, capture_output=True, text=True,
        )  # fmt: skip
        assert ('"Suspicion" has no attribute "shares"' in done.stdout) is wrong
        assert (1 if wrong else 0) == done.returncode, done.stdout + done.stderr


def test_the_lines_in_the_readme_run(
    cases: dict[str, Case], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The block under `As a library` is about ten lines and finds what is wrong with a loaf."""
    monkeypatch.chdir(ROOT)
    section = (ROOT / "README.md").read_text(encoding="utf-8").split("## As a library\n")[1]
    block = re.findall(r"```python\n(.*?)```", section, re.S)[0]
    assert len([line for line in block.splitlines() if line.strip()]) <= 10
    assert BREAD in block
    bench = bench_of(cases["an old packet"], cases["a good loaf"])
    names: dict[str, Rulebook] = {}
    names["input"] = lambda _: bench.reply(names["session"].question)  # type: ignore[assignment, attr-defined]
    exec(block, names)
    printed = capsys.readouterr().out
    assert "Does it smell of gas?" in printed
    assert printed.splitlines()[-1].startswith("proved ('The yeast is dead: ")
