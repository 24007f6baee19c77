"""``sillmark start``: make a job folder, or print its work card and tickets again."""

from datetime import datetime
from pathlib import Path

import click

from evidence import namesakes, starting
from evidence.cli import _clock
from evidence.cli._choosing import Between
from evidence.cli._tell import to_stderr
from evidence.errors import printable
from evidence.phrases import say


@click.command(
    "start",
    short_help="Make a job folder with every expected evidence item open, a work card and tickets.",
    epilog="Example: sillmark start jobs/AMB-0417 --profile heron-2.yaml --pack en-1789-2020@1 --build BW-2231",
)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--profile",
    "profiles",
    multiple=True,
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Fitting profile; it is copied in. May be repeated for revisions of one manual: the one in force is taken.",
)
@click.option(
    "--pack",
    "packs",
    multiple=True,
    metavar="PACK",
    help="Pack of what the vehicle is built to, e.g. en-1789-2020@1; may be repeated. `sillmark register list` shows them."
    "  [default: common-practice@1]",
)
@click.option("--vin", metavar="VIN", help="Vehicle identification number, where known.")
@click.option("--build", metavar="NUMBER", help="Build number; this or --vin is needed.")
@click.option(
    "--positions",
    metavar="N",
    type=Between(1, starting.MAX_POSITIONS),
    default=1,
    show_default=True,
    help=f"Number of stretcher places, 1 to {starting.MAX_POSITIONS}.",
)
@click.option("--reprint", is_flag=True, help="Print card and tickets of an existing job again, same codes.")
@_clock.at_option
def command(
    job: Path,
    profiles: tuple[Path, ...],
    packs: tuple[str, ...],
    vin: str | None,
    build: str | None,
    positions: int,
    reprint: bool,  # noqa: FBT001 - a flag of the command
    at: datetime | None,
) -> None:
    """Make the job folder JOB with every expected evidence item open, a work card and tickets to print."""
    issued = _clock.issued(at).text
    if reprint:
        _refuse_with_reprint(click.get_current_context())
        _tell_paper(starting.reprint(job, issued, _clock.child_environment()))
        return
    order = starting.StartOrder(
        profiles,
        packs or ("common-practice@1",),
        issued,
        vin,
        build,
        positions,
        _clock.child_environment(),
    )
    started = starting.start(job, order)
    if started.not_in_force is not None:
        to_stderr(say("started-not-in-force", {"profile": started.not_in_force, "day": issued[:10]}))
    for shared in namesakes.siblings(job, started.record.vehicle):
        to_stderr(say(shared.code, shared.parameters))
    still_open = [entry for entry in started.record.exhibits if not isinstance(entry.file, str)]
    click.echo(say("started", {"job": printable(str(job)), "count": str(len(still_open))}))
    for entry in still_open:
        click.echo(f"  {entry.id}  {entry.role.value}  {entry.subject}")
    _tell_paper(started)


def _refuse_with_reprint(context: click.Context) -> None:
    """Nothing else can be said with a reprint: it would look as if the job were changed."""
    given = [
        parameter.opts[0]
        for parameter in context.command.params
        if isinstance(parameter, click.Option)
        and parameter.name not in ("reprint", "at")
        and context.get_parameter_source(parameter.name or "") == click.core.ParameterSource.COMMANDLINE
    ]
    if given:
        raise click.UsageError(f"--reprint prints from job.yaml and takes no {', '.join(given)}.")


def _tell_paper(started: starting.Started) -> None:
    click.echo(say("started-paper"))
    parameters = {"path": printable(str(started.card)), "count": str(started.pages)}
    click.echo(say("started-card", parameters))
    if started.tickets is None:
        to_stderr(say("started-no-tickets"))
    else:
        click.echo(say("started-tickets", {"path": printable(str(started.tickets))}))
