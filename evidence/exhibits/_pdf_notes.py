"""What a PDF carries beside its pages, or how it was mended: told as codes, never followed."""

import re
from collections.abc import Callable
from functools import partial
from typing import Any

from pypdf import PdfReader

from evidence.exhibits._pdf import DAMAGE

TAIL = 2048  # bytes at the end of a file in which its closing mark must stand
MAX_ANNOTATIONS = 200  # looked at on one page
PAGES_LOOKED_AT = 50  # for scripts and attachments; a file that hides one hides it in front

_START = re.compile(rb"startxref\s{1,8}([0-9]{1,12})\s")
_TABLE = re.compile(rb"\s{0,8}(xref|[0-9]{1,10}\s+[0-9]{1,5}\s+obj)")


def of_bytes(data: bytes) -> set[str]:
    """What the bytes themselves tell: something before the header, no end, a table that is not where it should be."""
    found: set[str] = set()
    header = max(data.find(b"%PDF-"), 0)
    if header:
        found.add("pdf-leading-bytes")
    tail = data[-TAIL:]
    places = _START.findall(tail)
    # places count from the header in some files and from the first byte in others
    starts = [int(place) + shift for place in places[-1:] for shift in (0, header)]
    if b"%%EOF" not in tail or not any(_TABLE.match(data, at) for at in starts):
        found.add("pdf-mended")
    return found


def of_catalogue(reader: PdfReader) -> set[str]:
    """What the file carries: other files, a portfolio, scripts, page numbers of its own.

    Nothing is opened, run or followed; a branch that is damaged tells nothing.
    """
    root = _plain(lambda: reader.trailer["/Root"])
    names = _entry(root, "/Names")
    tests = (
        ("pdf-portfolio", _entry(root, "/Collection") is not None),
        ("pdf-attachments", _entry(names, "/EmbeddedFiles") is not None or _any_page(reader, _holds_file)),
        ("pdf-script", _scripted(root, names) or _any_page(reader, _runs)),
        ("pdf-page-labels", _labelled(root)),
    )
    return {code for code, holds in tests if holds}


def _scripted(root: Any, names: Any) -> bool:
    if _entry(names, "/JavaScript") is not None or _entry(root, "/AA") is not None:
        return True
    return _is_script(_entry(root, "/OpenAction"))


def _runs(page: Any) -> bool:
    if _entry(page, "/AA") is not None:
        return True
    return any(
        _entry(each, "/AA") is not None or _is_script(_entry(each, "/A")) for each in _annotations(page)
    )


def _holds_file(page: Any) -> bool:
    return any(_entry(each, "/Subtype") == "/FileAttachment" for each in _annotations(page))


def _is_script(action: Any) -> bool:
    return _entry(action, "/S") in ("/JavaScript", "/Launch")


def _labelled(root: Any) -> bool:
    """Whether the paper counts its pages otherwise than from 1."""
    labels = _entry(_entry(root, "/PageLabels"), "/Nums")
    if not isinstance(labels, list) or not labels:
        return False
    first = _plain(labels[1].get_object) if len(labels) > 1 else None
    plain = _entry(first, "/S") == "/D" and _entry(first, "/St") in (None, 1) and _entry(first, "/P") is None
    return len(labels) > 2 or not plain  # noqa: PLR2004 - more than one pair of place and style


def _any_page(reader: PdfReader, holds: Callable[[Any], bool]) -> bool:
    count = min(_plain(lambda: len(reader.pages)) or 0, PAGES_LOOKED_AT)
    return any(holds(_plain(partial(reader.pages.__getitem__, number))) for number in range(count))


def _annotations(page: Any) -> list[Any]:
    listed = _entry(page, "/Annots")
    return [_plain(each.get_object) for each in listed[:MAX_ANNOTATIONS]] if isinstance(listed, list) else []


def _entry(holder: Any, key: str) -> Any:
    if not isinstance(holder, dict):
        return None
    return _plain(lambda: holder[key]) if key in holder else None


def _plain(get: Callable[[], Any]) -> Any:
    """The object behind a reference; None where following it fails."""
    try:
        found = get()
        return found.get_object() if hasattr(found, "get_object") else found
    except DAMAGE:
        return None
