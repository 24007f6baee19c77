"""Put a file back that the record names and that is no longer in its place: the intake log knows it by its bytes."""

from collections.abc import Callable

from evidence import files
from evidence.jobs import Job
from evidence.model.record import ExhibitEntry


def is_there(job: Job, entry: ExhibitEntry) -> bool:
    """Whether an exhibit has its file."""
    return isinstance(entry.file, str) and files.is_there(job.folder / entry.file)


def gone(job: Job) -> dict[str, list[ExhibitEntry]]:
    """Exhibits whose file is missing, by the digest under which the log has them; what it lacks cannot be known again."""
    logged = job.intake.digests()
    missing: dict[str, list[ExhibitEntry]] = {}
    for entry in job.filed():
        if entry.id in logged and not is_there(job, entry):
            missing.setdefault(logged[entry.id], []).append(entry)
    return missing


def put_back(job: Job, sha256: str, load: Callable[[], bytes]) -> tuple[ExhibitEntry, ...]:
    """Copy these bytes to every place where they are missing; the job's lock is held. Record and log say so already.

    Args:
        job: as read under the lock.
        sha256: digest of the bytes.
        load: reads them.

    Raises:
        InputError: the bytes cannot be read, or the place cannot be written.
    """
    entries = tuple(gone(job).get(sha256, ()))
    for entry in entries:
        target = job.folder / str(entry.file)
        files.make_folder(target.parent)
        files.write_file(target, load())
    return entries
