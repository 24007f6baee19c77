"""The committed demonstration is what ``tests/rebuild_demo.py`` makes, whatever may be compared on this machine.

Canonical JSON, lists, signature and printed pictures are the same everywhere. Photos, the PDF and all that holds their
digests are compared byte for byte only where the library versions are those of ``constraints.txt`` on Linux x86-64;
elsewhere what they decode to is compared, and the test says so.
"""

import importlib.metadata
import io
import json
import platform
import sys
from functools import cache
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageStat

from evidence import card, jobs, keys, pipeline
from evidence.card._instruments import instruments_of
from evidence.model.names import Role
from evidence.record.reader import read_job
from tests import rebuild_demo as rebuild
from tests.conftest import DEMO, TOP
from tests.demo.cards import PRINTED_KINDS, SHEETS, work_card
from tests.demo.papers import document_pdf
from tests.demo.tables import release_force_table
from tests.lab.demo import demo_sets
from tests.scene import demo

LIBRARIES = (
    "pillow",
    "typst",
    "numpy",
    "opencv-python-headless",
    "font-source-sans-pro",
    "segno",
    "pydantic",
)
MAX_BYTES = 16_000_000
JOBS = sorted(rebuild.JOBS.items())
EXPECTED = DEMO / "expected" / "AMB-0417" / "0000-build"
PHOTOS = [(folder, job, name) for folder, job in JOBS for name in sorted(demo.JOBS[job]())]


@cache
def versions_differ() -> str:
    """Why bytes may differ here; empty where they may not."""
    pinned = dict(
        line.split("==")
        for line in (TOP / "constraints.txt").read_text(encoding="ascii").split()
        if "==" in line
    )
    by_name = {name.lower(): version for name, version in pinned.items()}
    other = [name for name in LIBRARIES if importlib.metadata.version(name) != by_name[name]]
    here = f"{sys.platform}-{platform.machine().lower()}"
    if here not in ("linux-x86_64", "linux-amd64"):
        other.append(here)
    return ", ".join(other)


