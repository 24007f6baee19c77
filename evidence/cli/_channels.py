"""The channels that a path holds: a folder or zip of an ISO/TS 13499 set, or one table."""

from pathlib import Path

from evidence import files, packing
from evidence.errors import InputError
from evidence.exhibits._archive import MAX_ARCHIVE, is_archive
from evidence.exhibits.channels import ChannelSet, of_table, set_of_answer
from evidence.exhibits.reading import read
from evidence.guard import Guard

_READER = "mme"
_NO_SET = "mme-absent"


def load(path: Path, guard: Guard) -> ChannelSet:
    """Read the channels; every byte is parsed in the guard's child.

    Args:
        path: a folder, a zip, the ``.mme`` of a folder, or a table.
        guard: runs the readers.

    Raises:
        InputError: nothing can be read; else what is wrong is in the set's problems.
    """
    folder = packing.folder_of(path)
    if folder is not None:
        taken = packing.pack(folder, MAX_ARCHIVE, whole=False)
        return set_of_answer(guard.run(_READER, taken.data, taken.where), taken.where)
    data = files.read_capped(path, MAX_ARCHIVE)
    if is_archive(data):
        try:
            return set_of_answer(guard.run(_READER, data, str(path)), str(path))
        except InputError as error:
            if [problem.code for problem in error.problems] != [_NO_SET]:
                raise
    return _table(data, path, guard, archive=is_archive(data))


def _table(data: bytes, path: Path, guard: Guard, *, archive: bool) -> ChannelSet:
    where = str(path)
    try:
        reading = read(data, where, "pulse", reader=guard.run)
    except InputError as error:
        # an archive that is no workbook is told as what it should have been
        if archive and error.problems[0].code == "exhibit-archive":
            raise InputError.one(_NO_SET, where) from error
        raise
    table = reading.item.table
    if table is None:
        raise InputError.one("pulse-no-table", where, found=reading.item.kind)
    found = of_table(table, reading.values, where)
    return ChannelSet(found.channels, found.problems, reading.item.warnings)
