"""Where a record and its folder do not agree, as two commands tell it."""

from pathlib import Path

from evidence import jobs
from evidence.model.record import JobRecord
from evidence.report import Gaps


def gaps(folder: Path, record: JobRecord) -> Gaps:
    """What the record names and the folder lacks, and the other way round.

    Raises:
        InputError: a folder cannot be read.
    """
    return Gaps(
        missing={exhibit: str(folder / file) for exhibit, file in jobs.missing(folder, record)},
        unlisted=[str(folder / file) for file in jobs.unlisted(folder, record)],
        nameless=jobs.nameless(folder, record),
    )
