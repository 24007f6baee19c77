"""A photo that shows the ticket of another vehicle or place than it is filed for: what to do, as a command to copy."""

from pathlib import Path

from evidence import labels
from evidence.errors import printable
from evidence.model.exhibit import Item
from evidence.model.record import ExhibitEntry, JobRecord
from evidence.phrases import say


def astray(folder: Path, record: JobRecord, entry: ExhibitEntry, item: Item) -> list[str]:
    """Warnings on one photo that was just filed or moved.

    Args:
        folder: the job in which it is filed.
        record: of that job.
        entry: where it stands.
        item: what was read in it.
    """
    read = [labels.read(code.text) for code in (item.photo.codes if item.photo else ())]
    tickets = [label for label in read if label.kind == "ticket"]
    told = {"exhibit": entry.id, "folder": printable(str(folder))}
    lines = []
    for job in sorted({label.job for label in tickets if label.job and label.job != record.id}):
        parameters = {**told, "found": job, "job": record.id, "other": printable(str(folder.parent / job))}
        lines.append(say("astray-vehicle", parameters))
    places = {each.id for each in record.positions}
    shown = {label.subject for label in tickets if label.job == record.id and label.subject in places}
    if entry.subject in places and shown and entry.subject not in shown:
        wrong = [{**told, "found": place, "subject": entry.subject} for place in sorted(filter(None, shown))]
        lines += [say("astray-place", parameters) for parameters in wrong]
    return lines
