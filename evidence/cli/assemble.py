"""``sillmark assemble``: make the sealed bundle of each job."""

from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from datetime import datetime
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import click

from evidence import keys, pipeline
from evidence.cli import _clock
from evidence.cli._tell import Progress, tell_error
from evidence.errors import ExitCode, SillmarkError
from evidence.phrases import LANGUAGES, say


@click.command(
    "assemble",
    short_help="Make the sealed bundle of each job: manifest and dossier.",
    epilog="Example: sillmark assemble jobs/AMB-0417 -o bundles",
)
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("-o", "--out", required=True, type=click.Path(path_type=Path), help="Folder for the bundles.")
@click.option(
    "--key", help="Id of the signing key, or its first digits [default: the only one, made on first use]."
)
@_clock.at_option
@click.option(
    "--lang", default="en", show_default=True, help=f"Languages of the dossier: {', '.join(LANGUAGES)}."
)
@click.option(
    "-j", "workers", default=1, show_default=True, type=click.IntRange(1, 64), help="Jobs at the same time."
)
@click.option("--require-complete", is_flag=True, help="Make no bundle of a job while anything is open.")
def command(
    jobs: tuple[Path, ...],
    out: Path,
    key: str | None,
    at: datetime | None,
    lang: str,
    workers: int,
    *,
    require_complete: bool,
) -> None:
    """Make the sealed bundle of each of JOBS under OUT.

    Open points do not stop a bundle: it says what is open, and the exit code is 1.
    """
    issued = _clock.issued(at)
    order = pipeline.AssembleOrder(
        out=out,
        issued=issued.at,
        issued_from=issued.source,
        languages=_languages(lang),
        require_complete=require_complete,
        child_environment=_clock.child_environment(),
    )
    home = _clock.home()
    identity = keys.load_or_create(home, key).public.id
    make = partial(_make, order=order, home=home, key=identity)
    worst = ExitCode.CLEAR
    for outcome in _run(jobs, make, workers):
        worst = max(worst, _tell(outcome, order))
    raise click.exceptions.Exit(worst)


_Outcome = pipeline.Assembled | SillmarkError


def _languages(text: str) -> tuple[str, ...]:
    languages = tuple(dict.fromkeys(text.split(",")))
    unknown = [language for language in languages if language not in LANGUAGES]
    if unknown:
        raise click.BadParameter(f"{unknown[0]!r} is none of {', '.join(LANGUAGES)}.", param_hint="--lang")
    return languages


def _run(jobs: tuple[Path, ...], make: Callable[[Path], _Outcome], workers: int) -> Iterator[_Outcome]:
    if workers == 1 or len(jobs) == 1:
        yield from map(make, jobs)
        return
    # spawned, because the typesetter does not survive a fork, and few jobs each, because it keeps memory
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn"), max_tasks_per_child=3) as pool:
        yield from pool.map(make, jobs)


def _make(folder: Path, order: pipeline.AssembleOrder, home: Path, key: str) -> _Outcome:
    try:
        return pipeline.assemble_job(folder, order, keys.load(home, key), Progress())
    except SillmarkError as error:
        return error


def _tell(outcome: _Outcome, order: pipeline.AssembleOrder) -> ExitCode:
    if isinstance(outcome, SillmarkError):
        open_points = any(problem.code == "open-points" for problem in outcome.problems)
        code = tell_error(outcome)
        return ExitCode.OPEN if open_points else code
    parameters = {"job": outcome.job, "path": str(outcome.written.path), "count": str(outcome.open_points)}
    for language in order.languages:
        click.echo(say("assembled-dossier", {**parameters, "language": language}))
    click.echo(say("assembled-open" if outcome.open_points else "assembled-complete", parameters))
    return ExitCode.OPEN if outcome.open_points else ExitCode.CLEAR
