"""Photos that are small, blurred or washed out: told by ``add`` and ``check``, and no outcome hangs on it."""

import json
from pathlib import Path

import pytest
from PIL import Image, ImageFilter

from tests.conftest import AT, DEMO, Run

HOOK = "E003"


@pytest.fixture
def spoilt(job: Path, tmp_path: Path) -> Path:
    """The photo of the hook position, made small, blurred and partly white."""
    source = job / "photos" / f"{HOOK}.jpg"
    with Image.open(source) as picture:
        exif = picture.getexif()
        small = picture.convert("RGB").resize((1600, 1200)).filter(ImageFilter.GaussianBlur(3))
    small.paste((255, 255, 255), (0, 0, 1600, 300))
    target = tmp_path / "IMG_1.jpg"
    small.save(target, quality=90, exif=exif)
    return target


def test_the_demonstration_gives_no_notice(run: Run, job: Path) -> None:
    outcome = run("check", job)

    for words in ("pixels on its longer side", "sharpest edges", "plain white"):
        assert words not in outcome.output


def test_add_says_at_once_what_is_wrong_with_a_photo(run: Run, faulty_job: Path, spoilt: Path) -> None:
    outcome = run("add", faulty_job, spoilt, "--as", "hook-position", "--for", "p1", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    assert "at least 2000 are good for what it shows (Hook position). If it is a copy" in outcome.stdout
    assert "Even the sharpest edges in the photo are blurred. Wipe the lens" in outcome.stdout
    assert "plain white or plain black" in outcome.stdout


def test_an_ordinary_photo_is_added_without_a_word(run: Run, faulty_job: Path) -> None:
    photo = DEMO / "job" / "photos" / f"{HOOK}.jpg"
    outcome = run("add", faulty_job, photo, "--as", "hook-position", "--for", "p1", "--at", AT)

    assert outcome.exit_code == 0, outcome.output
    for words in ("pixels on its longer side", "sharpest edges", "plain white"):
        assert words not in outcome.stdout


def test_check_tells_it_once_for_all_photos_and_judges_as_before(
    run: Run, faulty_job: Path, spoilt: Path
) -> None:
    for role in ("hook-position", "other-photo"):
        run("add", faulty_job, spoilt, "--as", role, "--for", "p1", "--at", AT)
    told = run("check", faulty_job).stdout
    findings = json.loads(run("check", faulty_job, "--json").stdout)["findings"]

    lines = [line for line in told.splitlines() if "sharpest edges" in line]
    assert len(lines) == 1
    both = lines[0].split(":")[0].strip()
    assert len(both.split(", ")) == 2
    assert f"  {both}: Much of the photo is plain white" in told
    assert f"  {both.split(', ')[0]}: The photo has 1600 pixels" in told
    assert "photo-small" not in json.dumps(findings)
    assert "unsharp" not in json.dumps(findings)
