"""Media type by content: what is read is recognised, what is not is refused with advice."""

import io
import zipfile

import pytest

from evidence import exhibits
from evidence.errors import InputError
from evidence.exhibits import reading, sniff
from tests.exhibits.files import jpeg, png, text_pdf, told

WHERE = "photos/E001.jpg"


def archive(*names: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as writer:
        for name in names:
            writer.writestr(name, "x")
    return out.getvalue()


def test_four_kinds_are_recognised() -> None:
    """JPEG, PNG, PDF and CSV are known by their content alone."""
    files = [jpeg(), png(), text_pdf(), b"time [s],force [N]\n0,1\n"]

    assert [sniff.media_type(data, WHERE) for data in files] == [
        "image/jpeg",
        "image/png",
        "application/pdf",
        "text/csv",
    ]


@pytest.mark.parametrize(
    "brands", [b"heic\0\0\0\0mif1heic", b"mif1\0\0\0\0mif1heic", b"heix\0\0\0\0", b"msf1\0\0\0\0msf1hevc"]
)
def test_heic_is_known_by_its_brands(brands: bytes) -> None:
    """The leading brand may be the general one; another then says that the pictures are coded as HEVC."""
    data = (len(brands) + 8).to_bytes(4) + b"ftyp" + brands

    assert sniff.media_type(data, WHERE) == "image/heic"
    assert [sniff.fits_extension("image/heic", name) for name in ("a.HEIC", "a.heif", "a.hif", "a.jpg")] == [
        True, True, True, False,
    ]  # fmt: skip


def test_pdf_may_begin_late() -> None:
    """Something before the header, as scanners and mail programs leave it, does not hide a PDF."""
    assert sniff.media_type(b"\r\n\0junk" + text_pdf(), WHERE) == sniff.PDF


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "exhibit-empty"),
        (b"\x00\x00\x00\x1cftypavif\x00\x00\x00\x00mif1avifmiaf", "exhibit-picture-kind"),
        (b"\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1avif", "exhibit-picture-kind"),
        (b"\x00\x00\x00\x14ftypmif1\x00\x00\x00\x00mif1", "exhibit-picture-kind"),
        (b"\x00\x00\x00\x18ftypqt  \x00\x00\x00\x00qt  heic", "exhibit-video"),
        (b"\x00\x00\x00\x18ftypisom\x00\x00\x02\x00", "exhibit-video"),
        (b"\x1aE\xdf\xa3\x01\x00", "exhibit-video"),
        (b"RIFF\x10\x00\x00\x00WEBPVP8 ", "exhibit-picture-kind"),
        (b"RIFF\x10\x00\x00\x00AVI LIST", "exhibit-video"),
        (b"II*\x00\x08\x00\x00\x00", "exhibit-picture-kind"),
        (b"MM\x00*\x00\x00\x00\x08", "exhibit-picture-kind"),
        (b"GIF89a\x01\x00\x01\x00", "exhibit-picture-kind"),
        (b"BM\x36\x00\x0c\x00\x00\x00", "exhibit-picture-kind"),
        (archive("a.jpg"), "exhibit-archive"),
        (archive("[Content_Types].xml", "word/document.xml"), "exhibit-office"),
        (archive("[Content_Types].xml", "xl/workbook.xml", "xl/vbaProject.bin"), "workbook-kind"),
        (archive("[Content_Types].xml", "xl/workbook.bin"), "workbook-kind"),
        (archive("Index/Document.iwa"), "workbook-kind"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(8), "exhibit-office"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "Workbook".encode("utf-16-le"), "workbook-kind"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"), "workbook-password"),
        (b"7z\xbc\xaf\x27\x1c\x00\x04", "exhibit-archive"),
        (b"\x1f\x8b\x08\x00", "exhibit-archive"),
        (b"MZ\x90\x00\x03\x00", "exhibit-executable"),
        (b"\x7fELF\x02\x01\x01", "exhibit-executable"),
        (b"#!/bin/sh\necho 1\n", "exhibit-executable"),
        (b"\xef\xbb\xbf<!DOCTYPE html><html>", "exhibit-markup"),
        (b"\n<svg xmlns='http://www.w3.org/2000/svg'/>", "exhibit-markup"),
        (b"t\x00;\x00", "exhibit-unknown"),
        (b"\x00\x01\x02\x03binary", "exhibit-unknown"),
        (b"time [s],force [N]\n0,1\x00\n", "exhibit-unknown"),
    ],
)
def test_other_content_is_refused_with_advice(data: bytes, code: str) -> None:
    """Whatever is not read names what it is and what to do."""
    with pytest.raises(InputError) as caught:
        sniff.media_type(data, WHERE)

    (problem,) = caught.value.problems
    assert (code, WHERE) == (problem.code, problem.where)
    assert told(problem)


@pytest.mark.parametrize("heading", ["BM 1;MZ 2\n1;2\n", "MZ;F [N]\n1;2\n"])
def test_two_letters_do_not_make_a_program(heading: str) -> None:
    """A heading may begin with the letters that begin a bitmap or a program."""
    assert sniff.media_type(heading.encode(), WHERE) == sniff.CSV


def test_wrong_ending_is_noticed_and_content_decides() -> None:
    """A PNG that calls itself JPEG is read as PNG, and the item says so."""
    found = reading.read(png(), "photos/E001.jpg", "E001", reader=exhibits.call)

    assert found.item.media_type == "image/png"
    assert "exhibit-extension" in found.item.warnings


def test_right_ending_in_capitals_is_right() -> None:
    """Cameras write .JPG."""
    assert reading.read(jpeg(), "photos/IMG_1.JPG", "E001", reader=exhibits.call).item.warnings == ()


def test_extension_follows_content() -> None:
    """Copies are named by what they are."""
    assert [sniff.extension(media) for media in (*sniff.EXTENSIONS, sniff.UNKNOWN)] == [
        ".jpg",
        ".png",
        ".heic",
        ".pdf",
        ".csv",
        ".xlsx",
        ".ods",
        ".zip",
        ".bin",
    ]
