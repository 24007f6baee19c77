"""``sillmark assemble``: make the sealed bundle of each job."""

import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from datetime import datetime
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import click

from evidence import files, keys, pipeline
from evidence import jobs as job_folders
from evidence.cli import _clock
from evidence.cli._gaps import gaps
from evidence.cli._tell import Progress, system_error, tell_error, to_stderr
from evidence.errors import ExitCode, InputError, Problem, SillmarkError, UsageError, printable
from evidence.phrases import LANGUAGES, say
from evidence.report import file_notices


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
    _check_out(out)
    home = _clock.home()
    identity = keys.load_or_create(home, key).public.id
    make = partial(_make, order=order, home=home, key=identity)
    worst = ExitCode.CLEAR
    for folder, outcome in zip(jobs, _run(jobs, make, workers), strict=True):
        worst = max(worst, _tell(folder, outcome, order, several=len(jobs) > 1))
    raise click.exceptions.Exit(worst)


_Outcome = pipeline.Assembled | SillmarkError


def _languages(text: str) -> tuple[str, ...]:
    languages = tuple(dict.fromkeys(text.split(",")))
    unknown = [language for language in languages if language not in LANGUAGES]
    if unknown:
        raise click.BadParameter(f"{unknown[0]!r} is none of {', '.join(LANGUAGES)}.", param_hint="--lang")
    return languages


def _check_out(out: Path) -> None:
    real = out.resolve()
    for folder in (real, *real.parents):
        if files.is_file(folder / job_folders.JOB):
            raise UsageError.one("out-in-job", str(out), found=str(folder))
    for folder in (out, *out.parents):
        if files.is_there(folder):
            if not files.is_folder(folder):
                raise UsageError.one("out-not-folder", str(folder))
            return


def _run(jobs: tuple[Path, ...], make: Callable[[Path], _Outcome], workers: int) -> Iterator[_Outcome]:
    if workers == 1 or len(jobs) == 1:
        yield from map(make, jobs)
        return
    # spawned, because the typesetter does not survive a fork, and few jobs each, because it keeps memory
    pool = ProcessPoolExecutor(
        workers, mp_context=get_context("spawn"), initializer=_while_idle, max_tasks_per_child=3
    )
    try:
        with _uninterrupted():
            futures = [(folder, pool.submit(_interruptible, make, folder)) for folder in jobs]
        for folder, future in futures:
            yield _result(folder, future)
    finally:
        # an interrupt must not start what is still waiting; what runs has had the same signal and cleans up
        pool.shutdown(wait=True, cancel_futures=True)


def _result(folder: Path, future: "Future[_Outcome]") -> _Outcome:
    try:
        return future.result()
    except BrokenProcessPool:
        return InputError((Problem("worker-died", str(folder)),))


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Workers that are born here ignore an interrupt until they have a job: a half-started one could only complain."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _while_idle() -> None:
    """A worker that waits for its next job has nothing to interrupt; its parent ends it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _interruptible(make: Callable[[Path], _Outcome], folder: Path) -> _Outcome:
    """One job in a worker: an interrupt ends it as it would in the parent, so that nothing half-made stays."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        return make(folder)
    except KeyboardInterrupt:
        return InputError((Problem("worker-died", str(folder)),))  # nobody waits for it any more
    finally:
        _while_idle()


def _make(folder: Path, order: pipeline.AssembleOrder, home: Path, key: str) -> _Outcome:
    try:
        return pipeline.assemble_job(folder, order, keys.load(home, key), Progress())
    except SillmarkError as error:
        return error
    except OSError as error:
        return system_error(error)


def _tell(folder: Path, outcome: _Outcome, order: pipeline.AssembleOrder, *, several: bool) -> ExitCode:
    if isinstance(outcome, SillmarkError):
        open_points = all(problem.code == "open-points" for problem in outcome.problems)
        code = tell_error(outcome, last="hint-each" if several else None)
        return ExitCode.OPEN if open_points else code
    path = printable(str(outcome.written.path))
    parameters = {"job": outcome.job, "path": path, "count": str(outcome.open_points)}
    for language in order.languages:
        click.echo(say("assembled-dossier", {**parameters, "language": language}))
    click.echo(say("assembled-open" if outcome.open_points else "assembled-complete", parameters))
    for line in _loose_ends(folder):
        to_stderr(line)
    return ExitCode.OPEN if outcome.open_points else ExitCode.CLEAR


def _loose_ends(folder: Path) -> list[str]:
    try:
        return file_notices(gaps(folder, job_folders.load(folder).record))
    except SillmarkError:  # somebody works on the folder by now; the bundle is made
        return []
