"""``sillmark check``: judge jobs and list what is open."""

import json
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click
import jinja2

from evidence import earlier, files, namesakes, pipeline
from evidence.cli import _clock
from evidence.cli._gaps import gaps
from evidence.cli._sorted import few
from evidence.cli._tell import Progress, tell_error, to_stderr
from evidence.errors import ExitCode, SillmarkError, printable
from evidence.guard import Guard
from evidence.likenesses import Alike, Picture, alike, pictures
from evidence.phrases import say, tell
from evidence.report import check_view
from evidence.typeset import Typesetter
from evidence.worklist.punch import By
from evidence.worklist.sheets import SOURCES, sheets_data
from evidence.worklist.told import lists_view
from evidence.worklist.vehicle import Vehicle

ONE, MANY = "check.txt.j2", "lists.txt.j2"


@dataclass
class _Run:
    """What one call gathers, job by job."""

    worst: ExitCode = ExitCode.CLEAR
    checked: list[tuple[Path, pipeline.CheckedJob]] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)

    @property
    def vehicles(self) -> list[Vehicle]:
        """The judged jobs as the lists take them."""
        return [Vehicle(one.check, one.judged, one.demands, one.names) for _, one in self.checked]

    @property
    def pictures(self) -> list[Picture]:
        """Their photos, as far as they can be compared."""
        judged = [checked.judged for _, checked in self.checked]
        items = [
            (one.record.id, {exhibit: each.item for exhibit, each in one.filed.items()}) for one in judged
        ]
        return [each for job, filed in items for each in pictures(job, filed)]


@click.command(
    "check",
    short_help="Judge jobs and list what is open, by who closes it.",
    epilog="Example: sillmark check jobs/* --by person --sheets monday.pdf",
)
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON object per line and job, for machines.")
@click.option(
    "--as-of", type=_clock.DayText(), help="Judge validities on this day [default: release day, else today]."
)
@click.option("--known-on", type=_clock.DayText(), help="Look only at evidence filed by this day.")
@click.option("--each", is_flag=True, help="With several jobs: the whole text of each, not grid and list.")
@click.option(
    "--by", type=click.Choice(["trade", "person"]), help="Whom the points are listed for  [default: trade]."
)
@click.option(
    "--sheets",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also write grid and lists as PDF to print.",
)
@click.option(
    "--against",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Also look whether photos repeat those of the sealed bundles in DIR; may be given several times.",
)
def command(
    jobs: tuple[Path, ...],
    *,
    as_json: bool,
    as_of: date | None,
    known_on: date | None,
    each: bool,
    by: By | None,
    sheets: Path | None,
    against: tuple[Path, ...],
) -> None:
    """Judge JOBS and list what is open: of one job its points, of several a grid and who has what to do."""
    now = _clock.issued(None)
    sealed = earlier.sealed(against)
    run = _judge(jobs, pipeline.Days(now.at.date(), as_of, known_on), now.text)
    records = [(folder, checked.judged.record) for folder, checked in run.checked]
    shared = [say(each.code, each.parameters) for each in namesakes.among(records)]
    for line in (*few(shared), *few(_alike(run)), *_repeated(run, sealed)):
        to_stderr(line)
    if as_json:
        for _, checked in run.checked:
            document = checked.check.document(nulls=True)
            click.echo(json.dumps(document, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
    elif each or (len(jobs) == 1 and by is None):
        for folder, checked in run.checked:
            click.echo(_text(folder, checked, now.at.date()))
    elif run.checked:
        click.echo(_rendered(MANY, lists_view(run.vehicles, by or "trade", unread=run.unread)))
    if sheets is not None and run.checked:
        _print(run.vehicles, by or "trade", sheets, now.at)
    raise click.exceptions.Exit(run.worst)


def _alike(run: _Run) -> list[str]:
    """Photos that look nearly the same, within a job and from one to another; told beside the answer."""
    contradicted = {
        (checked.judged.record.id, frozenset(each.exhibits))
        for _, checked in run.checked
        for each in checked.check.contradictions
    }
    told = (one for one in alike(run.pictures) if not _told_as(one) & contradicted)
    return [say(one.code, one.parameters) for one in told]


def _repeated(run: _Run, sealed: earlier.Earlier) -> list[str]:
    """What was passed over of the bundles to compare with, then photos that look like one of theirs."""
    passed = [tell(each) for each in sealed.passed]
    found = [say(one.code, one.parameters) for one in earlier.repeated(run.pictures, sealed.pictures)]
    counts = {"photos": str(len(sealed.pictures)), "bundles": str(sealed.bundles)}
    return [*few(passed), *few(found), *([say("earlier-compared", counts)] if sealed.bundles else [])]


def _told_as(one: Alike) -> set[tuple[str, frozenset[str]]]:
    """The job and the two photos, as a contradiction between them names them; none where they lie in two jobs."""
    if one.picture.job != one.earlier.job:
        return set()
    return {(one.picture.job, frozenset((one.picture.exhibit, one.earlier.exhibit)))}


def _judge(folders: tuple[Path, ...], days: pipeline.Days, at: str) -> _Run:
    """Judge one job after the other; one that cannot be read is told and does not keep the others."""
    run, progress = _Run(), Progress()
    with Guard(environment=_clock.child_environment()) as guard:
        for folder in folders:
            progress("step-examine", job=folder.name)
            try:
                checked = pipeline.check_job(folder, days, at, guard)
            except SillmarkError as error:
                last = "hint-each" if len(folders) > 1 else None
                run.worst = max(run.worst, tell_error(error, last=last))
                run.unread.append(str(folder))
                continue
            run.checked.append((folder, checked))
            run.worst = max(run.worst, ExitCode.OPEN if checked.check.open else ExitCode.CLEAR)
    return run


def _print(vehicles: list[Vehicle], by: By, target: Path, at: datetime) -> None:
    """Write the sheets; an older print of the same name gives way, for it is one day's list."""
    with Typesetter(environment=_clock.child_environment()) as typesetter:
        pdf = typesetter.sheets(SOURCES, sheets_data(vehicles, by, at), at)
    files.write_file(target, pdf, overwrite=True)
    to_stderr(say("worklist-written", {"path": str(target)}))


def _text(folder: Path, checked: pipeline.CheckedJob, today: date) -> str:
    found = gaps(folder, checked.judged.record)
    view = check_view(checked.check, checked.judged, today, gaps=found, names=checked.names)
    return _rendered(ONE, view)


def _rendered(template: str, view: dict[str, Any]) -> str:
    source = files.packaged("templates", "pages", template).read_text(encoding="utf-8")
    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=False,  # noqa: S701 - plain text for a terminal
    )
    environment.filters["printable"] = printable
    return environment.from_string(source).render(view).rstrip("\n")
