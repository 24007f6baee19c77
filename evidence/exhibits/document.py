"""Documents: pages, text and attachments of a PDF.

Runs in the guard's child: a PDF is a program in all but name, and its library follows whatever the file says.
"""

import logging
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from evidence.exhibits._base import Answer, claimed, given, refuse
from evidence.model.exhibit import MAX_PAGES, Document

MAX_BYTES = 60 * 1024 * 1024  # of one document
MAX_CARRIER_BYTES = (
    256 * 1024 * 1024
)  # of a PDF whose attachments or pages are asked for; a dossier carries originals
MAX_ATTACHMENTS = 500
MAX_ATTACHED_BYTES = 256 * 1024 * 1024  # of all attachments together
MAX_PAGE_CONTENT = 1024 * 1024  # bytes of drawing instructions; above it a page is a plan, not a text
MAX_CONTENT = (
    16 * 1024 * 1024
)  # the same of one document; 500 dense pages have 14 million, and 2 s a million is the worst
MAX_PAGE_TEXT = 20_000  # characters kept of one page; a dense page has 6000
MAX_TEXT = 2_000_000  # characters kept of one document

# what the PDF library raises on bytes that are not what they promise
_DAMAGE = (
    ArithmeticError, AssertionError, AttributeError, LookupError, NotImplementedError, OSError, PyPdfError,
    RecursionError, TypeError, ValueError, struct.error, zlib.error,
)  # fmt: skip

logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # its complaints become our codes


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


def attachments_answer(data: bytes, where: str) -> Answer:
    """Attachments of a PDF: ``{"names": [...]}``, sorted, and one byte string each, in that order."""
    attached = attachments(data, where)
    names = sorted(attached)
    return Answer({"names": names}, tuple(attached[name] for name in names))


def page_count_answer(data: bytes, where: str) -> Answer:
    """Number of pages of a PDF: ``{"pages": n}``."""
    return Answer({"pages": page_count(data, where)})


def parse(data: bytes, where: str) -> DocumentReading:
    """Read a PDF.

    Args:
        data: the whole file.
        where: name for messages.

    Raises:
        InputError: with code exhibit-too-large, pdf-damaged, pdf-encrypted, pdf-empty or pdf-too-many-pages.
    """
    with _opened(data, where, MAX_BYTES) as reader:
        pages = _pages(reader, where)
        noticed = {"pdf-restricted"} if reader.is_encrypted else set()
        texts = _Texts()
        page_texts = tuple(texts.of(reader, number) for number in range(pages))
        if texts.incomplete:
            noticed.add("pdf-text-incomplete")
        fields = {
            "pages": pages,
            "has_text": any(text.strip() for text in page_texts),
            "encrypted": reader.is_encrypted,
            **_information(reader),
        }
    return DocumentReading(Document.read(fields), page_texts, tuple(sorted(noticed)))


def page_count(data: bytes, where: str) -> int:
    """Number of pages of a PDF.

    Raises:
        InputError: with code exhibit-too-large, pdf-damaged, pdf-encrypted, pdf-empty or pdf-too-many-pages.
    """
    with _opened(data, where, MAX_CARRIER_BYTES) as reader:
        return _pages(reader, where)


def attachments(data: bytes, where: str) -> dict[str, bytes]:
    """Files attached to a PDF, by the name a reader program shows.

    Raises:
        InputError: with code exhibit-too-large, pdf-damaged, pdf-encrypted, pdf-attachment-twice (two files under
            one name: programs would disagree about which is meant) or pdf-attachments-too-large.
    """
    attached: dict[str, bytes] = {}
    total = 0
    with _opened(data, where, MAX_CARRIER_BYTES) as reader:
        for entry in reader.attachment_list:
            shown = str(entry.alternative_name or entry.name)
            if shown in attached:
                refuse("pdf-attachment-twice", where, found=claimed(shown) or "?")
            attached[shown] = entry.content
            total += len(attached[shown])
            if total > MAX_ATTACHED_BYTES or len(attached) > MAX_ATTACHMENTS:
                refuse(
                    "pdf-attachments-too-large",
                    where,
                    limit=str(MAX_ATTACHED_BYTES),
                    files=str(MAX_ATTACHMENTS),
                )
    return attached


@contextmanager
def _opened(data: bytes, where: str, cap: int) -> Iterator[PdfReader]:
    if len(data) > cap:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(cap))
    try:
        reader = PdfReader(BytesIO(data), strict=False)
        # an owner's password alone restricts printing or copying; such a file opens with an empty one
        if reader.is_encrypted and not reader.decrypt(""):
            refuse("pdf-encrypted", where)
        yield reader
    except _DAMAGE as error:
        refuse("pdf-damaged", where, found=type(error).__name__)


def _pages(reader: PdfReader, where: str) -> int:
    pages = len(reader.pages)
    if pages == 0:
        refuse("pdf-empty", where)
    if pages > MAX_PAGES:
        refuse("pdf-too-many-pages", where, found=str(pages), limit=str(MAX_PAGES))
    return pages


class _Texts:
    """Texts of pages within the caps; remembers what was left out."""

    def __init__(self) -> None:
        self.incomplete = False
        self._content = 0  # bytes of drawing instructions seen
        self._kept = 0  # characters kept

    def of(self, reader: PdfReader, number: int) -> str:
        """Text of the page with an index from 0; empty where it is out of reach."""
        if self._content > MAX_CONTENT or self._kept >= MAX_TEXT:
            self.incomplete = True
            return ""
        try:
            size = _content_bytes(reader, number)
            self._content += min(size, MAX_PAGE_CONTENT)
            text = reader.pages[number].extract_text() if size <= MAX_PAGE_CONTENT else None
        except _DAMAGE:
            text = None
        return self._capped(text)

    def _capped(self, text: str | None) -> str:
        limit = min(MAX_PAGE_TEXT, MAX_TEXT - self._kept)
        self.incomplete = self.incomplete or text is None or len(text) > limit
        kept = (text or "")[:limit]
        self._kept += len(kept)
        return kept


def _content_bytes(reader: PdfReader, number: int) -> int:
    contents = reader.pages[number].get("/Contents")
    stored = contents.get_object() if contents is not None else None
    if stored is None:
        return 0
    parts = stored if isinstance(stored, list) else [stored]
    return sum(len(part.get_object().get_data()) for part in parts)


def _information(reader: PdfReader) -> dict[str, str]:
    try:
        information = reader.metadata
        if information is None:
            return {}
        return given({"title": claimed(information.title), "producer": claimed(information.producer)})
    except _DAMAGE:
        return {}
