"""``sillmark check``: judge jobs and list what is open."""

import json
from datetime import date
from pathlib import Path

import click
import jinja2

from evidence import files, pipeline
from evidence.cli import _clock
from evidence.cli._tell import Progress, tell_error
from evidence.errors import ExitCode, SillmarkError, printable
from evidence.guard import Guard
from evidence.jobs import missing, unlisted
from evidence.report import check_view

TEMPLATE = ("pages", "check.txt.j2")


@click.command(
    "check",
    short_help="Judge jobs and list what is open, by who closes it.",
    epilog="Example: sillmark check jobs/AMB-0417",
)
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON object per line and job, for machines.")
@click.option(
    "--as-of", type=_clock.DayText(), help="Judge validities on this day [default: release day, else today]."
)
@click.option("--known-on", type=_clock.DayText(), help="Look only at evidence filed by this day.")
def command(jobs: tuple[Path, ...], *, as_json: bool, as_of: date | None, known_on: date | None) -> None:
    """Judge JOBS and list what is open, by who closes it."""
    now = _clock.issued(None)
    days = pipeline.Days(now.at.date(), as_of, known_on)
    progress, worst = Progress(), ExitCode.CLEAR
    with Guard(environment=_clock.child_environment()) as guard:
        for folder in jobs:
            progress("step-examine", job=folder.name)
            try:
                worst = max(worst, _one(folder, days, now.text, guard, as_json=as_json))
            except SillmarkError as error:
                worst = max(worst, tell_error(error, last="hint-each" if len(jobs) > 1 else None))
    raise click.exceptions.Exit(worst)


def _one(folder: Path, days: pipeline.Days, at: str, guard: Guard, *, as_json: bool) -> ExitCode:
    checked = pipeline.check_job(folder, days, at, guard)
    if as_json:
        document = checked.check.document(nulls=True)
        click.echo(json.dumps(document, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
    else:
        click.echo(_text(folder, checked, days.today))
    return ExitCode.OPEN if checked.check.open else ExitCode.CLEAR


def _text(folder: Path, checked: pipeline.CheckedJob, today: date) -> str:
    record = checked.judged.record
    view = check_view(
        checked.check,
        checked.judged,
        today,
        missing={exhibit: str(folder / file) for exhibit, file in missing(folder, record)},
        unlisted=[str(folder / file) for file in unlisted(folder, record)],
    )
    source = files.packaged("templates", *TEMPLATE).read_text(encoding="utf-8")
    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=False,  # noqa: S701 - plain text for a terminal
    )
    environment.filters["printable"] = printable
    return environment.from_string(source).render(view).rstrip("\n")
