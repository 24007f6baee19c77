"""Documents: pages, text and attachments of a PDF.

Runs in the guard's child: a PDF is a program in all but name, and its library follows whatever the file says.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pypdf import PdfReader
from pypdf.generic import StreamObject

from evidence.exhibits import _pdf_notes
from evidence.exhibits._answer import Answer
from evidence.exhibits._pdf import DAMAGE, counted_pages, opened
from evidence.model.exhibit import Document
from evidence.model.pages import written

MAX_BYTES = 60 * 1024 * 1024  # of one document
MAX_PAGE_CONTENT = 1024 * 1024  # bytes of drawing instructions; above it a page is a plan, not a text
MAX_CONTENT = (
    16 * 1024 * 1024
)  # the same of one document; 500 dense pages have 14 million, and 2 s a million is the worst
MAX_PAGE_TEXT = 20_000  # characters kept of one page; a dense page has 6000
MAX_TEXT = 2_000_000  # characters kept of one document
MIN_PICTURE = 200_000  # pixels of a picture that may hold writing; a logo has fewer, a scanned page 2 million
MAX_PICTURES = 64  # looked at on one page
FEW_LETTERS = 60  # on a page that is a picture: a stamp of the scanner or fax, not the paper's own text

_INLINE = re.compile(rb"(?<![A-Za-z0-9])BI\s+/")  # a picture written into the page itself
_UNSEEN = re.compile(
    rb"(?<![0-9.])[37]\s+Tr\b"
)  # text drawn invisibly, or as a mere clipping path: over a scan it is a program's guess


@dataclass(frozen=True)
class DocumentReading:
    """A document read.

    Attributes:
        document: what the bundle keeps.
        page_texts: text of each page, first page first, each capped; for looking things up, never stored.
        warnings: codes, sorted.
    """

    document: Document
    page_texts: tuple[str, ...]
    warnings: tuple[str, ...]


def answer(data: bytes, where: str) -> Answer:
    """Read a document: ``{"document": {...}, "warnings": [...]}`` and one UTF-8 byte string per page.

    Raises:
        InputError: as ``parse``.
    """
    reading = parse(data, where)
    value = {"document": reading.document.document(), "warnings": list(reading.warnings)}
    return Answer(value, tuple(text.encode("utf-8", "replace") for text in reading.page_texts))


def parse(data: bytes, where: str) -> DocumentReading:
    """Read a PDF.

    Args:
        data: the whole file.
        where: name for messages.

    Raises:
        InputError: with code exhibit-too-large, pdf-damaged, pdf-encrypted, pdf-empty or pdf-too-many-pages.
    """
    with opened(data, where, MAX_BYTES) as reader:
        pages = counted_pages(reader, where)
        noticed = {"pdf-restricted"} if reader.is_encrypted else set()
        texts = _Texts()
        page_texts = tuple(texts.of(reader, number) for number in range(pages))
        if texts.incomplete:
            noticed.add("pdf-text-incomplete")
        noticed |= _pdf_notes.of_bytes(data) | _pdf_notes.of_catalogue(reader)
        with_text = [number for number, text in enumerate(page_texts, start=1) if text.strip()]
        if not with_text and not texts.incomplete:
            noticed.add("pdf-scan")
        fields = {
            "pages": pages,
            "has_text": bool(with_text),
            "encrypted": reader.is_encrypted,
            "pages_with_text": written(with_text),
            "pages_pictured": written(texts.pictured),
        }
    return DocumentReading(Document.read(fields), page_texts, tuple(sorted(noticed)))


class _Texts:
    """Texts of pages within the caps; remembers what was left out, and pages that show more than their text."""

    def __init__(self) -> None:
        self.incomplete = False
        self.pictured: list[int] = []
        self._content = 0  # bytes of drawing instructions seen
        self._kept = 0  # characters kept
        self._unlike: dict[
            int, bool
        ] = {}  # number of a form's object: whether it shows more or less than its text

    def of(self, reader: PdfReader, number: int) -> str:
        """Text of the page with an index from 0; empty where it is out of reach."""
        if self._content > MAX_CONTENT or self._kept >= MAX_TEXT:
            self.incomplete = True
            return ""
        try:
            content = _content(reader, number)
            self._content += min(len(content), MAX_PAGE_CONTENT)
            text = reader.pages[number].extract_text() if len(content) <= MAX_PAGE_CONTENT else None
            text = self._without_stamp(text, content, reader, number)
        except DAMAGE:
            text = None
        return self._capped(text)

    def _without_stamp(self, text: str | None, content: bytes, reader: PdfReader, number: int) -> str | None:
        """The text, or none where the page is a picture that carries a line of its scanner's."""
        resources = reader.pages[number].get("/Resources")
        pictured = _shows_picture(resources)
        if pictured or _is_unlike(content) or any(self._form_is_unlike(each) for each in _forms(resources)):
            self.pictured.append(number + 1)
        few = text is not None and sum(one.isalnum() for one in text) < FEW_LETTERS
        return "" if pictured and few else text

    def _form_is_unlike(self, form: Any) -> bool:
        # a form is drawn on many pages and read once
        if form.idnum not in self._unlike:
            self._unlike[form.idnum] = _is_unlike(form.get_object().get_data())
        return self._unlike[form.idnum]

    def _capped(self, text: str | None) -> str:
        limit = min(MAX_PAGE_TEXT, MAX_TEXT - self._kept)
        self.incomplete = self.incomplete or text is None or len(text) > limit
        kept = (text or "")[:limit]
        self._kept += len(kept)
        return kept


