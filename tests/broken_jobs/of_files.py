"""Files of evidence that are gone, cut off, of another kind, or not what they are said to be."""

import io
import zipfile
from datetime import date
from functools import cache

from openpyxl import Workbook
from PIL import Image

from tests.broken_jobs.patches import CHECK, Case, Folder, Link, Patch, Put

NEW = "{new}/"
CSV_HEAD = b"travel [mm],force [N]\n"


def added(name: str, file: str, data: object, role: str, code: str, *words: str, where: str = "") -> Case:
    """One new file that cannot be filed as what it is said to be."""
    patch: Patch = (Put(f"../new/{file}", data),)  # type: ignore[arg-type]
    line = (
        "add",
        "{job}",
        NEW + file,
        "--as",
        role,
        "--for",
        "p1" if role in ("test-channel", "overview") else "vehicle",
    )
    return Case(name, patch, line, code, NEW + file + where, words, 3)


@cache
def photo() -> bytes:
    """A small photo of nothing."""
    out = io.BytesIO()
    Image.effect_noise((320, 240), 80).save(out, "JPEG")
    return out.getvalue()


def half_a_photo() -> bytes:
    """What a broken cable leaves."""
    return photo()[: len(photo()) // 2]


def bitmap() -> bytes:
    """A picture as old programs store it."""
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "BMP")
    return out.getvalue()


def book(*sheets: tuple[tuple[object, ...], ...]) -> bytes:
    """A workbook with these rows on each sheet."""
    made = Workbook()
    made.remove(made.worksheets[0])
    for rows in sheets:
        sheet = made.create_sheet()
        for row in rows:
            sheet.append(row)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


HEAD = ("travel [mm]", "force [N]")


def two_sheets() -> bytes:
    """Two sheets, each with a table."""
    return book((HEAD, (0, 1)), (HEAD, (0, 2)))


def date_for_number() -> bytes:
    """What a spreadsheet makes of 3.4."""
    return book((HEAD, (0, 12), (10, date(2026, 4, 3))))


def error_cell() -> bytes:
    """A cell that divides by nothing."""
    return book((HEAD, (0, 12), (10, "#DIV/0!")))


def archive() -> bytes:
    """Photos packed by a mail program."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("IMG_1.jpg", photo())
    return out.getvalue()


ADDED = (
    added("photo-half", "a.jpg", half_a_photo, "overview", "exhibit-truncated"),
    added("photo-empty", "b.jpg", b"", "overview", "exhibit-empty"),
    added("photo-as-bitmap", "c.bmp", bitmap, "overview", "exhibit-picture-kind", "BMP"),
    added("photos-in-an-archive", "d.zip", archive, "overview", "exhibit-archive"),
    added("film-for-photo", "e.mp4", b"\x00\x00\x00\x18ftypmp42" + bytes(40), "overview", "exhibit-video"),
    added("noise-for-photo", "f.jpg", b"\x01\x02\x03 nothing", "overview", "exhibit-unknown", "01"),
    added("photo-as-report", "g.jpg", photo, "type-test-report", "role-of-another-kind", "photo"),
    added(
        "page-of-the-web",
        "h.pdf",
        b"<!doctype html><html><body>x</body></html>",
        "type-test-report",
        "exhibit-markup",
    ),
    added("pdf-cut-short", "i.pdf", b"%PDF-1.7\n1 0 obj\n<<", "type-test-report", "pdf-damaged"),
    added("program-for-paper", "j.pdf", b"MZ" + bytes(200), "type-test-report", "exhibit-executable"),
    added(
        "table-without-heading", "k.csv", b"0,1\n10,2\n", "test-channel", "table-header-missing", where=":1"
    ),
    added(
        "table-short-row", "l.csv", CSV_HEAD + b"0,1\n10\n", "test-channel", "table-row-length", where=":3"
    ),
    added(
        "table-comma-either-way",
        "m.csv",
        b"travel [mm];force [N]\n0;1,234\n10;5,678\n",
        "test-channel",
        "table-comma-ambiguous",
        where=":2",
    ),
    added(
        "table-both-marks",
        "n.csv",
        b"travel [mm];force [N]\n0;1,5\n10;2.5\n",
        "test-channel",
        "table-decimal-mixed",
        where=":3",
    ),
    added(
        "table-blank-cell", "o.csv", CSV_HEAD + b"0,1\n10,\n", "test-channel", "table-cell-blank", where=":3"
    ),
    added("book-of-two-sheets", "p.xlsx", two_sheets, "test-channel", "table-several-sheets"),
    added("book-with-a-date", "q.xlsx", date_for_number, "test-channel", "table-cell-date"),
    added("book-with-an-error", "r.xlsx", error_cell, "test-channel", "table-cell-not-finite"),
)
THERE = (
    Case(
        "photo-is-a-link", (Link("photos/E003.jpg"),), CHECK, "file-symlink", "{job}/photos/E003.jpg", (), 3
    ),
    Case(
        "photo-is-a-folder",
        (Folder("photos/E003.jpg"),),
        CHECK,
        "file-not-regular",
        "{job}/photos/E003.jpg",
        (),
        3,
    ),
    Case("record-is-a-link", (Link("job.yaml"),), CHECK, "file-symlink", "{job}/job.yaml", (), 3),
    Case("record-is-empty", (Put("job.yaml", b""),), CHECK, "yaml-empty", "{job}/job.yaml", (), 3),
    Case(
        "heading-names-a-person",
        (Put("tests/E014.csv", b"travel [mm],Edda Quill\n0,1\n10,2\n"),),
        CHECK,
        "personal-heading",
        "{job}/tests/E014.csv:1",
        ("column 2",),
        3,
    ),
)
FILES = ADDED + THERE
