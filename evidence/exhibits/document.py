"""Documents: pages, text and attachments of a PDF.

Runs in the guard's child: a PDF is a program in all but name, and its library follows whatever the file says.
"""

from dataclasses import dataclass

from pypdf import PdfReader

from evidence.exhibits._answer import Answer
from evidence.exhibits._pdf import DAMAGE, counted_pages, opened
from evidence.model.exhibit import Document

MAX_BYTES = 60 * 1024 * 1024  # of one document
MAX_PAGE_CONTENT = 1024 * 1024  # bytes of drawing instructions; above it a page is a plan, not a text
MAX_CONTENT = (
    16 * 1024 * 1024
)  # the same of one document; 500 dense pages have 14 million, and 2 s a million is the worst
MAX_PAGE_TEXT = 20_000  # characters kept of one page; a dense page has 6000
MAX_TEXT = 2_000_000  # characters kept of one document


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
        fields = {
            "pages": pages,
            "has_text": any(text.strip() for text in page_texts),
            "encrypted": reader.is_encrypted,
        }
    return DocumentReading(Document.read(fields), page_texts, tuple(sorted(noticed)))


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
        except DAMAGE:
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
