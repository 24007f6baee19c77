"""``assemble``: a job goes in, a sealed bundle comes out whole or not at all."""

import json
import shutil
from pathlib import Path

import pytest

from evidence import jsondoc
from tests.conftest import AT, Run


def test_a_clean_job_gives_a_bundle_that_its_maker_can_verify(run: Run, job: Path, tmp_path: Path) -> None:
    made = run("assemble", job, "-o", tmp_path / "out", "--at", AT)
    verified = run("verify", tmp_path / "out" / "AMB-0417", "--recompute")

    assert made.exit_code == 0, made.output
    assert "nothing open" in made.stdout
    assert verified.exit_code == 0, verified.output


def test_a_job_with_open_points_gives_a_bundle_and_exit_1(run: Run, faulty_job: Path, tmp_path: Path) -> None:
    made = run("assemble", faulty_job, "-o", tmp_path / "out", "--at", AT)

    assert made.exit_code == 1
    manifest = json.loads((tmp_path / "out/AMB-0520/0000-build/data/manifest.json").read_bytes())
    assert manifest["state"] == "open"
    assert f"{manifest['open']} open" in made.stdout
    assert run("verify", tmp_path / "out" / "AMB-0520", "--recompute").exit_code == 0


def test_require_complete_makes_nothing_while_anything_is_open(
    run: Run, faulty_job: Path, tmp_path: Path
) -> None:
    made = run("assemble", faulty_job, "-o", tmp_path / "out", "--require-complete")

    assert made.exit_code == 1
    assert "open" in made.stderr
    assert not (tmp_path / "out").exists()


def test_a_bundle_is_never_written_over(run: Run, job: Path, tmp_path: Path) -> None:
    target = tmp_path / "out" / "AMB-0417" / "0000-build"
    target.mkdir(parents=True)

    made = run("assemble", job, "-o", tmp_path / "out")

    assert made.exit_code == 2
    assert str(target) in made.stderr
    assert list(target.iterdir()) == []


@pytest.mark.usefixtures("afresh")
def test_the_same_inputs_give_the_same_bytes(run: Run, job: Path, tmp_path: Path) -> None:
    for name in ("one", "two"):
        run("assemble", job, "-o", tmp_path / name, "--at", AT)

    one, two = (tmp_path / name / "AMB-0417" / "0000-build" for name in ("one", "two"))
    files = sorted(path.relative_to(one) for path in one.rglob("*") if path.is_file())
    assert [path for path in files if (one / path).read_bytes() != (two / path).read_bytes()] == []
    assert len(files) > 40


def test_several_jobs_at_a_time_give_one_bundle_each(
    run: Run, job: Path, faulty_job: Path, tmp_path: Path
) -> None:
    made = run("assemble", job, faulty_job, "-o", tmp_path / "out", "-j", 2)

    assert made.exit_code == 1, made.output
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["AMB-0417", "AMB-0520"]


def test_a_failing_job_does_not_stop_the_others(run: Run, job: Path, tmp_path: Path) -> None:
    made = run("assemble", tmp_path / "nowhere", job, "-o", tmp_path / "out")

    assert made.exit_code == 3
    assert (tmp_path / "out" / "AMB-0417" / "0000-build" / "bagit.txt").exists()


def test_the_manifest_holds_no_name_and_no_sentence(sealed: Path) -> None:
    text = (sealed / "data/manifest.json").read_text(encoding="utf-8")
    people = (sealed / "data/people").iterdir()
    personal = [
        value
        for path in people
        for key, value in json.loads(path.read_bytes()).items()
        if key in ("name", "plate", "site", "text", "file_name")
    ]

    assert len(personal) > 5
    assert [value for value in personal if value in text] == []
    assert '"text"' not in text
    assert '"title"' not in text


def test_the_manifest_is_canonical_and_meets_its_schema(sealed: Path) -> None:
    data = (sealed / "data/manifest.json").read_bytes()
    document = jsondoc.decode_canonical(data, "manifest")
    schema = json.loads((Path(__file__).parents[2] / "schemas/manifest.schema.json").read_bytes())

    assert jsondoc.check_schema(document, schema, "manifest") == ()


def test_twins_of_photos_carry_no_metadata(sealed: Path) -> None:
    from PIL import Image  # noqa: PLC0415

    twins = sorted((sealed / "data/derived").glob("*.jpg"))
    held = {}
    for path in twins:
        with Image.open(path) as picture:
            held[path.name] = (
                dict(picture.getexif()),
                sorted(set(picture.info) - {"jfif", "jfif_version", "jfif_unit", "jfif_density"}),
            )

    pages = [path.name for path in twins if ".redacted." not in path.name]
    assert [name for name in pages if ".annex-" not in name] == ["E011.page-1.jpg"]
    assert len(twins) == 8 + len(pages)
    assert {name: found for name, found in held.items() if found != ({}, [])} == {}


def test_an_unreadable_photo_is_told_and_kept(run: Run, job: Path, tmp_path: Path) -> None:
    photo = job / "photos" / "E008.jpg"
    photo.write_bytes(photo.read_bytes()[:20_000])
    (job / "intake.jsonl").unlink()

    document = json.loads(run("check", "--json", job).stdout)
    made = run("assemble", job, "-o", tmp_path / "out")

    marks = next(each for each in document["findings"] if each["requirement"].endswith("witness-marks-photo"))
    assert (marks["outcome"], marks["reason"]["code"]) == ("undecided", "exhibit-unreadable")
    assert made.exit_code == 0, made.output
    item = json.loads((tmp_path / "out/AMB-0417/0000-build/data/items/E008.json").read_bytes())
    assert item["unreadable"]["code"] == "exhibit-truncated"


def test_a_supplied_redacted_copy_takes_the_place_of_the_stub(run: Run, job: Path, tmp_path: Path) -> None:
    shutil.copy(job / "documents/E010.pdf", job / "documents/E009.redacted.pdf")

    run("assemble", job, "-o", tmp_path / "out")

    derived = tmp_path / "out/AMB-0417/0000-build/data/derived"
    assert (derived / "E009.redacted.pdf").read_bytes() == (job / "documents/E010.pdf").read_bytes()
    assert not (derived / "E009.redacted.json").exists()
    assert run("verify", tmp_path / "out" / "AMB-0417").exit_code == 0


def test_a_symlinked_photo_is_refused(run: Run, job: Path, tmp_path: Path) -> None:
    photo = job / "photos" / "E008.jpg"
    other = tmp_path / "elsewhere.jpg"
    photo.rename(other)
    photo.symlink_to(other)

    made = run("assemble", job, "-o", tmp_path / "out")

    assert made.exit_code == 3
    assert "photos/E008.jpg" in made.stderr
    assert not (tmp_path / "out" / "AMB-0417").exists()


@pytest.mark.parametrize("epoch", ["yesterday", "-5", "1" * 20])
def test_a_nonsense_epoch_is_a_usage_error(
    run: Run, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, epoch: str
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)

    made = run("assemble", job, "-o", tmp_path / "out")

    assert made.exit_code == 2
    assert "SOURCE_DATE_EPOCH" in made.stderr


def test_the_time_of_sealing_says_where_it_came_from(
    run: Run, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1772809200")

    run("assemble", job, "-o", tmp_path / "out")

    seal = json.loads((tmp_path / "out/AMB-0417/0000-build/seal/seal.json").read_bytes())
    assert (seal["issued"], seal["issued_from"]) == ("2026-03-06T15:00+00:00", "epoch")
