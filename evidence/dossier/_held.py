"""Papers that stay elsewhere, told alike wherever one appears: who holds it, under what reference, who saw it when."""

from evidence.dossier._blocks import Inline, mono, muted, new_line, plain, strong
from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller
from evidence.model.record import Document, Held

SHORT_DIGEST = 16  # hexadecimal digits printed; the record in the bundle has all 64


def place(document: Document, source: DossierInput, index: Index, tell: Teller) -> Inline:
    """Where a paper is: attached to this file, with a link, or held elsewhere, on lines of their own."""
    if document.held is None:
        links = index.links((document.exhibit,)) if document.exhibit else []
        return [plain(tell("stub-attached" if source.redacted else "attached") + " "), *links]
    held = document.held
    spans: Inline = [plain(tell("held-by", who=held.by)), new_line()]
    spans.append(muted(tell("reference", reference=held.reference)))
    if held.sha256 is not None:
        spans += [new_line(), muted("SHA-256 "), mono(held.sha256[:SHORT_DIGEST]), plain(" \u2026")]
    return [*spans, new_line(), muted(_seen(held, tell)), new_line(), strong(tell("not-in-dossier"))]


def remark(document: Document, tell: Teller) -> Inline:
    """The same in one sentence, beside a finding that uses the paper; nothing for one that is attached."""
    held = document.held
    if held is None:
        return []
    parts = [tell("held-by", who=held.by), tell("reference", reference=held.reference)]
    if held.sha256 is not None:
        parts.append(f"SHA-256 {held.sha256[:SHORT_DIGEST]} \u2026")
    told = ", ".join([*parts, _seen(held, tell)])
    return [strong(tell("held-here", id=document.id) + " "), muted(f"{told}.")]


def _seen(held: Held, tell: Teller) -> str:
    return tell("seen-by", who=tell.person(held.seen_by), day=str(held.seen_on))