def _content(reader: PdfReader, number: int) -> bytes:
    contents = reader.pages[number].get("/Contents")
    stored = contents.get_object() if contents is not None else None
    if stored is None:
        return b""
    parts = stored if isinstance(stored, list) else [stored]
    return b"\n".join(part.get_object().get_data() for part in parts)


def _is_unlike(content: bytes) -> bool:
    """Whether drawing instructions hold a picture of their own, or text that nobody sees."""
    head = content[:MAX_PAGE_CONTENT]
    return _INLINE.search(head) is not None or _UNSEEN.search(head) is not None


def _forms(resources: Any) -> Iterator[Any]:
    """References to the forms that a page or its forms may draw, each once, at most so many as pictures."""
    waiting, seen = [resources], set[int]()
    while waiting:
        resources = waiting.pop()
        listed = resources.get_object().get("/XObject") if resources is not None else None
        for reference in list(listed.get_object().values())[:MAX_PICTURES] if listed is not None else ():
            drawn = reference.get_object()
            known = not _is_there(drawn) or reference.idnum in seen
            if known or drawn.get("/Subtype") != "/Form" or len(seen) >= MAX_PICTURES:
                continue
            seen.add(reference.idnum)
            waiting.append(drawn.get("/Resources"))
            yield reference


def _is_there(drawn: Any) -> bool:
    """Whether a name leads to something that can be drawn, rather than to nothing."""
    return isinstance(drawn, StreamObject)


def _shows_picture(resources: Any, *, inside: bool = False) -> bool:
    """Whether the resources of a page, or of a form drawn on it, hold a picture large enough for writing."""
    listed = resources.get_object().get("/XObject") if resources is not None else None
    if listed is None:
        return False
    for reference in list(listed.get_object().values())[:MAX_PICTURES]:
        drawn = reference.get_object()
        if not _is_there(drawn):
            continue
        if (
            drawn.get("/Subtype") == "/Form"
            and not inside
            and _shows_picture(drawn.get("/Resources"), inside=True)
        ):
            return True
        if drawn.get("/Subtype") == "/Image" and int(drawn["/Width"]) * int(drawn["/Height"]) >= MIN_PICTURE:
            return True
    return False
