"""Rebuild the demonstration: photos, documents, tables, intake logs, and the sealed bundle of the first vehicle.

Run from the top of the repository: ``python -m tests.rebuild_demo``. It needs the test extra, whose renderer makes
the photos. Everything here is invented. The signing key follows from a public string, so that anybody can make the
same bytes: it proves nothing about a real vehicle, and only ``--trust demo_bundle/trust.json`` accepts it.
"""

import hashlib
import json
import shutil
from datetime import datetime, timedelta, timezone
from pathlib import Path

import click

from evidence import keys, pipeline
from evidence.guard import Guard
from evidence.model.names import Role
from evidence.model.record import JobRecord
from evidence.record.reader import read_job
from tests.demo.cards import work_card
from tests.demo.papers import document_pdf
from tests.demo.tables import release_force_table
from tests.lab.demo import demo_sets
from tests.scene.demo import photos

DEMO = Path(__file__).resolve().parents[1] / "demo_bundle"
KEY_SECRET = hashlib.sha256(b"sillmark demonstration key: proves nothing").digest()
JOBS = {"job": "AMB-0417", "job-with-faults": "AMB-0520"}
ISSUED = datetime(2026, 3, 6, 16, 0, tzinfo=timezone(timedelta(hours=1)))
INTAKE_AT = {"job": "2026-03-06T14:00+01:00", "job-with-faults": "2026-05-13T08:00-05:00"}


def main() -> None:
    """Write everything below ``demo_bundle/`` that is not typed by hand."""
    for folder, job_id in JOBS.items():
        job = DEMO / folder
        record = read_job((job / "job.yaml").read_bytes()).record
        write_photos(job, job_id)
        write_documents(job, record)
        write_tables(job, record)
        write_log(job, record, INTAKE_AT[folder])
        measure(job, INTAKE_AT[folder])
    write_trust()
    write_expected()


def write_photos(job: Path, job_id: str) -> None:
    """Render the photos of one job."""
    fresh_folder(job / "photos")
    for name, data in sorted(photos(job_id).items()):
        (job / "photos" / name).write_bytes(data)


def write_documents(job: Path, record: JobRecord) -> None:
    """Set the third-party documents from what the record says they claim, and fill in the work card."""
    fresh_folder(job / "documents")
    files = {entry.id: entry.file for entry in record.exhibits if isinstance(entry.file, str)}
    for document in record.documents:
        if document.exhibit is not None:
            (job / files[document.exhibit]).write_bytes(document_pdf(document, record))
    for entry in record.exhibits:
        if entry.role == Role.WORK_CARD and isinstance(entry.file, str):
            (job / entry.file).write_bytes(work_card(job))


def write_tables(job: Path, record: JobRecord) -> None:
    """Write the release-force tables, decimal commas in Europe and points in North America, and the sets of the tests."""
    fresh_folder(job / "tests")
    for entry in record.exhibits:
        if entry.role == Role.TEST_CHANNEL and isinstance(entry.file, str) and entry.file.endswith(".csv"):
            comma = record.id == JOBS["job"]
            (job / entry.file).write_bytes(release_force_table(comma=comma))
    for path, data in demo_sets().items():
        if path.startswith(f"{job.name}/"):
            (DEMO / path).write_bytes(data)


def write_log(job: Path, record: JobRecord, at: str) -> None:
    """Write the intake log and the seed as if everything had been filed at one time."""
    lines = []
    for entry in record.exhibits:
        if isinstance(entry.file, str):
            sha256 = hashlib.sha256((job / entry.file).read_bytes()).hexdigest()
            lines.append({"at": at, "event": "add", "id": entry.id, "sha256": sha256})
    text = "".join(json.dumps(line, sort_keys=True, separators=(",", ":")) + "\n" for line in lines)
    (job / "intake.jsonl").write_text(text, encoding="utf-8")
    seed = hashlib.sha256(f"sillmark demonstration seed {record.id}".encode()).digest()
    (job / "seed").write_bytes(seed)


def measure(job: Path, at: str) -> None:
    """Have the photos measured, so that looking at the demonstration later does not write into its log."""
    with Guard() as guard:
        pipeline.check_job(job, pipeline.Days(ISSUED.date()), at, guard)
    (job / ".lock").unlink(missing_ok=True)


def write_trust() -> None:
    """Pin the demonstration key in a trust file of its own."""
    public = keys.derived(KEY_SECRET).public
    (DEMO / "trust.json").write_bytes(keys.trust_bytes([keys.entry_of(public)]))


def write_expected() -> None:
    """Assemble the first vehicle's bundle."""
    target = DEMO / "expected"
    shutil.rmtree(target, ignore_errors=True)
    order = pipeline.AssembleOrder(out=target, issued=ISSUED, issued_from="option")
    made = pipeline.assemble_job(DEMO / "job", order, keys.derived(KEY_SECRET))
    click.echo(f"{made.written.path}: {made.open_points} open")


def fresh_folder(folder: Path) -> None:
    """An empty folder."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()


if __name__ == "__main__":
    main()
