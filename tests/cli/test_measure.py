"""``measure``: a value with what it rests on, or a reason with what to do; nothing is judged."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.conftest import DEMO, Run
from tests.measure.flat import Laid, above
from tests.test_measuring import taken

HEADLINE = re.compile(r"Hook position ([0-9.]+) mm ± ([0-9.]+) mm \(95 %\)")
CLEAR, OPEN, USAGE, UNREADABLE, MISSING = 0, 1, 2, 3, 5


@pytest.fixture(scope="module")
def photos(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of photos: steep, slanting, of a hook beyond its limits, and of one near a limit."""
    folder = tmp_path_factory.mktemp("photos")
    for name, tilt, distance in (
        ("steep", 4.0, 119.8),
        ("slanting", 40.0, 119.8),
        ("beyond", 4.0, 124.0),
        ("near", 12.0, 121.7),
    ):
        (folder / f"{name}.jpg").write_bytes(taken(name, above(tilt), Laid(distance=distance)).data)
    bare = taken("bare", above(4.0), Laid(slider=False)).data
    (folder / "bare.jpg").write_bytes(bare)
    return folder


@pytest.fixture
def profile(tmp_path: Path) -> Path:
    """The demonstration's profile for a slider that lies in the card's plane."""
    text = (DEMO / "job" / "profile.yaml").read_text(encoding="utf-8")
    path = tmp_path / "profile.yaml"
    path.write_text(text.replace("contact_height: 6 mm", "contact_height: 0 mm"), encoding="utf-8")
    return path


def test_a_value_with_what_it_rests_on(run: Run, photos: Path) -> None:
    result = run("measure", photos / "steep.jpg")
    assert result.exit_code == CLEAR
    lines = result.stdout.splitlines()
    told = HEADLINE.fullmatch(lines[0])
    assert told is not None, lines[0]
    assert float(told[1]) == pytest.approx(119.8, abs=0.4)
    assert 0.2 < float(told[2]) < 0.6
    # two digits of the uncertainty, and the value to the same place
    assert (len(told[2]), len(told[1].partition(".")[2])) == (4, 2)
    assert "steep.jpg: 12 of 12 card tags" in result.stdout
    assert "no profile: slider in the card's plane" in result.stdout
    assert "uncertainty, mm: cut edges 0." in result.stdout
    assert "To know" not in result.stdout
    assert "What it would mean" not in result.stdout
    assert result.stderr == ""


@pytest.mark.parametrize(
    ("names", "meaning"),
    [
        (["steep"], "Inside the limits of heron-2@C, uncertainty included."),
        (["beyond"], "Outside the limits of heron-2@C, uncertainty included."),
        (["near"], "Too near a limit of heron-2@C to tell: the uncertainty reaches across it."),
        (["slanting"], "It decides nothing yet: a second photo from beside the hook is needed"),
        (["steep", "slanting"], "Inside the limits of heron-2@C, uncertainty included."),
    ],
)
def test_what_it_would_mean_for_the_profile(
    run: Run, photos: Path, profile: Path, names: list[str], meaning: str
) -> None:
    result = run("measure", *(photos / f"{name}.jpg" for name in names), "--profile", profile)
    assert result.exit_code == CLEAR, result.stderr
    assert meaning in result.stdout
    assert "profile heron-2@C: hook touched 0 ± 1 mm above the card, 0 mm added" in result.stdout
    if "decides nothing" not in meaning:
        assert "The recorded caliper reading is what is judged" in result.stdout
    for word in ("certified", "compliant", "approved", "conforms"):
        assert word not in result.stdout.lower()


def test_the_trial_of_the_workshop_counts_as_it_does_in_a_job(run: Run, photos: Path, profile: Path) -> None:
    plain = run("measure", photos / "steep.jpg", "--profile", profile)
    trial = 'bench_trial: {done: 2026-02-01, report: BW-TR-1, gap_mean: "0.12", cut: "0.05"}\n'
    text = profile.read_text(encoding="utf-8")
    profile.write_text(text.replace("\nsteps:", f"\n{trial}steps:"), encoding="utf-8")

    told = run("measure", photos / "steep.jpg", "--profile", profile).stdout
    assert "from the workshop's own trial: cut 0.05, gap mean 0.12; the rest assumed" in told
    assert "cut edges 0.09" in plain.stdout
    assert "cut edges 0.07" in told  # two edges of 0.05 mm each, independent: 0.05 · √2, computed by hand


