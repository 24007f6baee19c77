"""``sillmark move``: give filed evidence its role, place or job."""

from datetime import datetime
from pathlib import Path

import click

from evidence import moving
from evidence.cli import _clock
from evidence.cli._tell import tell_error, to_stderr
from evidence.errors import ExitCode, SillmarkError, UsageError, printable
from evidence.guard import Guard
from evidence.model.names import Role
from evidence.moving import MoveReason
from evidence.phrases import say


@click.command(
    "move",
    short_help="Give filed evidence another role or place, or move it to another job.",
    epilog="Example: sillmark move jobs/AMB-0417 E031 --as hook-position --for p1 --reason role-given",
)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("exhibits", metavar="EXHIBIT...", nargs=-1, required=True)
@click.option("--to", type=click.Path(path_type=Path), help="Job folder that it belongs to instead.")
@click.option(
    "--as",
    "role",
    metavar="ROLE",
    type=click.Choice([role.value for role in Role]),
    help="What it shows, e.g. hook-position.",
)
@click.option("--for", "subject", help="What it belongs to: vehicle, p1, g1, i2 ...")
@click.option(
    "--reason",
    required=True,
    type=click.Choice([reason.value for reason in MoveReason]),
    help="Why; the log of each job keeps it.",
)
@_clock.at_option
def command(
    job: Path,
    exhibits: tuple[str, ...],
    *,
    to: Path | None,
    role: str | None,
    subject: str | None,
    reason: str,
    at: datetime | None,
) -> None:
    """Move each EXHIBIT of JOB to another role, place or job; the log of each job says so and why."""
    if to is None and role is None and subject is None:
        raise UsageError.one("move-where", ", ".join(exhibits))
    now, worst = _clock.issued(at).text, ExitCode.CLEAR
    with Guard(environment=_clock.child_environment()) as guard:
        for exhibit in exhibits:
            order = moving.MoveOrder(
                exhibit, to, Role(role) if role else None, subject, MoveReason(reason), now
            )
            try:
                _tell(job, order, moving.move(job, order, guard.run))
            except SillmarkError as error:
                worst = max(worst, tell_error(error, last="" if len(exhibits) > 1 else None))
    raise click.exceptions.Exit(worst)


def _tell(job: Path, order: moving.MoveOrder, moved: moving.Moved) -> None:
    entry, exhibit = moved.entry, order.exhibit
    parameters = {"exhibit": exhibit, "job": moved.job, "id": entry.id, "role": entry.role.value}
    parameters |= {"subject": entry.subject, "file": str(entry.file)}
    click.echo(printable(say("moved-to-job" if order.to else "moved-within", parameters)))
    if moved.opened:
        click.echo(say("moved-opened", {"ids": list(moved.opened), "path": printable(str(job))}))
    if moved.stays:
        to_stderr(say("moved-file-stays", {"path": moved.stays}))
