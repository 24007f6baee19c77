"""Lines for people on stderr, and the exit code that goes with an error."""

import errno
import os
import sys
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from traceback import walk_tb

import click

from evidence.errors import ExitCode, InputError, Problem, SillmarkError, printable
from evidence.phrases import UNKNOWN, hint, say, tell

MAX_SHOWN = 50  # problems printed for one input; more are counted
MAX_LIKE = 5  # problems of one code printed for one file; more are counted


def tell_error(error: SillmarkError, *, last: str | None = None) -> ExitCode:
    """Print the problems of an error, each hint once, then the class's hint; return its exit code.

    Args:
        error: what went wrong.
        last: code of the closing line instead of the class's hint; empty for none.
    """
    for line in _lines(error.problems):
        to_stderr(line)
    closing = error.hint if last is None else last
    if closing:
        to_stderr(say(closing))
    return error.exit_code


def _lines(problems: Iterable[Problem]) -> list[str]:
    """At most ``MAX_LIKE`` problems of one code and file, then how many more; what to do stands behind the last."""
    alike: dict[tuple[str, str], list[Problem]] = {}
    for problem in problems:
        alike.setdefault((problem.order()[0], problem.code), []).append(problem)
    last = {code: (file, code) for file, code in alike}  # where several files have it, below the last of them
    lines: list[str] = []
    shown: Counter[str] = Counter()
    for key, group in alike.items():
        count = max(0, min(len(group), MAX_LIKE, MAX_SHOWN - shown.total()))
        shown[key[1]] += count
        lines += [tell(problem).split("\n")[0] for problem in group[:count]]
        if len(group) > count:
            lines.append("    " + say("more-like-it", {"count": str(len(group) - count), "where": key[0]}))
        if last[key[1]] == key and (advice := hint(key[1])):
            lines.append(f"    {advice}")
    return lines


def to_stderr(line: str) -> None:
    """One line for people; where it cannot be written, the exit code has to do."""
    with suppress(OSError):
        click.echo(printable(line), err=True)


def system_error(error: OSError) -> InputError:
    """What the system refused at a place that no stage has told better."""
    place = error.filename if isinstance(error.filename, str) else "sillmark"
    reason = errno.errorcode.get(error.errno or 0, UNKNOWN)
    return InputError((Problem("system-refused", place, "", {"reason": reason}),))


def output_error(error: OSError) -> InputError | None:
    """The same for an answer that its reader's disk or device did not take; None where it was something else."""
    writers = (frame.f_globals.get("__name__") for frame, _ in walk_tb(error.__traceback__))
    if click.utils.__name__ not in writers:
        return None
    _drop_output()
    reason = errno.errorcode.get(error.errno or 0, UNKNOWN)
    return InputError((Problem("output-refused", "stdout", "", {"reason": reason}),))


def _drop_output() -> None:
    """What is still waiting for a stream that takes nothing would be tried, and complained of, once more at the end."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


class Progress:
    """One line on stderr per step of long work; silent where nobody watches a terminal."""

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()

    def __call__(self, code: str, **parameters: str) -> None:
        """Say a step."""
        if self._shown:
            to_stderr(say(code, parameters))
