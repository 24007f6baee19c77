"""Files attached to a PDF, and how many pages it has; without the models, so that a verifier starts quickly."""

from collections.abc import Iterable

from evidence.exhibits import _plain_pdf
from evidence.exhibits._answer import Answer, quoted, refuse

MAX_CARRIER_BYTES = (
    256 * 1024 * 1024
)  # of a PDF whose attachments or pages are asked for; a dossier carries originals
MAX_ATTACHMENTS = 500
MAX_ATTACHED_BYTES = 256 * 1024 * 1024  # of all attachments together


def attachments_answer(data: bytes, where: str) -> Answer:
    """Attachments of a PDF: ``{"names": [...]}``, sorted, and one byte string each, in that order."""
    attached = attachments(data, where)
    names = sorted(attached)
    return Answer({"names": names}, tuple(attached[name] for name in names))


def page_count_answer(data: bytes, where: str) -> Answer:
    """Number of pages of a PDF: ``{"pages": n}``."""
    return Answer({"pages": page_count(data, where)})


def page_count(data: bytes, where: str) -> int:
    """Number of pages of a PDF.

    Raises:
        InputError: with code exhibit-too-large, pdf-damaged, pdf-encrypted, pdf-empty or pdf-too-many-pages.
    """
    from evidence.exhibits._pdf import counted_pages, opened  # noqa: PLC0415 - 100 ms that a plain PDF never needs

    with opened(data, where, MAX_CARRIER_BYTES) as reader:
        return counted_pages(reader, where)


def attachments(data: bytes, where: str) -> dict[str, bytes]:
    """Files attached to a PDF, by the name a reader program shows.

    Raises:
        InputError: with code exhibit-too-large, pdf-damaged, pdf-encrypted, pdf-attachment-twice (two files under
            one name: programs would disagree about which is meant) or pdf-attachments-too-large.
    """
    if len(data) > MAX_CARRIER_BYTES:
        refuse("exhibit-too-large", where, found=str(len(data)), limit=str(MAX_CARRIER_BYTES))
    try:
        return _told_apart(_plain_pdf.attached(data), where)
    except _plain_pdf.NotPlainError:
        return _by_the_library(data, where)


def _by_the_library(data: bytes, where: str) -> dict[str, bytes]:
    from evidence.exhibits._pdf import opened  # noqa: PLC0415 - 100 ms that a plain PDF never needs

    with opened(data, where, MAX_CARRIER_BYTES, strict=True) as reader:
        entries = reader.attachment_list
        return _told_apart(
            ((str(entry.alternative_name or entry.name), entry.content) for entry in entries), where
        )


def _told_apart(entries: Iterable[tuple[str, bytes]], where: str) -> dict[str, bytes]:
    attached: dict[str, bytes] = {}
    total = 0
    for shown, content in entries:
        if shown in attached:
            refuse("pdf-attachment-twice", where, found=quoted(shown))
        attached[shown] = content
        total += len(content)
        if total > MAX_ATTACHED_BYTES or len(attached) > MAX_ATTACHMENTS:
            refuse(
                "pdf-attachments-too-large", where, limit=str(MAX_ATTACHED_BYTES), files=str(MAX_ATTACHMENTS)
            )
    return attached
