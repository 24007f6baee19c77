"""``sillmark anchorage``: what the bolts of a floor fixing take, as a plausibility check."""

import json
from pathlib import Path

import click

from evidence import files
from evidence.anchoring import Told, computed
from evidence.cli import _anchorage
from evidence.cli._tell import to_stderr
from evidence.drawing.bolts import bolts_svg
from evidence.errors import ExitCode, UsageError, printable
from evidence.phrases import say
from evidence.record.yamltext import MAX_BYTES


@click.command(
    "anchorage",
    short_help="Work out what the bolts of a floor fixing take; a plausibility check.",
    epilog="Example: sillmark anchorage floor-plate.yaml --plot floor-plate.svg",
)
@click.argument("sheet", metavar="SHEET", type=click.Path(path_type=Path))
@click.option(
    "--plot", type=click.Path(path_type=Path, dir_okay=False), help="Also draw pattern and loads, as SVG."
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for machines.")
def command(sheet: Path, *, plot: Path | None, as_json: bool) -> None:
    """Read SHEET and work out pull, shear and reserve of every bolt in every direction.

    SHEET is a YAML file of the format sillmark-anchorage/0: masses with their centres of gravity, accelerations by
    direction, the bolts, and the pivot about which the plate turns. The answer is arithmetic on what the sheet says, no
    design approval: the maker's manual, the vehicle maker and a licensed engineer decide. So it always exits with 0
    where it could be computed, however small a reserve is.
    """
    if plot is not None and plot.suffix.casefold() != ".svg":
        raise UsageError.one("anchorage-plot-ending", str(plot), found=plot.name)
    found = computed(files.read_capped(sheet, MAX_BYTES), str(sheet))
    if plot is not None:
        files.write_file(plot, bolts_svg(Told(found, say).pattern()).encode("utf-8"), overwrite=True)
        to_stderr(say("anchorage-plot-written", {"path": str(plot)}))
    if as_json:
        document = _anchorage.document(found)
        click.echo(json.dumps(document, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
    else:
        click.echo("\n".join(map(printable, _anchorage.lines(found))))
    raise click.exceptions.Exit(ExitCode.CLEAR)
