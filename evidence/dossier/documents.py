"""Third-party documents with what they claim and where they are, and the evidence files that are no photo."""

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    mono,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._channel_sets import content, sets
from evidence.dossier._claims import claims, page_pictures
from evidence.dossier._held import place
from evidence.dossier._index import Index, item_anchor
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.model.exhibit import Item
from evidence.model.manifest import ManifestExhibit
from evidence.model.record import Document

SHORT_DIGEST = 16  # hexadecimal digits printed; the manifest has all 64


def build(source: DossierInput, say: Say) -> Data:
    """Documents with their claims, then every evidence file that is no photo."""
    tell, index = Teller(source, say), Index.of(source)
    documents = source.record.documents
    blocks: list[Block] = [paragraph(text(tell("documents-lead")), "muted")]
    if documents:
        heads = [
            column(tell("head-document"), mm=42),
            column(tell("head-claims")),
            column(tell("head-where"), mm=42),
            column(tell("head-used-by"), mm=20),
        ]
        blocks.append(table(heads, [_document(entry, source, index, tell) for entry in documents]))
        blocks += page_pictures(source, tell)
    else:
        blocks.append(paragraph(text(tell("documents-none"))))
    files = [exhibit for exhibit in source.manifest.exhibits if exhibit.kind != "photo"]
    if files:
        blocks += [heading(tell("files-heading")), _files(files, source, index, tell)]
        blocks += sets(source, tell)
    return section("documents", tell("title-documents"), blocks)


def _document(entry: Document, source: DossierInput, index: Index, tell: Teller) -> Data:
    what = [strong(tell.word(entry.role)), muted(f" {entry.id}")]
    if entry.issuer is not None:
        what += [new_line(), plain(entry.issuer)]
    if entry.reference is not None:
        what += [new_line(), plain(tell("reference", reference=entry.reference))]
    if entry.issued is not None:
        what += [new_line(), muted(tell("issued", day=tell.stated(entry.issued)))]
    what += [new_line(), muted(tell.subject(entry.subject))]
    cells = [
        what,
        claims(entry, source, tell),
        place(entry, source, index, tell),
        index.supports(entry.id),
    ]
    return row(cells, [f"document-{entry.id}"])


def _files(files: list[ManifestExhibit], source: DossierInput, index: Index, tell: Teller) -> Block:
    heads = [
        column(tell("head-file"), mm=20),
        column(tell("head-shows")),
        column(tell("head-content"), mm=50),
        column(tell("head-digest"), mm=36),
        column(tell("head-used-by"), mm=20),
    ]
    rows = [
        row(
            [
                [strong(entry.id)],
                [
                    plain(tell.word(entry.role)),
                    new_line(),
                    muted(tell.subject(entry.subject)),
                    *_name(entry, source),
                ],
                _described(source.items.get(entry.id), tell),
                [mono(entry.sha256[:SHORT_DIGEST]), plain(" …")],
                index.supports(entry.id),
            ],
            [item_anchor(entry)],
        )
        for entry in files
    ]
    return table(heads, rows)


def _name(exhibit: ManifestExhibit, source: DossierInput) -> Inline:
    names = () if source.people is None else source.people.file_names
    name = next((entry.name for entry in names if entry.id == exhibit.id), "")
    return [new_line(), muted(name)] if name else []


def _described(item: Item | None, tell: Teller) -> Inline:
    notes = " ".join(
        tell.notice(code) for code in (() if item is None else item.warnings) if code != "pdf-scan"
    )
    return [plain(_content(item, tell)), *([new_line(), muted(notes)] if notes else [])]


def _content(item: Item | None, tell: Teller) -> str:
    if item is None:
        return tell("content-unknown")
    if item.pdf is not None:
        pages = tell.count("content-pages", item.pdf.pages)
        return pages if item.pdf.has_text else f"{pages}, {tell('content-scan')}"
    if item.table is not None:
        return tell("content-table", rows=str(item.table.rows), columns=str(len(item.table.columns)))
    if item.channels is not None:
        return content(item.channels, tell)
    return tell("content-unreadable")
