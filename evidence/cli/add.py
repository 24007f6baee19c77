"""``sillmark add``: file evidence in a job."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import click

from evidence import filing, inbox, jobs, labels
from evidence.cli import _clock, _set_told, _sorted
from evidence.cli._astray import astray
from evidence.cli._choosing import role_option
from evidence.cli._tell import Progress, tell_error, to_stderr
from evidence.errors import ExitCode, InputError, SillmarkError, UsageError, printable
from evidence.exhibits._channel import ChannelSet
from evidence.exhibits.resolution import SMALL_FOR_ROLE, small_for_role
from evidence.guard import Guard
from evidence.likenesses import alike, filed_pictures, picture
from evidence.mentions import Mention
from evidence.model.exhibit import Item, Photo
from evidence.model.names import KEY_PHOTO_ROLES, WINDOW_ROLES, Role
from evidence.model.pages import written
from evidence.phrases import hint, knows, say


@click.command(
    "add",
    short_help="File evidence in a job and say what it shows.",
    epilog="Example: sillmark add jobs/AMB-0417 IMG_2231.jpg --as hook-position --for p1; "
    "sillmark add phone --sort jobs",
)
@click.argument("job", metavar="JOB|INBOX", type=click.Path(path_type=Path))
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@role_option("What the files show, e.g. hook-position or type-test-report.")
@click.option(
    "--for",
    "subject",
    metavar="ID",
    help="What they belong to: vehicle, p1, g1, i2 ...  [default: first open slot]",
)
@click.option(
    "--sort",
    "folder",
    type=click.Path(path_type=Path),
    metavar="JOBS",
    help="Sort the folder INBOX into the job folders in JOBS.",
)
@_clock.at_option
def command(
    job: Path,
    files: tuple[Path, ...],
    *,
    role: str | None,
    subject: str | None,
    folder: Path | None,
    at: datetime | None,
) -> None:
    """File FILES in JOB as evidence and say what each shows; or sort a phone's photos into many jobs.

    The channels of a test are given as the folder of an ISO/TS 13499 set, its zip, or a table with a column of times.
    Of a folder, the channels are kept in one zip; its films and papers are not.

    Sorting places a photo by the ticket in it, by a label whose number one job has, or by time: taken by the same
    phone between two such photos of one place, within ten minutes of each. A folder of INBOX that is named after a
    role says what the files in it show, and one named after a job says whose they are, e.g.
    AMB-0417/type-test-report. What is not certain is not placed. INBOX itself is never changed.
    """
    now = _clock.issued(at).text
    if folder is not None:
        if files or role or subject:
            raise UsageError.one("sort-with-others", str(job))
        raise click.exceptions.Exit(_sort(job, folder, now))
    if not files:
        raise UsageError.one("files-needed", str(job))
    if role is None:
        raise UsageError.one("role-needed", str(job))
    raise click.exceptions.Exit(_add(job, files, Role(role), subject, now))


def _sort(source: Path, folder: Path, now: str) -> ExitCode:
    tools = inbox.Tools(lambda: Guard(environment=_clock.child_environment()), Progress())
    done = inbox.sort_inbox(source, folder, now, tools)
    for line in _sorted.told(done):
        click.echo(printable(line))
    worst = ExitCode.OPEN if done.problems else ExitCode.CLEAR
    for error in done.unread:
        worst = max(worst, tell_error(error, last="hint-sorted"))
    return worst


def _add(job: Path, files: tuple[Path, ...], role: Role, subject: str | None, now: str) -> ExitCode:
    worst, refused, filed = ExitCode.CLEAR, list[Path](), list[filing.Added]()
    several = len(files) > 1
    with Guard(environment=_clock.child_environment()) as guard:
        for source in files:
            try:
                added = filing.add(job, source, role, subject, now, guard.run)
            except SillmarkError as error:
                worst = max(worst, tell_error(error, last="" if several else None))
                refused.append(source)
                continue
            _tell(job, added)
            filed.append(added)
        for line in _sorted.few(_alike(job, filed, guard)):
            click.echo(line)
    if several and refused:
        names = [str(source) for source in refused]
        counts = {"filed": str(len(files) - len(refused)), "count": str(len(files))}
        to_stderr(say("added-some", {**counts, "refused": names}))
    return worst


def _alike(folder: Path, filed: list[filing.Added], guard: Guard) -> list[str]:
    """Which of the new photos look like one that the job has."""
    if not any(each.item.photo for each in filed):
        return []
    job = jobs.load(folder)
    there = filed_pictures(job, guard.run, leave_out=[each.entry.id for each in filed])
    found = (picture(job.record.id, each.entry.id, each.item) for each in filed)
    now = [one for one in found if one is not None]
    return [say(one.code, one.parameters) for one in alike([*there, *now], told_of=now)]


def _tell(job: Path, added: filing.Added) -> None:
    entry = added.entry
    parameters = {"id": entry.id, "role": entry.role.value, "subject": entry.subject, "file": str(entry.file)}
    for exhibit in added.back:
        click.echo(say("added-back", {"exhibit": exhibit}))
    click.echo(say("added-there" if entry.id in added.back else "added", parameters))
    for line in _shows(added.item, entry.role):
        click.echo(f"  {line}")
    found = _set_told.channels_of(added)
    if found is not None:
        _tell_channels(added, found)
    for line in astray(job, added.record, entry, added.item) if added.record else ():
        to_stderr(f"  {line}")
    for line in _mentions(added.mentions):
        click.echo(f"  {line}")
    if added.same_as:
        click.echo(f"  {say('added-same-file', {'found': list(added.same_as)})}")
    for line in _noticed(added):
        click.echo(f"  {line}")
    for line in _set_told.entry_lines(added.record, added, found) if found and added.record else ():
        click.echo(printable(line))


def _noticed(added: filing.Added) -> Iterator[str]:
    """What a reader passed over, and what to do about it."""
    table = added.item.table
    if table and not any(column.unit for column in table.columns):
        yield say("table-without-units", {"id": added.entry.id})
    for code in added.item.warnings:
        if code == "exhibit-extension":  # the copy has the right ending already
            yield say("added-renamed", {"name": printable(added.source.name)})
        else:
            yield f"{say(code) if knows(code) else code} {hint(code)}".rstrip()


def _tell_channels(added: filing.Added, found: ChannelSet) -> None:
    """What channels show, then what is wrong with them, each with file and line."""
    for line in _set_told.told(added, found):
        click.echo(f"  {line}")
    problems = _set_told.problems_of(added, found)
    if problems:
        tell_error(InputError(problems), last="")
        to_stderr(_set_told.doubted(found))


def _mentions(mentions: tuple[Mention, ...]) -> list[str]:
    """What the record claims of the document, as far as its text mentions it or should."""
    found = [(each.claim, each.pages) for each in mentions if each.pages]
    absent = [each.claim.value for each in mentions if not each.pages and each.telling]
    told = [say("claim-on-pages", {"claim": claim.value, "pages": written(pages)}) for claim, pages in found]
    return [
        *([say("shows-mentions", {"claims": told})] if told else []),
        *([say("shows-no-mention", {"claim": absent})] if absent else []),
    ]


def _camera(photo: Photo) -> str:
    """When and with what, as far as the file says it."""
    taken = say("shows-camera-time", {"taken": photo.taken}) if photo.taken else ""
    return taken + (say("shows-camera", {"camera": photo.camera}) if photo.camera else "")


def _shows(item: Item, role: Role) -> list[str]:
    if item.photo:
        fields = {"width": str(item.photo.width), "height": str(item.photo.height)}
        told = [labels.described(labels.read(code.text)) for code in item.photo.codes]
        lines = [say("shows-photo", {**fields, "more": _camera(item.photo)})]
        if told:
            words = "; ".join(say(f"dossier-{code}", parameters) for code, parameters in told)
            lines.append(say("shows-codes", {"codes": words}))
        elif role in KEY_PHOTO_ROLES:
            lines.append(say("shows-no-ticket"))
        if small := small_for_role(item.photo, role):
            lines.append(f"{say(SMALL_FOR_ROLE, small)} {hint(SMALL_FOR_ROLE)}")
        if role == Role.CLOCK_TICKET:
            lines.append(say("shows-clock", {"exhibit": item.id}))
        if role in WINDOW_ROLES.values():
            lines.append(say("shows-window"))
        return lines
    if item.pdf:
        return [say("shows-document", {"pages": str(item.pdf.pages)})]
    if item.table:
        columns = [f"{each.name} [{each.unit or '-'}]" for each in item.table.columns]
        return [say("shows-table", {"rows": str(item.table.rows), "columns": columns})]
    return []