@pytest.fixture(scope="module")
def rebuilt(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first vehicle's bundle made again from the committed job."""
    folder = tmp_path_factory.mktemp("rebuilt")
    order = pipeline.AssembleOrder(folder, rebuild.ISSUED, "option")
    return pipeline.assemble_job(DEMO / "job", order, keys.derived(rebuild.KEY_SECRET)).written.path


def listing(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def test_the_bundle_has_the_same_files(rebuilt: Path) -> None:
    assert listing(rebuilt) == listing(EXPECTED)


def test_the_bundle_has_the_same_bytes(rebuilt: Path) -> None:
    if versions_differ():
        pytest.skip(f"not the pinned versions: {versions_differ()}; only decoded contents are compared")

    differing = [
        name for name in listing(EXPECTED) if (rebuilt / name).read_bytes() != (EXPECTED / name).read_bytes()
    ]

    assert differing == []


def test_everywhere_the_same_json(rebuilt: Path) -> None:
    """Holds on every machine: findings, people and items do not depend on a library's encoder."""
    names = [name for name in listing(EXPECTED) if name.startswith(("data/people/", "data/inputs/"))]
    names += [name for name in listing(EXPECTED) if name.endswith(".redacted.json")]

    assert len(names) > 12
    assert [name for name in names if (rebuilt / name).read_bytes() != (EXPECTED / name).read_bytes()] == []


def test_everywhere_the_same_findings(rebuilt: Path) -> None:
    again, committed = (
        json.loads((folder / "data/manifest.json").read_bytes()) for folder in (rebuilt, EXPECTED)
    )

    assert again["findings"] == committed["findings"]
    assert again["state"] == "complete"


@pytest.mark.parametrize(("folder", "job", "name"), PHOTOS)
def test_a_rendered_photo_is_the_committed_one(folder: str, job: str, name: str) -> None:
    made = demo.rendered(job, name)
    committed = (DEMO / folder / "photos" / f"{name}.jpg").read_bytes()

    if versions_differ():
        assert looks_alike(made, committed), f"also decoded; versions differ: {versions_differ()}"
    else:
        assert made == committed


def looks_alike(one: bytes, other: bytes) -> bool:
    """Same size, and on average less than one step of 255 apart."""
    with Image.open(io.BytesIO(one)) as left, Image.open(io.BytesIO(other)) as right:
        if left.size != right.size:
            return False
        difference = ImageStat.Stat(ImageChops.difference(left.convert("RGB"), right.convert("RGB")))
    return max(difference.mean) < 1


@pytest.mark.parametrize("folder", sorted(rebuild.JOBS))
def test_tables_and_documents_are_the_committed_ones(folder: str) -> None:
    job = DEMO / folder
    record = read_job((job / "job.yaml").read_bytes()).record
    comma = record.id == rebuild.JOBS["job"]

    sets = {path: data for path, data in demo_sets().items() if path.startswith(f"{folder}/")}
    assert sets
    for table in (job / "tests").iterdir():
        made = sets.get(f"{folder}/tests/{table.name}", release_force_table(comma=comma))
        assert table.read_bytes() == made
    if versions_differ():
        pytest.skip(f"documents not compared; versions differ: {versions_differ()}")
    files = {entry.id: entry.file for entry in record.exhibits}
    for document in record.documents:
        if document.exhibit:
            made = document_pdf(document, record)
            assert made == (job / str(files[document.exhibit])).read_bytes()
    for entry in record.exhibits:
        if entry.role == Role.WORK_CARD:
            assert work_card(job) == (job / str(entry.file)).read_bytes()


@pytest.mark.parametrize("folder", sorted(rebuild.JOBS))
def test_the_intake_log_holds_every_file(folder: str, tmp_path: Path) -> None:
    record = read_job((DEMO / folder / "job.yaml").read_bytes()).record
    target = tmp_path / folder
    for name in ("photos", "documents", "tests"):
        (target / name).parent.mkdir(exist_ok=True)
        (target / name).symlink_to(DEMO / folder / name)

    rebuild.write_log(target, record, rebuild.INTAKE_AT[folder])

    filed, committed = ((each / "intake.jsonl").read_bytes() for each in (target, DEMO / folder))
    assert committed.startswith(filed)
    measured = [json.loads(line) for line in committed[len(filed) :].splitlines()]
    assert {line["event"] for line in measured} == {"measure"}


def test_the_trust_file_pins_the_demonstration_key() -> None:
    public = keys.derived(rebuild.KEY_SECRET).public

    assert [entry.key for entry in keys.read_trust(DEMO / "trust.json").keys] == [public.id]


def test_the_folder_stays_small() -> None:
    size = sum(path.stat().st_size for path in DEMO.rglob("*") if path.is_file())

    assert size < MAX_BYTES


def test_two_photos_have_twelve_megapixels() -> None:
    large = [path for path in sorted((DEMO / "job" / "photos").iterdir()) if pixels(path) == 12_000_000]

    assert len(large) >= 2


def pixels(path: Path) -> int:
    with Image.open(path) as photo:
        return photo.width * photo.height


@pytest.mark.parametrize("folder", sorted(rebuild.JOBS))
def test_every_entry_names_the_row_of_the_card_that_asks_for_it(folder: str) -> None:
    loaded = jobs.load(DEMO / folder)
    record = loaded.record
    paper, _ = SHEETS[record.id]
    plan = card.plan(loaded.profile, [position.id for position in record.positions], paper)  # type: ignore[arg-type]
    printed = {
        (row.page, row.number): (row.piece.subject, row.row.kind, row.row.name)
        for page in plan.pages
        for row in page
        if row.number
    }
    entries = [
        *(
            (one.card_row, one.subject, "again" if one.redo_of else "step", "" if one.redo_of else one.step)
            for one in record.steps
        ),
        *((one.card_row, one.subject, "screws", one.group) for one in record.screws),
        *((one.card_row, one.subject, "cycles", one.kind.value) for one in record.cycles),
    ]
    wrong = [
        (row, kind, name)
        for row, subject, kind, name in entries
        if row is not None and printed.get((row.page, row.row)) != (subject, kind, name)
    ]

    assert wrong == []
    assert [kind.value for kind in instruments_of(loaded.profile)] == [kind.value for kind in PRINTED_KINDS]
