"""Lines for people on stderr, and the exit code that goes with an error."""

import sys

import click

from evidence.errors import ExitCode, SillmarkError
from evidence.phrases import say, tell

MAX_SHOWN = 50  # problems printed for one input; more are counted


def tell_error(error: SillmarkError) -> ExitCode:
    """Print every problem of an error, then the class's hint; return its exit code."""
    for problem in error.problems[:MAX_SHOWN]:
        click.echo(tell(problem), err=True)
    if len(error.problems) > MAX_SHOWN:
        click.echo(say("more-problems", {"count": str(len(error.problems) - MAX_SHOWN)}), err=True)
    click.echo(say(error.hint), err=True)
    return error.exit_code


class Progress:
    """One line on stderr per step of long work; silent where nobody watches a terminal."""

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()

    def __call__(self, code: str, **parameters: str) -> None:
        """Say a step."""
        if self._shown:
            click.echo(say(code, parameters), err=True)
