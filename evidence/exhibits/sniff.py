"""What a file is, by its content; names and extensions are claims."""

from typing import NoReturn

from evidence.exhibits._answer import refuse
from evidence.exhibits._mme_parts import holds_parts

JPEG, PNG, HEIC, PDF, CSV = "image/jpeg", "image/png", "image/heic", "application/pdf", "text/csv"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
ODS = "application/vnd.oasis.opendocument.spreadsheet"
ZIP = "application/zip"
UNKNOWN = "application/octet-stream"
EXTENSIONS: dict[str, tuple[str, ...]] = {
    JPEG: (".jpg", ".jpeg", ".jpe", ".jfif"),
    PNG: (".png",),
    HEIC: (".heic", ".heif", ".hif"),
    PDF: (".pdf",),
    CSV: (".csv", ".txt", ".tsv", ".tab", ".dat", ".asc"),
    XLSX: (".xlsx",),
    ODS: (".ods",),
    ZIP: (".zip",),
}
"""Extensions under which each media type may stand; the first is the one this program writes."""

PDF_HEADER_WITHIN = (
    1024  # bytes; readers accept a header that late, and scanners do write something before it
)
TEXT_PROBE = 65_536  # bytes looked at to tell text from anything else

_HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs"})
_AVIF_BRANDS = frozenset({b"avif", b"avis"})
_STILL_BRANDS = _HEIC_BRANDS | _AVIF_BRANDS | {b"mif1", b"mif2", b"msf1"}
"""Brands that lead a file of still pictures; the general ones leave open how the pictures are coded."""
MAX_BRANDS = 64  # looked at
# (code, name shown, magic bytes at the start); the first that fits decides
_REFUSED: tuple[tuple[str, str, tuple[bytes, ...]], ...] = (
    ("exhibit-picture-kind", "TIFF or camera raw", (b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")),
    ("exhibit-picture-kind", "GIF", (b"GIF87a", b"GIF89a")),
    ("exhibit-picture-kind", "JPEG 2000", (b"\x00\x00\x00\x0cjP  ", b"\xff\x4f\xff\x51")),
    ("exhibit-picture-kind", "JPEG XL", (b"\xff\x0a", b"\x00\x00\x00\x0cJXL ")),
    ("exhibit-picture-kind", "BMP", (b"BM",)),
    (
        "exhibit-archive",
        "7z, rar, gz, bz2 or xz",
        (b"7z\xbc\xaf\x27\x1c", b"Rar!\x1a\x07", b"\x1f\x8b", b"BZh", b"\xfd7zXZ\x00"),
    ),
    ("exhibit-executable", "Windows program", (b"MZ",)),
    ("exhibit-executable", "Linux program", (b"\x7fELF",)),
    ("exhibit-executable", "macOS program", (b"\xcf\xfa\xed\xfe", b"\xce\xfa\xed\xfe", b"\xca\xfe\xba\xbe")),
    ("exhibit-executable", "script", (b"#!",)),
    ("exhibit-video", "video", (b"\x1aE\xdf\xa3",)),
)
_OFFICE_MEMBERS = (b"[Content_Types].xml", b"mimetypeapplication/vnd.oasis", b"xl/", b"word/", b"ppt/")
_MARKUP = (b"<!doctype", b"<html", b"<?xml", b"<svg", b"<script", b"<!--")
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_ZIP = (b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08")
_COMPOUND = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # start of older office files, and of encrypted newer ones
_OTHER_BOOKS = (
    b"xl/vbaProject.bin",
    b"xl/workbook.bin",
    b"Index/Document.iwa",
)  # macros, binary, another maker's


def media_type(data: bytes, where: str) -> str:
    """Media type of a file that this program reads.

    Args:
        data: the whole file.
        where: name for messages.

    Returns:
        ``image/jpeg``, ``image/png``, ``image/heic``, ``application/pdf``, ``text/csv``, the type of a workbook, or
        ``application/zip`` of an archive that holds parts of a set of channels.

    Raises:
        InputError: with code exhibit-empty, exhibit-picture-kind, exhibit-office, workbook-kind,
            workbook-password, exhibit-archive, exhibit-video, exhibit-executable, exhibit-markup, table-encoding or exhibit-unknown.
    """
    if not data:
        refuse("exhibit-empty", where)
    if data.startswith(b"\xff\xd8\xff"):
        return JPEG
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return PNG
    if is_heic(data):
        return HEIC
    packed = _packed(data, where)
    if packed:
        return packed
    _refuse_known(data, where)
    if b"%PDF-" in data[:PDF_HEADER_WITHIN]:
        return PDF
    if not _is_text(data):
        refuse("exhibit-unknown", where, found=data[:8].hex(" "))
    return CSV


def is_heic(data: bytes) -> bool:
    """Whether a file is of still pictures that an HEVC decoder reads, by the brands that it names."""
    brands = _brands(data)
    return bool(brands) and brands[0] in _STILL_BRANDS and not _HEIC_BRANDS.isdisjoint(brands)


def _brands(data: bytes) -> tuple[bytes, ...]:
    """Brands of an ISO media file, the leading one first; none where it is none."""
    if data[4:8] != b"ftyp":
        return ()
    end = min(int.from_bytes(data[:4]), len(data), 16 + 4 * MAX_BRANDS)
    return (data[8:12], *(data[at : at + 4] for at in range(16, end - 3, 4)))


def extension(media: str) -> str:
    """Extension this program gives to a file of a media type, with its dot; ``.bin`` where it reads none."""
    return EXTENSIONS.get(media, (".bin",))[0]


def fits_extension(media: str, name: str) -> bool:
    """Whether the ending of a file name promises the media type that the content has."""
    return name.lower().endswith(EXTENSIONS.get(media, ()))


def _packed(data: bytes, where: str) -> str:
    """Media type of a set of channels or of a workbook; empty where it is neither."""
    if not data.startswith(_ZIP):
        return ""
    if holds_parts(data):  # a set may hold a workbook among its papers, never the reverse
        return ZIP
    return _workbook(data, where)


def _workbook(data: bytes, where: str) -> str:
    if any(name in data for name in _OTHER_BOOKS):
        refuse("workbook-kind", where)
    if data[30:200].startswith(b"mimetype" + ODS.encode()) and b"-template" not in data[30:100]:
        return ODS
    written = b"word/document.xml" in data or b"ppt/presentation.xml" in data
    return XLSX if b"xl/workbook.xml" in data and not written else ""


def _refuse_compound(data: bytes, where: str) -> NoReturn:
    if "EncryptedPackage".encode("utf-16-le") in data:
        refuse("workbook-password", where)
    if "Workbook".encode("utf-16-le") in data:
        refuse("workbook-kind", where)
    refuse("exhibit-office", where, found="older office file")


def _refuse_known(data: bytes, where: str) -> None:
    if data[4:8] == b"ftyp":
        _refuse_iso_media(data, where)
    if data.startswith(b"RIFF"):
        _refuse_riff(data, where)
    if data.startswith(_COMPOUND):
        _refuse_compound(data, where)
    if data.startswith(_ZIP):
        office = any(member in data[:4096] for member in _OFFICE_MEMBERS)
        refuse(
            "exhibit-office" if office else "exhibit-archive", where, found="office file" if office else "zip"
        )
    for code, name, starts in _REFUSED:
        # two letters alone may also begin a heading, so the short ones must not be text
        if data.startswith(starts) and (len(starts[0]) > 2 or name == "script" or not _looks_like_text(data)):  # noqa: PLR2004
            refuse(code, where, found=name)
    if data[:256].removeprefix(b"\xef\xbb\xbf").lstrip().lower().startswith(_MARKUP):
        refuse("exhibit-markup", where)


def _refuse_iso_media(data: bytes, where: str) -> NoReturn:
    brands = _brands(data)
    if brands[0] in _STILL_BRANDS:
        avif = not _AVIF_BRANDS.isdisjoint(brands)
        refuse("exhibit-picture-kind", where, found="AVIF" if avif else "HEIF of an unknown coding")
    refuse("exhibit-video", where, found="video")


def _refuse_riff(data: bytes, where: str) -> NoReturn:
    if data[8:12] == b"WEBP":
        refuse("exhibit-picture-kind", where, found="WEBP")
    refuse("exhibit-video", where, found="sound or video")


def _is_text(data: bytes) -> bool:
    if data.startswith(_UTF16_MARKS):
        data = data[: TEXT_PROBE - TEXT_PROBE % 2].decode("utf-16", "replace").encode("utf-8", "replace")
    return _looks_like_text(data)


def _looks_like_text(data: bytes) -> bool:
    # control characters never stand in a table; bytes above 7F may be letters of any encoding
    allowed = b"\t\n\r"
    return not any(byte < 0x20 and byte not in allowed for byte in data[:TEXT_PROBE])  # noqa: PLR2004
