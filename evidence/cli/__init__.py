"""The command line: the only reader of clock and environment; parses, calls the pipeline, prints, exits.

A command's module is imported when that command runs, so that ``--help`` stays as quick as a bare click program.
"""

import sys
from importlib import import_module
from io import TextIOWrapper
from typing import Any

import click

from evidence import __version__

# name -> one line of help; a test holds these lines equal to the commands' own
COMMANDS: dict[str, str] = {
    "start": "Make a job folder with every expected evidence item open, a work card and tickets.",
    "add": "File evidence in a job and say what it shows.",
    "move": "Give filed evidence another role or place, or move it to another job.",
    "check": "Judge jobs and list what is open, by who closes it.",
    "assemble": "Make the sealed bundle of each job: manifest and dossier.",
    "verify": "Check bundles step by step; one bottom line each.",
    "print": "Print copies of a sealed dossier, or two pages of it for the vehicle.",
    "pulse": "Filter measured channels of a crash test and give their figures.",
    "anchorage": "Work out what the bolts of a floor fixing take; a plausibility check.",
    "key": "Make, list, pin and export signing keys.",
    "gauge": "Print the gauge card that photos are measured by.",
    "measure": "Measure the hook position from photos of the gauge card.",
    "register": "Show standards, editions and the packs that hold their clauses.",
}


class _LazyGroup(click.Group):
    """Lists commands without importing them."""

    def list_commands(self, _context: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command: click.Command = import_module(f"evidence.cli.{name}").command
        return command

    def invoke(self, context: click.Context) -> Any:
        """Run a command; errors of ours and of the system become lines on stderr and an exit code."""
        from evidence.errors import SillmarkError  # noqa: PLC0415 - not needed for --help

        try:
            return super().invoke(context)
        except SillmarkError as error:
            from evidence.cli._tell import tell_error  # noqa: PLC0415

            context.exit(tell_error(error))
        except KeyboardInterrupt:
            context.exit(_interrupted())

    def main(self, *arguments: Any, **options: Any) -> Any:
        """Run the whole of it; help and answers go through here too, so a full disk is told once and for all."""
        try:
            return super().main(*arguments, **options)
        except OSError as error:
            from evidence.cli._tell import output_error, system_error, tell_error  # noqa: PLC0415

            sys.exit(tell_error(output_error(error) or system_error(error), last=""))

    def format_commands(self, _context: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="sillmark")
def cli() -> None:
    """Turn the proof of a stretcher retention fitting into one sealed bundle per ambulance.

    The tool shows evidence; it never certifies. Exit codes: 0 nothing open or verified, 1 something open,
    2 usage, 3 input cannot be read, 4 not verified, 5 a needed program or extra is absent.
    """


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            # a terminal without UTF-8 must not turn a printed serial into a crash
            stream.reconfigure(errors="backslashreplace")
    try:
        cli(prog_name="sillmark")
    except KeyboardInterrupt:
        sys.exit(_interrupted())


def _interrupted() -> int:
    from evidence.cli._tell import to_stderr  # noqa: PLC0415
    from evidence.errors import ExitCode  # noqa: PLC0415
    from evidence.phrases import say  # noqa: PLC0415

    to_stderr(say("interrupted"))
    return ExitCode.INTERRUPTED
