"""Open a PDF that may be anything; what readers of documents and of attachments share."""

import logging
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from evidence.exhibits._answer import refuse

MAX_PAGES = 500  # as an item can say; a test holds both equal

# what the PDF library raises on bytes that are not what they promise
DAMAGE = (
    ArithmeticError, AssertionError, AttributeError, LookupError, NotImplementedError, OSError, PyPdfError,
    RecursionError, TypeError, ValueError, struct.error, zlib.error,
)  # fmt: skip

logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # its complaints become our codes


@contextmanager
def opened(data: bytes, where: str, cap: int, *, strict: bool = False) -> Iterator[PdfReader]:
    """A reader on a PDF; what goes wrong in the block becomes a code.

    Args:
        data: the whole file.
        where: name for messages.
        cap: largest size, in bytes.
        strict: mend nothing: a dossier that we set ourselves needs no mending, and looking for damage costs more
            than reading it.

    Raises:
        InputError: exhibit-too-large, pdf-damaged or pdf-encrypted.
    """
    if len(data) > cap:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(cap))
    try:
        reader = PdfReader(BytesIO(data), strict=strict)
        # an owner's password alone restricts printing or copying; such a file opens with an empty one
        if reader.is_encrypted and not reader.decrypt(""):
            refuse("pdf-encrypted", where)
        yield reader
    except DAMAGE as error:
        refuse("pdf-damaged", where, found=type(error).__name__)


def counted_pages(reader: PdfReader, where: str) -> int:
    """Number of pages, within the cap.

    Raises:
        InputError: pdf-empty or pdf-too-many-pages.
    """
    pages = len(reader.pages)
    if pages == 0:
        refuse("pdf-empty", where)
    if pages > MAX_PAGES:
        refuse("pdf-too-many-pages", where, found=str(pages), limit=str(MAX_PAGES))
    return pages
