"""Job folders, packs and filing: what is wrong is told with its code and place, and nothing is lost."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from evidence import examining, filing, jobs, library, pipeline, printing, starting
from evidence.bundle import open_view
from evidence.errors import SillmarkError, UsageError
from evidence.exhibits import call
from evidence.model.intake import IntakeEvent
from evidence.model.names import Role
from evidence.recompute import differences
from tests.conftest import AT, DEMO, ISSUED, TEST_KEY

PROFILE = DEMO / "job" / "profile.yaml"
PHOTO = DEMO / "job" / "photos" / "E006.jpg"


def problem_codes(do: Callable[[], object]) -> list[str]:
    with pytest.raises(SillmarkError) as caught:
        do()
    return [problem.code for problem in caught.value.problems]


def test_a_missing_folder(tmp_path: Path) -> None:
    assert problem_codes(lambda: jobs.load(tmp_path / "nowhere")) == ["job-missing"]


def test_every_file_is_read_before_anything_is_said(job: Path) -> None:
    (job / "people.yaml").write_text("format: sillmark-people/0\npeople: [{id: w1}]\n", encoding="utf-8")
    (job / "profile.yaml").write_text("format: sillmark-profile/9\n", encoding="utf-8")
    (job / "intake.jsonl").write_text("{}\n", encoding="utf-8")

    codes = problem_codes(lambda: jobs.load(job))

    assert sorted(codes) == ["field-missing", "format-newer", "intake-malformed"]


def test_a_line_of_the_intake_log_that_is_none(job: Path) -> None:
    lines = len(jobs.read_intake(job).entries)
    with (job / "intake.jsonl").open("a", encoding="utf-8") as log:
        log.write('{"event":"adopt","id":"E001","sha256":"00","at":"today"}\n')

    with pytest.raises(SillmarkError) as caught:
        jobs.load(job)

    assert [(problem.code, problem.where) for problem in caught.value.problems] == [
        ("intake-malformed", f"{job / 'intake.jsonl'}:{lines + 1}")
    ]


def test_an_evidence_item_with_a_dot_in_its_id(job: Path) -> None:
    text = (job / "job.yaml").read_text(encoding="utf-8").replace("{id: E008,", "{id: E.008,")
    (job / "job.yaml").write_text(text, encoding="utf-8")

    assert problem_codes(lambda: jobs.load(job)) == ["exhibit-id-malformed"]


def test_a_seed_of_another_length(job: Path) -> None:
    (job / "seed").write_bytes(b"short")

    assert problem_codes(lambda: jobs.seed(job)) == ["seed-malformed"]


def test_a_missing_seed_is_made_once(job: Path) -> None:
    (job / "seed").unlink()

    first, second = jobs.seed(job), jobs.seed(job)

    assert (first, len(first)) == (second, 32)


def test_one_pack_in_two_files(job: Path) -> None:
    shutil.copy(job / "packs" / "demo-confirmed@1.yaml", job / "packs" / "again.yaml")

    assert problem_codes(lambda: jobs.load(job)) == ["pack-twice"]


def test_a_log_that_lost_its_last_line_end_keeps_all_lines(job: Path) -> None:
    path = job / "intake.jsonl"
    path.write_bytes(path.read_bytes().rstrip(b"\n"))
    entries = jobs.read_intake(job).entries

    jobs.log(job, [entries[0]])

    assert len(jobs.read_intake(job).entries) == len(entries) + 1


def test_every_shipped_pack_is_found_by_its_reference() -> None:
    references = library.shipped_references()

    loaded = [library.shipped(reference) for reference in references]
    assert references == tuple(pack.reference for pack in loaded if pack)


def test_a_reference_that_is_a_path_ships_nowhere() -> None:
    assert library.shipped("../packs/en-1789-2020@1") is None


def test_a_job_folder_that_is_there_already(job: Path) -> None:
    order = starting.StartOrder((PROFILE,), ("common-practice@1",), AT)

    assert problem_codes(lambda: starting.start(job, order)) == ["job-exists"]


@pytest.mark.parametrize(
    ("spans", "code"),
    [
        ((), "profile-not-named"),
        (
            ("2024-01-01, valid_until: 2024-12-31", "2023-01-01, valid_until: 2023-12-31"),
            "profile-none-in-force",
        ),
        (("2024-01-01", "2025-01-01"), "profile-several-in-force"),
    ],
)
def test_which_revision_binds_must_be_certain(tmp_path: Path, spans: tuple[str, ...], code: str) -> None:
    text = PROFILE.read_text(encoding="utf-8")
    paths = []
    for number, span in enumerate(spans):
        paths.append(tmp_path / f"{number}.yaml")
        paths[-1].write_text(text.replace("valid_from: 2025-11-01", f"valid_from: {span}"), encoding="utf-8")
    order = starting.StartOrder(tuple(paths), ("common-practice@1",), AT, build="BW-1")

    assert problem_codes(lambda: starting.start(tmp_path / "new", order)) == [code]


def test_profiles_of_two_manuals(tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    text = PROFILE.read_text(encoding="utf-8")
    other.write_text(text.replace("id: APH-H2-FIT", "id: APH-H3-FIT"), encoding="utf-8")
    order = starting.StartOrder((PROFILE, other), ("common-practice@1",), AT, build="BW-1")

    assert problem_codes(lambda: starting.start(tmp_path / "new", order)) == ["profiles-differ"]


def test_a_pack_that_does_not_ship(tmp_path: Path) -> None:
    order = starting.StartOrder((PROFILE,), ("en-9999@1",), AT, build="BW-1")

    assert problem_codes(lambda: starting.start(tmp_path / "new", order)) == ["pack-not-shipped"]


@pytest.mark.parametrize(
    ("role", "subject", "code"),
    [(Role.LABEL_SYSTEM, None, "subject-needed"), (Role.OTHER_PHOTO, "p9", "subject-unknown")],
)
def test_a_subject_that_is_not_clear(faulty_job: Path, role: Role, subject: str | None, code: str) -> None:
    assert problem_codes(lambda: filing.add(faulty_job, PHOTO, role, subject, AT, call)) == [code]


def test_a_kind_that_no_folder_is_for(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "FOLDERS", {"document": "documents"})

    assert problem_codes(lambda: filing.add(job, PHOTO, Role.OVERVIEW, "p1", AT, call)) == [
        "exhibit-not-filed"
    ]


def test_a_full_order_that_may_have_nothing_open(faulty_job: Path, tmp_path: Path) -> None:
    order = pipeline.AssembleOrder(tmp_path / "out", ISSUED, "option", require_complete=True)

    assert problem_codes(lambda: pipeline.assemble_job(faulty_job, order, TEST_KEY)) == ["open-points"]


def test_a_bundle_that_is_there_already(job: Path, tmp_path: Path) -> None:
    (tmp_path / "out" / "AMB-0417" / "0000-build").mkdir(parents=True)
    order = pipeline.AssembleOrder(tmp_path / "out", ISSUED, "option")

    with pytest.raises(UsageError) as caught:
        pipeline.assemble_job(job, order, TEST_KEY)

    assert [problem.code for problem in caught.value.problems] == ["bundle-exists"]


def test_a_folder_that_cannot_be_written_is_left_as_it_is(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (job / "intake.jsonl").unlink()
    loaded = jobs.load(job)
    files = [exhibit.file for exhibit in loaded.record.exhibits if exhibit.file is not None]
    examined = examining.examine(loaded, call, AT, twins=False)

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(jobs, "log", refuse)
    examining.remember(loaded, examined)

    assert [line.event for line in examined.new].count(IntakeEvent.FIRST_READ) == len(files) > 0
    assert not (job / "intake.jsonl").exists()


def test_a_confirmation_in_the_wrong_unit_names_its_place(job: Path) -> None:
    pack = job / "packs" / "demo-confirmed@1.yaml"
    text = pack.read_text(encoding="utf-8").replace("low: 10.4 g", "low: 10.4 mm")
    pack.write_text(text, encoding="utf-8")

    with pytest.raises(SillmarkError) as caught:
        jobs.load(job)

    (problem,) = caught.value.problems
    line = next(number for number, each in enumerate(text.splitlines(), 1) if "10.4 mm" in each)
    assert problem.code == "quantity-unit"
    assert problem.where.startswith(f"{job}/packs/demo-confirmed@1.yaml:{line}:")


def test_a_pack_of_the_job_cannot_take_the_place_of_a_shipped_one(job: Path) -> None:
    shipped = library.shipped("en-1789-2020@1")
    assert shipped is not None
    softened = shipped.data.replace(b"low: 10 g", b"low: 1 g")
    (job / "packs" / "en-1789-2020@1.yaml").write_bytes(softened)

    assert "pack-shadows-shipped" in problem_codes(lambda: jobs.load(job))


def test_two_confirmations_of_one_demand(job: Path) -> None:
    pack = job / "packs" / "demo-confirmed@1.yaml"
    other = (
        pack.read_text(encoding="utf-8").replace("id: demo-confirmed", "id: other").replace("10.4 g", "9.9 g")
    )
    (job / "packs" / "other@1.yaml").write_text(other, encoding="utf-8")
    text = (job / "job.yaml").read_text(encoding="utf-8")
    text = text.replace("demo-confirmed@1,", "demo-confirmed@1, other@1,")
    (job / "job.yaml").write_text(text, encoding="utf-8")

    assert set(problem_codes(lambda: jobs.load(job))) == {"confirmation-twice"}


@pytest.mark.parametrize("identity", ["plate", "Site", "nul"])
def test_an_id_that_no_file_can_bear(job: Path, identity: str) -> None:
    people = job / "people.yaml"
    people.write_text(
        people.read_text(encoding="utf-8").replace("{id: w4,", f"{{id: {identity},"), encoding="utf-8"
    )

    assert "id-unusable" in problem_codes(lambda: jobs.load(job))


@pytest.mark.parametrize("copy", ["original", "page"])
def test_a_redacted_copy_that_is_none(job: Path, tmp_path: Path, copy: str) -> None:
    data = (job / "documents" / "E009.pdf").read_bytes() if copy == "original" else b"a,b\n1,2\n"
    (job / "documents" / "E009.redacted.pdf").write_bytes(data)
    order = pipeline.AssembleOrder(tmp_path / "out", ISSUED, "option")

    assert problem_codes(lambda: pipeline.assemble_job(job, order, TEST_KEY)) == ["redacted-copy-wrong"]


def test_documents_that_no_verifier_would_open(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(printing, "MAX_ATTACHED", 1000)
    order = pipeline.AssembleOrder(tmp_path / "out", ISSUED, "option")

    assert problem_codes(lambda: pipeline.assemble_job(job, order, TEST_KEY)) == ["documents-too-large"]


def test_a_phone_with_a_name_is_not_told(job: Path, tmp_path: Path) -> None:
    people = job / "people.yaml"
    people.write_text(
        people.read_text(encoding="utf-8").replace("Per Lindgate", "Rendered scene"), encoding="utf-8"
    )
    order = pipeline.AssembleOrder(tmp_path / "out", ISSUED, "option")

    made = pipeline.assemble_job(job, order, TEST_KEY).written.path

    assert b"Rendered scene" not in b"".join(path.read_bytes() for path in (made / "data/items").iterdir())
    assert differences(open_view(made), call) == ()
