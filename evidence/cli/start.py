"""``sillmark start``: make a job folder."""

from datetime import datetime
from pathlib import Path

import click

from evidence import filing
from evidence.cli import _clock
from evidence.errors import printable
from evidence.phrases import say


@click.command(
    "start",
    short_help="Make a job folder with every expected evidence item open.",
    epilog="Example: sillmark start jobs/AMB-0417 --profile heron-2.yaml --pack en-1789-2020@1 --build BW-2231",
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--profile", required=True, type=click.Path(path_type=Path), help="Fitting profile; it is copied in."
)
@click.option(
    "--pack", "packs", multiple=True, help="Pack of the basis, e.g. en-1789-2020@1; may be repeated."
)
@click.option("--vin", help="Vehicle identification number, where known.")
@click.option("--build", help="Build number; this or --vin is needed.")
@_clock.at_option
def command(
    job: Path, profile: Path, packs: tuple[str, ...], vin: str | None, build: str | None, at: datetime | None
) -> None:
    """Make the job folder JOB with every expected evidence item open."""
    order = filing.StartOrder(profile, packs or ("common-practice@1",), _clock.issued(at).text, vin, build)
    record = filing.start(job, order)
    still_open = [entry for entry in record.exhibits if not isinstance(entry.file, str)]
    click.echo(say("started", {"job": printable(str(job)), "count": str(len(still_open))}))
    for entry in still_open:
        click.echo(f"  {entry.id}  {entry.role.value}  {entry.subject}")