def test_the_answer_for_machines(run: Run, photos: Path, profile: Path) -> None:
    result = run("measure", photos / "slanting.jpg", "--profile", profile, "--json")
    answer = json.loads(result.stdout, parse_float=lambda text: pytest.fail(f"a float: {text}"))
    assert {
        "quantity",
        "value",
        "unit",
        "expanded_uncertainty",
        "coverage",
        "method",
        "terms",
        "warnings",
    } <= set(answer)
    assert (answer["quantity"], answer["unit"], answer["coverage"]) == ("hook position", "mm", "95 %")
    assert answer["method"] == "gauge-card-plane/1"
    assert answer["decides"] is False
    assert answer["profile"] == "heron-2@C"
    (warning,) = answer["warnings"]
    assert warning["code"] == "view-oblique"
    assert warning["exhibit"] == "slanting.jpg"
    assert warning["text"].endswith("decides nothing by itself.")
    assert warning["to_do"].endswith(".")


def test_a_photo_without_card_gives_its_reason_and_what_to_do(run: Run) -> None:
    photo = DEMO / "job" / "photos" / "E001.jpg"
    result = run("measure", photo)
    assert result.exit_code == OPEN
    assert result.stdout.startswith("Hook position: not measured")
    assert "The gauge card is not clearly in the picture: 0 of its 12 tags" in result.stdout
    assert "Show the whole card" in result.stdout
    answer = json.loads(run("measure", photo, "--json").stdout)
    assert answer["state"] == "unmeasurable"
    assert answer["value"] is None
    assert answer["reason"]["code"] == "card-not-seen"
    assert answer["reason"]["to_do"]


def test_one_bad_photo_of_two_leaves_the_job_half_done(run: Run, photos: Path) -> None:
    result = run("measure", photos / "steep.jpg", DEMO / "job" / "photos" / "E001.jpg")
    assert result.exit_code == OPEN
    assert HEADLINE.fullmatch(result.stdout.splitlines()[0])
    assert "E001.jpg: The gauge card is not clearly in the picture" in result.stdout


def test_a_height_that_the_slider_does_not_have(run: Run, photos: Path) -> None:
    result = run("measure", photos / "steep.jpg", "--profile", _raised(photos))
    assert result.exit_code == OPEN
    assert "where 6.0 mm is expected" in result.stdout


def _raised(folder: Path) -> Path:
    text = (DEMO / "job" / "profile.yaml").read_text(encoding="utf-8")
    path = folder / "raised.yaml"
    path.write_text(text.replace("contact_height: 0 mm", "contact_height: 6 mm"), encoding="utf-8")
    return path


@pytest.mark.parametrize("name", ["measured.jpg", "measured.PNG"])
def test_the_overlay_is_a_picture_and_replaces_an_older_one(
    run: Run, photos: Path, tmp_path: Path, name: str
) -> None:
    target = tmp_path / name
    target.write_bytes(b"older")
    result = run("measure", photos / "steep.jpg", "--overlay", target)
    assert result.exit_code == CLEAR
    assert f"Picture with the measurement: {target}" in result.stderr
    with Image.open(target) as picture:
        assert picture.format == ("PNG" if name.endswith("PNG") else "JPEG")


def test_the_overlay_of_what_cannot_be_measured_shows_what_was_found(
    run: Run, photos: Path, tmp_path: Path
) -> None:
    """The whole photo below words: all of a card without slider outlined, and of a photo without card nothing."""
    blue = {}
    for name, photo in (("bare", photos / "bare.jpg"), ("none", DEMO / "job" / "photos" / "E001.jpg")):
        target = tmp_path / f"{name}.png"
        result = run("measure", photo, "--overlay", target)
        assert result.exit_code == OPEN
        assert f"Picture with the measurement: {target}" in result.stderr
        with Image.open(photo) as before, Image.open(target) as drawn:
            below = before.height * drawn.width / before.width
            assert drawn.height > below + 40
            pixels = np.asarray(drawn.convert("RGB"), dtype=np.int16)
        blue[name] = int((np.abs(pixels - np.array([0, 190, 255])).max(axis=2) < 30).sum())
        words = pixels[: int(len(pixels) - below) - 2]
        assert (words.min(axis=2) > 200).sum() > 500
    assert blue["bare"] > 12 * 4 * 20
    assert blue["none"] < 200


