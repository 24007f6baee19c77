"""``sillmark gauge``: print the card that photos are measured by."""

from datetime import datetime
from pathlib import Path

import click

from evidence import files
from evidence.card.gauge import SOURCES, GaugeOrder, gauge_sheet
from evidence.cli import _clock
from evidence.cli._choosing import Word
from evidence.cli._tell import to_stderr
from evidence.dossier import Paper
from evidence.errors import UsageError, printable
from evidence.phrases import say
from evidence.typeset import Typesetter

PAPERS: dict[str, Paper] = {"a4": "a4", "letter": "us-letter"}


@click.command(
    "gauge",
    short_help="Print the gauge card that photos are measured by.",
    epilog="Example: sillmark gauge -o gauge-card.pdf --serial GC-007",
)
@click.option(
    "-o",
    "target",
    metavar="FILE",
    required=True,
    type=click.Path(path_type=Path),
    help="Where the PDF goes; a file that is there is never written over.",
)
@click.option(
    "--paper",
    metavar="PAPER",
    type=Word(list(PAPERS)),
    default="a4",
    show_default=True,
    help="Paper in the printer: a4 or letter.",
)
@click.option(
    "--serial", metavar="SERIAL", help="Serial of the card.  [default: GC- and the minute of printing]"
)
@_clock.at_option
def command(target: Path, paper: str, serial: str | None, at: datetime | None) -> None:
    """Print one gauge card with its slider: to be printed at 100 %, measured, cut out and checked."""
    order = GaugeOrder(serial, PAPERS[paper], _clock.issued(at).at)
    data = gauge_sheet(order, say)
    if files.is_there(target):
        raise UsageError.one("file-exists", str(target))  # said before anybody waits for the typesetter
    with Typesetter(environment=_clock.child_environment()) as typesetter:
        pdf = typesetter.sheets(SOURCES, data, order.printed)
    files.write_file(target, pdf)
    click.echo(say("gauge-written", {"serial": order.shown_serial, "path": printable(str(target))}))
    to_stderr(say("gauge-print"))
