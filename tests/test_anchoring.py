"""Anchorage sheets of a job folder: on demand only, bundled as they are, and computed again from the bundle."""

import shutil
from pathlib import Path

import pytest

from evidence import bundle, copying, jobs, pipeline
from evidence.anchoring import is_sheet, read_sheets
from evidence.errors import InputError, SillmarkError
from evidence.guard import Guard
from evidence.phrases import hint, say
from evidence.recompute import differences
from tests.conftest import DEMO, ISSUED, TEST_KEY
from tests.measure.sheets import WHOLE, sheet
from tests.remembered import remembered_call as call
from tests.test_recompute import WithFiles

INPUT = "data/inputs/anchorage.yaml"


def problems(folder: Path) -> list[tuple[str, str]]:
    with pytest.raises(SillmarkError) as caught:
        jobs.load(folder)
    return [(each.code, each.where) for each in caught.value.problems]


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("anchorage.yaml", True),
        ("anchorage-p1.yaml", True),
        ("anchorage-.yaml", False),
        ("my-anchorage.yaml", False),
        ("anchorage.yaml.old", False),
        ("anchorage.yml", False),
    ],
)
def test_which_files_are_sheets(name: str, expected: bool) -> None:  # noqa: FBT001
    assert is_sheet(name) == expected


def test_a_job_has_none_unless_somebody_put_one(job: Path) -> None:
    (job / "anchorage.yaml").unlink()

    assert jobs.load(job).anchorages == ()


def test_sheets_are_read_by_name_for_the_vehicle_and_for_a_place(job: Path) -> None:
    (job / "anchorage.yaml").write_text(WHOLE, encoding="utf-8")
    (job / "anchorage-p1.yaml").write_text(sheet(), encoding="utf-8")
    found = jobs.load(job).anchorages

    assert [(each.name, each.subject) for each in found] == [
        ("anchorage-p1.yaml", "p1"),
        ("anchorage.yaml", "vehicle"),
    ]


def test_a_sheet_of_a_place_that_the_record_lacks(job: Path) -> None:
    (job / "anchorage-p7.yaml").write_text(sheet(), encoding="utf-8")

    assert problems(job) == [("anchorage-of-no-place", str(job / "anchorage-p7.yaml"))]
    told = {"found": "p7", "expected": "anchorage.yaml, anchorage-p1.yaml"}
    assert "anchorage-p1.yaml" in say("anchorage-of-no-place", told)
    assert hint("anchorage-of-no-place").endswith(".")


def test_every_fault_of_every_sheet_is_told_at_its_place(job: Path) -> None:
    (job / "anchorage.yaml").write_text(sheet(more=""), encoding="utf-8")
    (job / "anchorage-p1.yaml").write_text(sheet(masses="5000 kg at 0 0 500"), encoding="utf-8")
    found = problems(job)

    assert [code for code, _ in found] == ["anchorage-out-of-range", "anchorage-plate-missing"]
    assert all(":" in where.rsplit("anchorage", 1)[1] for _, where in found)


def test_a_sheet_that_cannot_hold_its_loads_is_told_before_anything_is_sealed() -> None:
    line = sheet(places=((-300, 0), (0, 0)), levels="left 10 g", pivot="centroid")
    with pytest.raises(InputError) as caught:
        read_sheets({"anchorage.yaml": line.encode()}, (), str)

    assert [each.code for each in caught.value.problems] == ["anchorage-pattern"]


@pytest.mark.parametrize(
    "line", ["title: Floor plate of Edda Quill", "# measured by Edda Quill\ntitle: Floor plate"]
)
def test_a_name_in_a_sheet_would_be_sealed_for_everybody(job: Path, line: str) -> None:
    (job / "anchorage.yaml").write_text(sheet().replace("title: Floor plate", line), encoding="utf-8")

    assert problems(job) == [("personal-value-in-record", f"{job / 'anchorage.yaml'}:2")]


@pytest.fixture(scope="module")
def with_sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's job with a sheet, sealed."""
    folder = tmp_path_factory.mktemp("sheets")
    shutil.copytree(DEMO / "job", folder / "job")
    (folder / "job" / "anchorage.yaml").write_text(WHOLE, encoding="utf-8")
    order = pipeline.AssembleOrder(folder / "out", ISSUED, "option")
    return pipeline.assemble_job(folder / "job", order, TEST_KEY).written.path


def test_the_sheet_lies_in_the_bundle_as_it_was_and_is_computed_again(with_sheet: Path) -> None:
    view = bundle.open_view(with_sheet)

    assert view.read(INPUT, 10**6).decode() == WHOLE
    assert differences(view, call) == ()


@pytest.mark.parametrize(
    ("path", "data", "reason"),
    [
        (INPUT, b"format: sillmark-anchorage/0\n", "field-missing"),
        (INPUT, sheet(more="").encode(), "anchorage-plate-missing"),
        ("data/inputs/anchorage-p9.yaml", WHOLE.encode(), "anchorage-of-no-place"),
    ],
)
def test_a_sheet_that_cannot_be_computed_again(with_sheet: Path, path: str, data: bytes, reason: str) -> None:
    found = differences(WithFiles(bundle.open_view(with_sheet), {path: data}), call)

    assert [(each.code, each.where, each.parameters) for each in found] == [
        ("recompute-anchorage", path, {"reason": reason})
    ]


def test_a_printed_copy_has_the_worksheet_and_its_two_pages_have_not(with_sheet: Path) -> None:
    sealed = copying.open_sealed(with_sheet)
    with Guard() as guard:
        whole = copying.source_of(sealed, copying.CopyOrder(ISSUED), guard.run)
        short = copying.source_of(sealed, copying.CopyOrder(ISSUED, sheet=True), guard.run)

    assert [each.name for each in whole.anchorages] == ["anchorage.yaml"]
    assert short.anchorages == ()
    assert whole.editions is not None
