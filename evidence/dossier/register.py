"""Which rules this dossier was judged by: packs with their age, and what each mark may decide."""

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
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._vehicle import in_force
from evidence.dossier._words import Teller, text
from evidence.model.manifest import ManifestPack
from evidence.model.names import DECIDING_MARKS, Group, Mark
from evidence.model.pack import Confirmation
from evidence.register.demand import Demand

SHORT_DIGEST = 16  # hexadecimal digits printed; the manifest has all 64
MAX_TITLES = 3  # demands of one source that are named beside their clauses


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
        *_sources(source, tell),
        *_confirmations(source, tell),
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


def _sources(source: DossierInput, tell: Teller) -> list[Block]:
    """One row for each pack, mark and source, with the clauses that rest on it; the profile's rest on the manual."""
    found: dict[tuple[str, Mark, str], list[Demand]] = {}
    for demand in source.demands.criteria:
        if demand.group != Group.PROFILE:
            key = (demand.source, demand.criterion.mark, demand.criterion.source)
            found.setdefault(key, []).append(demand)
    heads = [
        column(tell("head-pack"), mm=32),
        column(tell("head-clauses"), mm=46),
        column(tell("head-mark"), mm=22),
        column(tell("head-source")),
    ]
    rows = [
        row(
            [
                text(pack),
                _asked(demands, tell),
                text(tell.word(mark)),
                [plain(words), *_since_read(demands, tell)],
            ]
        )
        for (pack, mark, words), demands in found.items()
    ]
    lead = paragraph(text(tell("sources-lead")), "muted")
    return [heading(tell("register-sources")), lead, table(heads, rows)] if rows else []


def _since_read(demands: list[Demand], tell: Teller) -> Inline:
    """That the mark is no longer that of the source, because somebody read the copy."""
    if not any(demand.confirmation for demand in demands):
        return []
    return [new_line(), muted(tell("source-confirmed"))]


def _asked(demands: list[Demand], tell: Teller) -> Inline:
    """The clauses; with what they ask where that is little."""
    clauses = text(", ".join(dict.fromkeys(demand.clause for demand in demands)))
    if len(demands) > MAX_TITLES:
        return clauses
    titles = (tell.title(demand.criterion.title or demand.title) for demand in demands)
    return [*clauses, new_line(), muted("; ".join(dict.fromkeys(titles)))]


def _confirmations(source: DossierInput, tell: Teller) -> list[Block]:
    """Every demand that somebody read in a copy: where, who, and how the number came in."""
    heads = [
        column(tell("head-demand")),
        column(tell("head-read-at"), mm=44),
        column(tell("head-read-by"), mm=34),
        column(tell("head-typed"), mm=30),
    ]
    how = {"blind-twice": tell("typed-blind"), None: tell("typed-hand")}
    rows = [
        row(_confirmation(demand, read, how[read.typed], tell))
        for demand in source.demands.criteria
        if (read := demand.confirmation) is not None
    ]
    if not rows:
        return [heading(tell("register-confirmed")), paragraph(text(tell("confirmed-none")))]
    lead = paragraph(text(tell("confirmed-lead")), "muted")
    return [heading(tell("register-confirmed")), lead, table(heads, rows)]


def _confirmation(demand: Demand, read: Confirmation, how: str, tell: Teller) -> list[Inline]:
    title = tell.title(demand.criterion.title or demand.title)
    invented: Inline = [new_line(), muted(tell("invented-pack"))] if demand.invented else []
    return [
        [plain(title), new_line(), muted(demand.requirement)],
        text(f"{read.edition}, {tell('page', n=str(read.page))}"),
        text(tell.person(read.by)),
        [plain(how), *invented],
    ]


def _profile(source: DossierInput, tell: Teller) -> Inline:
    profile = source.manifest.profile
    line = tell("profile-line", reference=profile.reference, manual=profile.manual, maker=profile.maker)
    spans: Inline = [plain(line), plain(" "), mono(profile.sha256[:SHORT_DIGEST]), plain(" …")]
    spans += [new_line(), muted(in_force(source.profile.manual, tell))]
    if profile.invented:
        spans += [new_line(), plain(tell("invented-pack"))]
    return spans


def _mark(mark: Mark, tell: Teller) -> list[Inline]:
    decides = tell("decides" if mark in DECIDING_MARKS else "decides-not")
    return [[strong(tell.word(mark))], text(decides), text(tell(f"mark-meaning-{mark}"))]
