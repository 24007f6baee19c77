"""Photos once more: exiftool as the second reader of the same camera data."""

import importlib.util
import json
import os
import shutil
import subprocess
import tarfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL.TiffImagePlugin import IFDRational

from evidence.errors import InputError
from evidence.exhibits import photo
from tests.exhibits.files import exif, gradient, jpeg, png
from tests.exhibits.test_photo_heic import heic

WHERE = "photos/E001.jpg"
EXIFTOOL = shutil.which("exiftool")
PUBLIC_PHOTOS = "SILLMARK_TEST_PHOTOS"
"""Environment variable that names a folder with source archives of packages that carry test photos.

``.ci/run`` fetches two: piexif 1.1.3 (1 MB, MIT: cameras of eight makers) and pillow_heif 1.8.1 (17 MB, BSD-3-Clause:
HEIC of phones and cameras of four makers). Their pictures are read where they lie and stand nowhere in this project.
"""
ARCHIVES = tuple(sorted(Path(os.environ[PUBLIC_PHOTOS]).glob("*.*"))) if PUBLIC_PHOTOS in os.environ else ()
HEIC_ENDINGS = (".heic", ".heif", ".hif")
HEIC_READS = importlib.util.find_spec("pillow_heif") is not None
OTHER_ITEM = ("invalid_id", "_thumbnail")  # artificial files of which exiftool tells the size of another item
DEMO_PHOTOS = Path(__file__).parents[2] / "demo_bundle" / "job" / "photos"
CAMERA = {0x010F: "Acme", 0x0110: "Acme Pocket 3", 0x0131: "Firmware 1.2"}
TAKEN = {
    0x9003: "2026:03:04 10:40:07", 0x9011: "+01:00", 0x920A: IFDRational(425, 100), 0xA405: 26,
    0xA430: "Some Owner", 0xA431: "SER-123456",
}  # fmt: skip


def by_exiftool(path: Path) -> dict[str, Any]:
    arguments = ["-n", "-j", "-ImageWidth", "-ImageHeight", "-IFD0:Orientation", "-ExifIFD:DateTimeOriginal",
                 "-ExifIFD:OffsetTimeOriginal", "-IFD0:Make", "-IFD0:Model", "-IFD0:Software", "-ExifIFD:FocalLength",
                 "-ExifIFD:FocalLengthIn35mmFormat", "-GPS:GPSLatitude", "-QuickTime:Rotation", "-XMP:GPSLatitude",
                 "-QuickTime:CleanAperture"]  # fmt: skip
    out = subprocess.run([str(EXIFTOOL), *arguments, str(path)], check=True, capture_output=True, text=True)
    fields: dict[str, Any] = json.loads(out.stdout, parse_float=str)[0]  # "1.00" is a name there
    return fields


def assert_same_as_exiftool(data: bytes, path: Path) -> None:
    # computed independently with exiftool
    theirs = by_exiftool(path)
    ours = photo.answer(data, WHERE).value["photo"]
    turned = theirs.get("Orientation", 1)
    if path.suffix.lower() in HEIC_ENDINGS:  # turned by the decoder, whatever the camera data repeat
        turned = {90: 6, 270: 8}.get(theirs.get("Rotation", 0), 1)
        assert ours["orientation"] == 1
    else:
        assert ours["orientation"] == turned
    if not any(part in path.name for part in OTHER_ITEM):
        assert sides_by_exiftool(theirs, turned) == (ours["width"], ours["height"])
    taken = theirs.get("DateTimeOriginal")
    assert (taken and taken.replace(":", "-", 2).replace(" ", "T")) == ours.get("taken")
    assert theirs.get("OffsetTimeOriginal") == ours.get("taken_offset")
    assert one_line(theirs.get("Software")) == ours.get("software")
    assert (theirs.get("FocalLengthIn35mmFormat") or None) == ours.get("focal_35mm")
    assert ("GPSLatitude" in theirs) == ours["has_position"]
    assert float(theirs.get("FocalLength", 0)) == pytest.approx(
        float(ours.get("focal_length_mm", 0)), abs=5e-5
    )
    for name in ("Make", "Model"):
        assert (one_line(theirs.get(name)) or "") in ours.get("camera", "")


def sides_by_exiftool(theirs: dict[str, Any], turned: int) -> tuple[int, int]:
    # a clean aperture is the part that a decoder shows
    width, height, *_ = [int(float(part)) for part in str(theirs.get("CleanAperture", "")).split()] or [0, 0]
    sides = (width or theirs["ImageWidth"], height or theirs["ImageHeight"])
    return sides[::-1] if turned >= 5 else sides


def one_line(text: object) -> str | None:
    return None if text is None else " ".join(str(text).split()) or None


def public_photos() -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every JPEG and HEIC in the archives."""
    for archive in ARCHIVES:
        if zipfile.is_zipfile(archive):
            with zipfile.ZipFile(archive) as opened:
                yield from ((name, opened.read(name)) for name in sorted(opened.namelist()) if is_photo(name))
        else:
            with tarfile.open(archive) as packed:
                for member in sorted(packed.getmembers(), key=lambda each: each.name):
                    content = (
                        packed.extractfile(member) if member.isfile() and is_photo(member.name) else None
                    )
                    if content is not None:
                        yield member.name, content.read()


def is_photo(name: str) -> bool:
    endings = (".jpg", ".jpeg", *(HEIC_ENDINGS if HEIC_READS else ()))
    return name.lower().endswith(endings)


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


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
@pytest.mark.skipif(not HEIC_READS, reason="the extra that reads HEIC is not installed")
@pytest.mark.parametrize("orientation", [None, 1, 3, 6, 8])
@pytest.mark.parametrize("position", [False, True])
def test_exiftool_reads_the_same_of_heic(tmp_path: Path, orientation: int | None, *, position: bool) -> None:
    """The turn stands in another place, and the claims are the same."""
    main = CAMERA | ({0x0112: orientation} if orientation else {})
    data = heic(gradient((96, 64)), exif=exif(main, TAKEN, position=position))
    (tmp_path / "a.heic").write_bytes(data)

    assert_same_as_exiftool(data, tmp_path / "a.heic")


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
@pytest.mark.skipif(not ARCHIVES, reason=f"{PUBLIC_PHOTOS} names no folder with archives of test photos")
def test_exiftool_reads_the_same_of_public_photos(tmp_path: Path) -> None:
    """Photos of cameras and phones of many makers, written by their own firmware."""
    read, refused = 0, set()
    for name, data in public_photos():
        path = tmp_path / Path(name).name
        path.write_bytes(data)
        try:
            photo.answer(data, WHERE)
        except InputError as error:
            refused |= {(path.name, problem.code) for problem in error.problems}
            continue
        assert_same_as_exiftool(data, path)
        read += 1

    # what those collections call corrupted, truncated, empty or too large
    assert refused <= {
        ("notjpeg.jpg", "exhibit-damaged"),
        ("corrupted.heic", "exhibit-damaged"),
        ("corrupted.hif", "exhibit-damaged"),
        ("empty.heic", "exhibit-damaged"),
        ("truncated.heic", "exhibit-truncated"),
        ("200MP.heic", "exhibit-too-many-pixels"),
    }
    assert read >= 16
