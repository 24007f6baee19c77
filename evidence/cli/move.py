"""``sillmark move``: give filed evidence its role, place or job."""

from datetime import datetime
from pathlib import Path

import click

from evidence import moving
from evidence.cli import _clock
from evidence.cli._astray import astray
from evidence.cli._choosing import Word, role_option
from evidence.cli._tell import tell_error, to_stderr
from evidence.errors import ExitCode, SillmarkError, UsageError, printable
from evidence.guard import Guard
from evidence.model.names import Role
from evidence.moving import MoveReason
from evidence.phrases import say

REASONS = [reason.value for reason in MoveReason]


@click.command(
    "move",
    short_help="Give filed evidence another role or place, or move it to another job.",
    epilog="Example: sillmark move jobs/AMB-0417 E031 --as hook-position --for p1 --reason role-given",
)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("exhibits", metavar="ITEM...", nargs=-1, required=True)
@click.option(
    "--to", metavar="JOB", type=click.Path(path_type=Path), help="Job folder that it belongs to instead."
)
@role_option("What it shows, e.g. hook-position.")
@click.option("--for", "subject", metavar="ID", help="What it belongs to: vehicle, p1, g1, i2 ...")
@click.option(
    "--reason",
    required=True,
    metavar="WHY",
    type=Word(REASONS),
    help=f"Why; the log of each job keeps it: {', '.join(REASONS)}.",
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
    """Move each ITEM of JOB to another role, place or job; the log of each job says so and why."""
    if to is None and role is None and subject is None:
        raise UsageError.one("move-where", ", ".join(exhibits))
    now, worst, refused = _clock.issued(at).text, ExitCode.CLEAR, list[str]()
    with Guard(environment=_clock.child_environment()) as guard:
        for exhibit in exhibits:
            order = moving.MoveOrder(
                exhibit, to, Role(role) if role else None, subject, MoveReason(reason), now
            )
            try:
                _tell(job, order, moving.move(job, order, guard.run))
            except SillmarkError as error:
                worst = max(worst, tell_error(error, last="" if len(exhibits) > 1 else None))
                refused.append(exhibit)
    if len(exhibits) > 1 and refused:
        counts = {"moved": str(len(exhibits) - len(refused)), "count": str(len(exhibits))}
        to_stderr(say("moved-some", {**counts, "refused": refused}))
    raise click.exceptions.Exit(worst)


def _tell(job: Path, order: moving.MoveOrder, moved: moving.Moved) -> None:
    entry, exhibit = moved.entry, order.exhibit
    parameters = {"exhibit": exhibit, "job": moved.job, "id": entry.id, "role": entry.role.value}
    parameters |= {"subject": entry.subject, "file": str(entry.file)}
    click.echo(printable(say("moved-to-job" if order.to else "moved-within", parameters)))
    if moved.record and moved.item:
        for line in astray(order.to or job, moved.record, entry, moved.item):
            to_stderr(f"  {line}")
    for slot in moved.opened:
        waits = {"id": slot.id, "role": slot.role.value, "subject": slot.subject}
        click.echo(say("moved-opened", {**waits, "path": printable(str(job))}))
    if moved.dropped:
        click.echo(say("moved-dropped", {"dropped": list(moved.dropped), "id": entry.id}))
    if moved.stays:
        to_stderr(say("moved-file-stays", {"path": moved.stays}))
