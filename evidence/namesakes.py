"""Jobs that call themselves alike: one build number, VIN or id for two of them mixes up their photos and papers."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from evidence import files, jobs, labels
from evidence.errors import SillmarkError, printable
from evidence.model.record import JobRecord, Vehicle
from evidence.record.reader import read_job


@dataclass(frozen=True)
class Shared:
    """What two jobs have in common that no two vehicles have: code and parameters of the sentence."""

    code: str
    parameters: Mapping[str, str]


def siblings(folder: Path, vehicle: Vehicle) -> list[Shared]:
    """Jobs beside a job folder that are of the same vehicle by build number or VIN.

    Args:
        folder: the job folder.
        vehicle: what it is known by.

    Returns:
        Codes same-build-beside and same-vin-beside, in order of the folders' names.

    Raises:
        InputError: the folder of the jobs cannot be listed.
    """
    numbers = [number for number in (vehicle.build, vehicle.vin) if isinstance(number, str)]
    told = []
    for other, record in _records_beside(folder, numbers):
        shared = _shared(vehicle, record.vehicle)
        told += [
            Shared(
                f"{code}-beside",
                {"found": found, "other": printable(str(other)), "job": printable(str(folder))},
            )
            for code, found in shared
        ]
    return told


def _records_beside(folder: Path, numbers: Sequence[str]) -> Iterator[tuple[Path, JobRecord]]:
    """Records that may name one of these numbers; reading all would take a third of a second for each."""
    for name in files.names_in(folder.parent):
        path = folder.parent / name / jobs.JOB
        if name == folder.name or not files.is_file(path):
            continue
        try:
            data = files.read_capped(path, jobs.MAX_TEXT)
            text = _bare(data.decode("utf-8", "replace"))
            if any(_bare(number) in text for number in numbers):
                yield folder.parent / name, read_job(data, str(path)).record
        except SillmarkError:  # a job that cannot be read is told by the command that is run on it
            continue


def _bare(text: str) -> str:
    return "".join(each for each in text.casefold() if each.isalnum())


def among(found: Sequence[tuple[Path, JobRecord]]) -> list[Shared]:
    """Jobs of one call that have the same id, build number or VIN; a folder that is named twice is one job.

    Args:
        found: folders with their records, in the order in which they were named.

    Returns:
        Codes same-job-id, same-build and same-vin, once for each pair.
    """
    once = {folder.resolve(): (folder, record) for folder, record in reversed(found)}
    inorder = list(reversed(once.values()))
    told = []
    for index, (folder, record) in enumerate(inorder):
        for other, earlier in inorder[:index]:
            shared = list(_shared(record.vehicle, earlier.vehicle))
            if record.id == earlier.id:
                shared.insert(0, ("same-job-id", record.id))
            names = {"job": printable(str(folder)), "other": printable(str(other))}
            told += [Shared(code, {"found": found, **names}) for code, found in shared]
    return told


def _shared(one: Vehicle, other: Vehicle) -> Iterator[tuple[str, str]]:
    if one.build is not None and other.build is not None and _bare(one.build) == _bare(other.build):
        yield "same-build", one.build
    if isinstance(one.vin, str) and isinstance(other.vin, str) and labels.same_vin(one.vin, other.vin):
        yield "same-vin", one.vin