def test_the_overlay_never_replaces_the_photo(run: Run, photos: Path) -> None:
    photo = photos / "steep.jpg"
    before = photo.read_bytes()
    result = run("measure", photo, "--overlay", photos / "." / "steep.jpg")
    assert result.exit_code == USAGE
    assert "The picture would be written over the photo itself." in result.stderr
    assert photo.read_bytes() == before


def test_the_overlay_is_jpeg_or_png(run: Run, photos: Path, tmp_path: Path) -> None:
    result = run("measure", photos / "steep.jpg", "--overlay", tmp_path / "measured.pdf")
    assert result.exit_code == USAGE
    assert "as JPEG or PNG only" in result.stderr


def test_points_without_a_slider(run: Run, photos: Path) -> None:
    result = run("measure", photos / "bare.jpg")
    assert result.exit_code == OPEN
    assert "give two points with --points" in result.stdout
    first, second = above(4.0).pixels(np.array([(118.0, 64.0), (118.0, 126.0)]))
    typed = f"{first[0]:.1f},{first[1]:.1f},{second[0]:.1f},{second[1]:.1f}"
    result = run("measure", photos / "bare.jpg", "--points", typed)
    assert result.exit_code == CLEAR, result.stdout
    told = HEADLINE.fullmatch(result.stdout.splitlines()[0])
    assert told is not None
    assert float(told[1]) == pytest.approx(118.0, abs=0.3)
    assert "The hook's line was set by hand" in result.stdout
    assert "points set by hand 0." in result.stdout


@pytest.mark.parametrize("typed", ["1,2,3", "left,1,2,3"])
def test_points_that_are_none(run: Run, photos: Path, typed: str) -> None:
    result = run("measure", photos / "bare.jpg", "--points", typed)
    assert result.exit_code == USAGE
    assert f"Expected two points, found '{typed}'." in result.stderr


def test_points_with_two_photos(run: Run, photos: Path) -> None:
    result = run("measure", photos / "steep.jpg", photos / "bare.jpg", "--points", "1,2,3,4")
    assert result.exit_code == USAGE
    assert "The option --points belongs to one photo" in result.stderr


def test_the_same_photo_twice(run: Run, photos: Path) -> None:
    result = run("measure", photos / "steep.jpg", photos / "steep.jpg")
    assert result.exit_code == USAGE
    assert "This is the same photo as" in result.stderr


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("job/documents/E009.pdf", "This is a PDF, not a photo."),
        ("job/profile.yaml", "This is a text file, not a photo."),
        ("job/photos", "This is no plain file"),
        ("job/photos/E999.jpg", "E999.jpg"),
    ],
)
def test_what_is_no_photo(run: Run, path: str, words: str) -> None:
    result = run("measure", DEMO / path)
    assert result.exit_code == UNREADABLE
    assert words in result.stderr
    assert result.stdout == ""


def test_a_heic_photo_needs_its_extra(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from evidence import guard  # noqa: PLC0415 - only this test changes it

    path = tmp_path / "a.heic"
    path.write_bytes(b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + b"\x00" * 64)
    original = guard.Guard.__init__
    monkeypatch.setattr(
        guard.Guard,
        "__init__",
        lambda self, *given, **named: original(self, *given, **named | {"without": ("pillow_heif",)}),
    )
    result = run("measure", path)
    assert result.exit_code == MISSING
    assert "HEIC" in result.stderr


def test_two_photos_of_one_name_are_told_apart(run: Run, photos: Path, tmp_path: Path) -> None:
    (tmp_path / "steep.jpg").write_bytes((photos / "slanting.jpg").read_bytes())
    answer = json.loads(run("measure", photos / "steep.jpg", tmp_path / "steep.jpg", "--json").stdout)
    assert len(set(answer["exhibits"])) == 2


def test_a_given_lens(run: Run, photos: Path) -> None:
    answer = json.loads(run("measure", photos / "steep.jpg", "--focal", "26", "--json").stdout)
    assert answer["views"][0]["focal"] == "given"
    for typed in ("0", "nan", "1e3", "26 mm"):
        assert run("measure", photos / "steep.jpg", "--focal", typed).exit_code == USAGE


def test_a_profile_with_mistakes_names_them(run: Run, photos: Path, profile: Path) -> None:
    profile.write_text(
        profile.read_text(encoding="utf-8").replace("contact_height: 0 mm", "contact_height: 0")
    )
    result = run("measure", photos / "steep.jpg", "--profile", profile)
    assert result.exit_code == UNREADABLE
    assert "profile.yaml:14:19" in result.stderr
