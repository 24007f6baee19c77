"""Photos of bundles that were sealed before: found, compared, and passed over with a word where they cannot be read."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from evidence import earlier
from evidence.earlier import SealedPicture, repeated, sealed
from evidence.errors import InputError
from evidence.likenesses import ALIKE_ELSEWHERE, Picture
from evidence.phrases import say, tell
from tests.conftest import DEMO, Run

BASE = int("5a" * 32, 16)


def shown(
    exhibit: str, flipped: int = 0, *, job: str = "AMB-2", sha: str = "", codes: tuple[str, ...] = ()
) -> Picture:
    """A picture that differs from the base in the lowest bits."""
    bits = BASE ^ ((1 << flipped) - 1)
    return Picture(job, exhibit, sha or f"{job}{exhibit}", f"{bits:064x}", frozenset(codes))


def before(
    exhibit: str, flipped: int = 0, *, job: str = "AMB-1", day: str = "2026-01-15", **more: object
) -> SealedPicture:
    """A picture of an earlier bundle."""
    return SealedPicture(shown(exhibit, flipped, job=job, **more), day)  # type: ignore[arg-type]


@pytest.mark.parametrize(("flipped", "told"), [(0, 1), (ALIKE_ELSEWHERE, 1), (ALIKE_ELSEWHERE + 1, 0)])
def test_the_threshold_is_that_between_vehicles(flipped: int, told: int) -> None:
    assert len(repeated([shown("E1")], [before("E5", flipped)])) == told


def test_the_sentence_names_both_and_the_day() -> None:
    (told,) = repeated([shown("E003")], [before("E005", job="AMB-0400")])

    assert told.code == "alike-sealed"
    sentence = say(told.code, told.parameters)
    assert sentence.startswith("AMB-2 E003 looks like E005 of AMB-0400, sealed 2026-01-15:")


def test_the_very_file_is_told_as_such() -> None:
    (told,) = repeated([shown("E1", sha="x")], [before("E5", sha="x")])

    assert told.code == "alike-same-file-sealed"
    assert "is the very file of E5 of AMB-1" in say(told.code, told.parameters)


def test_a_jobs_own_bundles_are_left_out() -> None:
    assert repeated([shown("E1", job="AMB-1")], [before("E1", job="AMB-1")]) == []


def test_two_labels_in_one_light_are_two() -> None:
    assert repeated([shown("E1", codes=("SN 1",))], [before("E5", 2, codes=("SN 2",))]) == []


def test_of_several_the_nearest_is_told_and_of_these_the_oldest() -> None:
    others = [
        before("E1", 3, day="2026-01-01"),
        before("E2", 1, day="2026-02-02"),
        before("E3", 1, day="2026-01-09"),
    ]

    (told,) = repeated([shown("E1")], others)

    assert (told.earlier.picture.exhibit, told.earlier.day) == ("E3", "2026-01-09")


@pytest.fixture
def bag(sealed: Path, tmp_path: Path) -> Path:
    """A copy of a sealed bundle that may be spoiled, two folders below ``tmp_path / 'all'``."""
    target = tmp_path / "all" / "AMB-0417" / "0000-build"
    shutil.copytree(sealed, target)
    for path in (target, *target.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)
    return target


def codes(found: earlier.Earlier) -> list[str]:
    return [each.code for each in found.passed]


def test_photos_are_read_from_the_items_of_bundles_below(bag: Path) -> None:
    found = sealed([bag.parents[1]])

    assert (found.bundles, found.passed) == (1, [])
    assert {each.day for each in found.pictures} == {"2026-03-06"}
    assert {each.picture.job for each in found.pictures} == {"AMB-0417"}
    photos = [
        json.loads(path.read_bytes())["id"]
        for path in sorted((bag / "data" / "items").iterdir())
        if json.loads(path.read_bytes())["kind"] == "photo"
    ]
    assert [each.picture.exhibit for each in found.pictures] == photos


def test_a_bundle_named_twice_or_itself_is_read_once(bag: Path) -> None:
    found = sealed([bag, bag.parents[1], bag.parent])

    assert found.bundles == 1


def test_a_disclosure_without_files_serves_as_well(bag: Path) -> None:
    """Withheld are originals and people; items are for everybody."""
    whole = sealed([bag])
    shutil.rmtree(bag / "data" / "files")
    shutil.rmtree(bag / "data" / "people")

    assert sealed([bag]) == whole


def _without_manifest(bag: Path) -> None:
    (bag / "data" / "manifest.json").unlink()


def _no_json(bag: Path) -> None:
    (bag / "data" / "items" / "E001.json").write_bytes(b"{")


def _another_shape(bag: Path) -> None:
    (bag / "data" / "items" / "E001.json").write_bytes(b'{"format":"sillmark-item/0"}')


def _a_list(bag: Path) -> None:
    (bag / "seal" / "seal.json").write_bytes(b"[]")


def _deep(bag: Path) -> None:
    (bag / "data" / "items" / "E001.json").write_bytes(b"[" * 100_000)


def _link(bag: Path) -> None:
    (bag / "data" / "items" / "E001.json").unlink()
    (bag / "data" / "items" / "E001.json").symlink_to(bag / "data" / "manifest.json")
    (bag / "data" / "manifest.json").unlink()


@pytest.mark.parametrize("spoil", [_without_manifest, _no_json, _another_shape, _a_list, _deep, _link])
def test_a_broken_bundle_is_passed_over_with_a_word(bag: Path, spoil: Callable[[Path], None]) -> None:
    good = bag.parents[2] / "all" / "AMB-0418"
    shutil.copytree(bag, good)
    spoil(bag)

    found = sealed([bag.parents[1]])

    assert codes(found) == ["earlier-unreadable"]
    assert found.bundles == 1
    line = tell(found.passed[0])
    assert str(bag) in line
    assert "was passed over, because it cannot be read (" in line


def test_a_folder_without_bundles_is_named(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()

    found = sealed([tmp_path])

    assert codes(found) == ["earlier-none"]
    assert "No sealed bundle lies here" in tell(found.passed[0])


def test_a_folder_that_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        sealed([tmp_path / "none"])

    assert caught.value.problems[0].code == "folder-missing"


def test_there_is_a_limit(bag: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(bag, bag.parents[1] / "AMB-0418")
    monkeypatch.setattr(earlier, "MAX_BUNDLES", 1)

    found = sealed([bag.parents[1]])

    assert (found.bundles, codes(found)) == (1, ["earlier-many"])
    assert "Only 1 bundles were compared" in tell(found.passed[0])


def test_check_tells_photos_of_another_sealed_vehicle_and_changes_no_outcome(
    run: Run, bag: Path, faulty_job: Path
) -> None:
    """A photo of the sealed vehicle, filed again for another one."""
    shutil.copyfile(DEMO / "job" / "photos" / "E006.jpg", faulty_job / "photos" / "E002.jpg")
    with Image.open(DEMO / "job" / "photos" / "E005.jpg") as picture:
        picture.save(faulty_job / "photos" / "E001.jpg", quality=70)
    first = run("check", faulty_job, "--json")
    outcome = run("check", faulty_job, "--json", "--against", bag.parents[1])

    assert first.exit_code == outcome.exit_code == 1
    assert outcome.stdout == first.stdout
    assert "sealed" not in first.stderr
    assert "AMB-0520 E001 looks like E005 of AMB-0417, sealed 2026-03-06: " in outcome.stderr
    assert "AMB-0520 E002 is the very file of E006 of AMB-0417, sealed 2026-03-06: " in outcome.stderr
    assert "Sealed bundles that photos were compared with: 1, with " in outcome.stderr


def test_check_of_the_sealed_job_itself_tells_nothing(run: Run, bag: Path, job: Path) -> None:
    outcome = run("check", job, "--against", bag)

    assert outcome.exit_code == 0
    assert "looks like" not in outcome.stderr
    assert "very file" not in outcome.stderr


def test_check_against_nothing_says_so_and_goes_on(run: Run, job: Path, tmp_path: Path) -> None:
    outcome = run("check", job, "--against", tmp_path)
    missing = run("check", job, "--against", tmp_path / "none")

    assert outcome.exit_code == 0
    assert "No sealed bundle lies here" in outcome.stderr
    assert missing.exit_code == 3
    assert "Traceback" not in missing.output
