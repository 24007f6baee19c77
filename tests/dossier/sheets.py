"""Pages of a PDF as other readers see them: rows of words and their boxes, figures, ink; lengths in points from the top left."""

import io
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

POINT = 72 / 25.4
"""Points in a millimetre."""
INK_PPI = 36
_PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.DOTALL)
_WORD = re.compile(
    r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', re.DOTALL
)

needs_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None or shutil.which("pdftoppm") is None,
    reason="boxes of words and pictures of pages are read with pdftotext and pdftoppm of poppler",
)


@dataclass(frozen=True)
class Box:
    """A rectangle and what stands in it."""

    left: float
    top: float
    right: float
    bottom: float
    text: str = ""


@dataclass(frozen=True)
class Sheet:
    """One page.

    Attributes:
        width: of the sheet.
        height: of the sheet.
        words: in the order of the file.
        figures: boxes of the tagged figures, each with its alternative text.
        ink: where the sheet is not white, rows from the top, ``INK_PPI`` an inch.
    """

    width: float
    height: float
    words: tuple[Box, ...]
    figures: tuple[Box, ...]
    ink: np.ndarray[Any, np.dtype[np.bool_]]

    def rows(self) -> list[Box]:
        """Words that stand on one line, whatever their columns, from the top."""
        rows: list[list[Box]] = []
        for word in sorted(self.words, key=lambda one: (one.bottom, one.left)):
            if rows and abs(rows[-1][0].bottom - word.bottom) <= 2:
                rows[-1].append(word)
            else:
                rows.append([word])
        return [_row(sorted(row, key=lambda one: one.left)) for row in rows]


def _row(words: list[Box]) -> Box:
    return Box(
        words[0].left,
        min(word.top for word in words),
        max(word.right for word in words),
        max(word.bottom for word in words),
        squeezed("".join(word.text for word in words)),
    )


def squeezed(text: str) -> str:
    """Text without white space, since lines break anywhere."""
    return re.sub(r"\s+", "", text)


def sheets(pdf: bytes, folder: Path) -> list[Sheet]:
    """Every page of a PDF; ``folder`` takes what the readers write."""
    file = folder / "read.pdf"
    file.write_bytes(pdf)
    # independent readers: pdftotext and pdftoppm of poppler, pypdf
    told = subprocess.run(
        ["pdftotext", "-raw", "-bbox", str(file), "-"], capture_output=True, check=True
    ).stdout
    subprocess.run(
        ["pdftoppm", "-r", str(INK_PPI), "-gray", str(file), str(folder / "read")],
        check=True,
        capture_output=True,
    )
    drawn = sorted(folder.glob("read-*.pgm"))
    figures = figures_of(PdfReader(io.BytesIO(pdf)))
    made = []
    for number, (found, picture) in enumerate(zip(_PAGE.findall(told.decode("utf-8")), drawn, strict=True)):
        width, height, body = float(found[0]), float(found[1]), found[2]
        words = tuple(_word(word) for word in _WORD.findall(body))
        own = tuple(
            Box(left, height - upper, right, height - lower, alt)
            for page, (left, lower, right, upper), alt in figures
            if page == number
        )
        made.append(Sheet(width, height, words, own, np.asarray(Image.open(picture)) < 250))
        picture.unlink()
    return made


def _word(found: tuple[str, ...]) -> Box:
    left, top, right, bottom = (float(side) for side in found[:4])
    return Box(left, top, right, bottom, unescape(found[4]))


def figures_of(reader: PdfReader) -> list[tuple[int, tuple[float, ...], str]]:
    """Page number from 0, box from the lower left, and alternative text of every tagged figure."""
    pages = {
        page.indirect_reference.idnum: n for n, page in enumerate(reader.pages) if page.indirect_reference
    }
    return [
        (
            pages[_page_of(entry)],
            tuple(float(side) for side in _layout(entry)["/BBox"]),
            str(entry.get("/Alt", "")),
        )
        for entry in elements(reader)
        if entry["/S"] == "/Figure"
    ]


def elements(reader: PdfReader) -> Iterator[Any]:
    """Structure elements in reading order."""
    root: Any = reader.trailer["/Root"]
    yield from below(root["/StructTreeRoot"].get("/K"))


def below(value: Any) -> Iterator[Any]:
    """Structure elements among the children of one, and below those, in reading order."""
    value = value.get_object() if hasattr(value, "get_object") else value
    if isinstance(value, list):
        for each in value:
            yield from below(each)
    elif isinstance(value, dict) and value.get("/Type") != "/MCR":
        if "/S" in value:
            yield value
        yield from below(value.get("/K"))


def _layout(entry: Any) -> Any:
    given = entry["/A"].get_object()
    return next(one.get_object() for one in (given if isinstance(given, list) else [given]) if "/BBox" in one)


def _page_of(entry: Any) -> int:
    """Object number of the page of an element, or of the first marked content in it."""
    if "/Pg" in entry:
        return int(entry.raw_get("/Pg").idnum)
    kids = entry["/K"]
    kids = kids if isinstance(kids, list) else [kids]
    return next(_page_of(kid.get_object()) for kid in kids if hasattr(kid.get_object(), "keys"))
