"""Which rules this dossier was judged by: packs with their age, and what each mark may decide."""

from evidence.dossier._blocks import (
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
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.model.manifest import ManifestPack
from evidence.model.names import DECIDING_MARKS, Mark

SHORT_DIGEST = 16  # hexadecimal digits printed; the manifest has all 64


def build(source: DossierInput, say: Say) -> Data:
    """Packs, profile and the legend of marks."""
    tell = Teller(source, say)
    manifest = source.manifest
    heads = [
        column(tell("head-pack")),
        column(tell("head-kind"), mm=42),
        column(tell("head-known"), mm=30),
        column(tell("head-review"), mm=30),
        column(tell("head-digest"), mm=36),
    ]
    blocks = [
        paragraph(text(tell("register-lead")), "muted"),
        table(heads, [row(_pack(pack, source, tell)) for pack in manifest.packs]),
        heading(tell("register-profile")),
        paragraph(_profile(source, tell)),
        heading(tell("register-marks")),
        paragraph(text(tell("marks-lead")), "muted"),
        table(
            [
                column(tell("head-mark"), mm=30),
                column(tell("head-decides"), mm=40),
                column(tell("head-meaning")),
            ],
            [row(_mark(mark, tell)) for mark in Mark],
        ),
    ]
    return section("register", tell("title-register"), blocks, flows=True)


def _pack(pack: ManifestPack, source: DossierInput, tell: Teller) -> list[Inline]:
    standard = pack.standard or ""
    name: Inline = [strong(pack.reference)]
    if standard:
        name += [new_line(), muted(standard)]
    if pack.invented:
        name += [new_line(), plain(tell("invented-pack"))]
    past = pack.review_by < source.manifest.as_of
    review: Inline = [plain(pack.review_by)]
    if past:
        review += [new_line(), strong(tell("review-past"))]
    kind = [plain(tell.word(pack.kind, "pack")), new_line(), muted(tell.word(pack.region))]
    return [name, kind, text(pack.known_as_of), review, [mono(pack.sha256[:SHORT_DIGEST]), plain(" …")]]


def _profile(source: DossierInput, tell: Teller) -> Inline:
    profile = source.manifest.profile
    line = tell("profile-line", reference=profile.reference, manual=profile.manual, maker=profile.maker)
    spans: Inline = [plain(line), plain(" "), mono(profile.sha256[:SHORT_DIGEST]), plain(" …")]
    if profile.invented:
        spans += [new_line(), plain(tell("invented-pack"))]
    return spans


def _mark(mark: Mark, tell: Teller) -> list[Inline]:
    decides = tell("decides" if mark in DECIDING_MARKS else "decides-not")
    return [[strong(tell.word(mark))], text(decides), text(tell(f"mark-meaning-{mark}"))]
