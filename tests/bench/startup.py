"""How long a terminal waits: `diag --help` and `diag ask` to its first question, by hand.

Run it with `python tests/bench/startup.py`. It prints medians as multiples of `python -c pass`,
taken in turns in the same run, with byte code in place as it is after an installation. Goals:
help at most 7.5, first question at most 12. The first question is which unit; with unit and
complaint given all rules are read before it.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 15
DIAG = (sys.executable, "-c", "from diag.cli import main; main()")
GOALS = {"diag --help": 7.5, "diag ask, first question": 12.0}
ASKED = ("ask", "--unit", "small 12 V", "--complaint", "will not start")


def _whole(*command: str) -> float:
    """Return the seconds that a command takes from start to end."""
    start = time.perf_counter()
    subprocess.run(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def _first_question(*command: str) -> float:
    """Return the seconds from the start until a question mark is on the output."""
    start = time.perf_counter()
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        while True:
            read = os.read(process.stdout.fileno(), 65536)
            if b"?" in read:
                break
            if not read:
                raise SystemExit("diag ended before its first question")
        seconds = time.perf_counter() - start
        process.kill()
    return seconds


def _once() -> dict[str, float]:
    with tempfile.TemporaryDirectory() as home:
        os.environ["DIAG_HOME"] = home
        loaded = ("battery", "--rest", "12.6", "--terminals", "11.9", "--load-amps", "50")
        return {
            "python -c pass": _whole(sys.executable, "-c", "pass"),
            "diag --help": _whole(*DIAG, "--help"),
            "diag battery": _whole(*DIAG, *loaded),
            "diag ask, first question": _first_question(*DIAG, "ask"),
            "diag ask, unit and complaint given": _first_question(*DIAG, *ASKED),
        }


def _measured() -> list[dict[str, float]]:
    """Return the rounds, after one that writes the byte code and warms the disk's cache."""
    with tempfile.TemporaryDirectory() as compiled:
        os.environ |= {"PYTHONPYCACHEPREFIX": compiled, "PYTHONUNBUFFERED": "1"}
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        _once()
        return [_once() for _ in range(ROUNDS)]


def main() -> None:
    """Print each median in milliseconds, and as a multiple of a bare Python."""
    rounds = _measured()
    for name in rounds[0]:
        median = statistics.median(each[name] for each in rounds)
        ratio = statistics.median(each[name] / each["python -c pass"] for each in rounds)
        goal = f", goal at most {GOALS[name]}" if name in GOALS else ""
        print(f"{name:<36}{median * 1e3:8.1f} ms {ratio:6.2f} times{goal}")


if __name__ == "__main__":
    main()
