"""Photos once more: exiftool as the second reader of the same camera data."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from PIL.TiffImagePlugin import IFDRational

from evidence.exhibits import photo
from tests.exhibits.files import exif, jpeg, png

WHERE = "photos/E001.jpg"
EXIFTOOL = shutil.which("exiftool")
DEMO_PHOTOS = Path(__file__).parents[2] / "demo_bundle" / "job" / "photos"
CAMERA = {0x010F: "Acme", 0x0110: "Acme Pocket 3", 0x0131: "Firmware 1.2"}
TAKEN = {
    0x9003: "2026:03:04 10:40:07", 0x9011: "+01:00", 0x920A: IFDRational(425, 100), 0xA405: 26,
    0xA430: "Some Owner", 0xA431: "SER-123456",
}  # fmt: skip


def by_exiftool(path: Path) -> dict[str, Any]:
    arguments = ["-n", "-j", "-ImageWidth", "-ImageHeight", "-IFD0:Orientation", "-ExifIFD:DateTimeOriginal",
                 "-ExifIFD:OffsetTimeOriginal", "-IFD0:Make", "-IFD0:Model", "-IFD0:Software", "-ExifIFD:FocalLength",
                 "-ExifIFD:FocalLengthIn35mmFormat", "-GPS:GPSLatitude"]  # fmt: skip
    out = subprocess.run([str(EXIFTOOL), *arguments, str(path)], check=True, capture_output=True, text=True)
    fields: dict[str, Any] = json.loads(out.stdout)[0]
    return fields


def assert_same_as_exiftool(data: bytes, path: Path) -> None:
    # computed independently with exiftool
    theirs = by_exiftool(path)
    ours = photo.answer(data, WHERE).value["photo"]
    sides = (theirs["ImageWidth"], theirs["ImageHeight"])
    if theirs.get("Orientation", 1) >= 5:
        sides = sides[::-1]
    assert sides == (ours["width"], ours["height"])
    assert theirs.get("Orientation", 1) == ours["orientation"]
    taken = theirs.get("DateTimeOriginal")
    assert (taken and taken.replace(":", "-", 2).replace(" ", "T")) == ours.get("taken")
    assert theirs.get("OffsetTimeOriginal") == ours.get("taken_offset")
    assert theirs.get("Software") == ours.get("software")
    assert theirs.get("FocalLengthIn35mmFormat") == ours.get("focal_35mm")
    assert ("GPSLatitude" in theirs) == ours["has_position"]
    assert float(theirs.get("FocalLength", 0)) == pytest.approx(
        float(ours.get("focal_length_mm", 0)), abs=5e-5
    )
    assert theirs.get("Model", "") in ours.get("camera", "")


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
@pytest.mark.parametrize("orientation", [None, 1, 3, 6, 8])
@pytest.mark.parametrize("camera", [{}, TAKEN, {0x9003: "2025:12:31 23:59:59", 0x920A: IFDRational(19, 7)}])
@pytest.mark.parametrize("position", [False, True])
def test_exiftool_reads_the_same(
    tmp_path: Path, orientation: int | None, camera: dict[int, Any], *, position: bool
) -> None:
    """A second program reads the same fields from the same bytes."""
    main = CAMERA | ({0x0112: orientation} if orientation else {})
    for name, make in (("a.jpg", jpeg), ("a.png", png)):
        data = make(exif=exif(main, camera, position=position))
        (tmp_path / name).write_bytes(data)
        assert_same_as_exiftool(data, tmp_path / name)


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
@pytest.mark.skipif(not DEMO_PHOTOS.is_dir(), reason="the demo's photos are not there")
def test_exiftool_reads_the_same_of_the_demo_photos() -> None:
    """The demo's photos claim the same to both programs."""
    paths = sorted(DEMO_PHOTOS.glob("E*.*"))
    assert paths
    for path in paths:
        assert_same_as_exiftool(path.read_bytes(), path)
