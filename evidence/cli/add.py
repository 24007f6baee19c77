"""``sillmark add``: file evidence in a job."""

from datetime import datetime
from pathlib import Path

import click

from evidence import filing
from evidence.cli import _clock
from evidence.cli._tell import tell_error, to_stderr
from evidence.errors import ExitCode, SillmarkError, printable
from evidence.guard import Guard
from evidence.model.exhibit import Item
from evidence.model.names import Role
from evidence.phrases import hint, knows, say


@click.command(
    "add",
    short_help="File evidence in a job and say what it shows.",
    epilog="Example: sillmark add jobs/AMB-0417 IMG_2231.jpg --as hook-position --for p1",
)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--as",
    "role",
    required=True,
    metavar="ROLE",
    type=click.Choice([role.value for role in Role]),
    help="What the files show, e.g. hook-position or type-test-report.",
)
@click.option(
    "--for", "subject", help="What they belong to: vehicle, p1, g1, i2 ...  [default: first open slot]"
)
@_clock.at_option
def command(job: Path, files: tuple[Path, ...], role: str, subject: str | None, at: datetime | None) -> None:
    """File FILES in JOB as evidence and say what each shows."""
    now = _clock.issued(at).text
    worst, refused = ExitCode.CLEAR, list[Path]()
    several = len(files) > 1
    with Guard(environment=_clock.child_environment()) as guard:
        for source in files:
            try:
                added = filing.add(job, source, Role(role), subject, now, guard.run)
            except SillmarkError as error:
                worst = max(worst, tell_error(error, last="" if several else None))
                refused.append(source)
                continue
            _tell(added)
    if several and refused:
        names = [str(source) for source in refused]
        counts = {"filed": str(len(files) - len(refused)), "count": str(len(files))}
        to_stderr(say("added-some", {**counts, "refused": names}))
    raise click.exceptions.Exit(worst)


def _tell(added: filing.Added) -> None:
    entry = added.entry
    parameters = {"id": entry.id, "role": entry.role.value, "subject": entry.subject, "file": str(entry.file)}
    click.echo(say("added", parameters))
    for line in _shows(added.item):
        click.echo(f"  {line}")
    if added.same_as:
        click.echo(f"  {say('added-same-file', {'found': list(added.same_as)})}")
    for code in added.item.warnings:
        if code == "exhibit-extension":  # the copy has the right ending already
            click.echo(f"  {say('added-renamed', {'name': printable(added.source.name)})}")
            continue
        click.echo(f"  {say(code) if knows(code) else code} {hint(code)}".rstrip())


def _shows(item: Item) -> list[str]:
    if item.photo:
        taken = item.photo.taken or say("no-camera-time")
        fields = {"width": str(item.photo.width), "height": str(item.photo.height), "taken": taken}
        return [say("shows-photo", {**fields, "camera": item.photo.camera or "-"})]
    if item.pdf:
        return [say("shows-document", {"pages": str(item.pdf.pages)})]
    if item.table:
        columns = [f"{each.name} [{each.unit or '-'}]" for each in item.table.columns]
        return [say("shows-table", {"rows": str(item.table.rows), "columns": columns})]
    return []
