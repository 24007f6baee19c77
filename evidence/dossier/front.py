"""The front sheet: one page that answers, in plain words, which vehicle, what is fitted, what is open, what next."""

from collections.abc import Iterator, Sequence
from datetime import date

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    facts,
    heading,
    joined,
    link,
    mono,
    muted,
    new_line,
    outcome_slug,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._declaring import OPEN, standing
from evidence.dossier._index import Index, contradiction_anchor, finding_anchor, worst
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._loose import ends_of, line
from evidence.dossier._sides import side
from evidence.dossier._titles import requirement_title
from evidence.dossier._vehicle import STAGES, bound, delivered, model_and_serial
from evidence.dossier._vehicle import in_force as manual_in_force
from evidence.dossier._words import Teller, text
from evidence.drawing.qr import qr_svg
from evidence.judge.concessions import limits_of
from evidence.model.manifest import ManifestPosition
from evidence.model.names import Closes, Outcome, PartyFunction
from evidence.model.record import Concession, Position
from evidence.register.editions import State, in_force

MAX_WORST = 5  # open points on the sheet; the rest has a section of its own
MAX_CONTRADICTIONS = 2  # of these, while findings wait behind them
MAX_POSITIONS = 4  # places on the sheet; the installation record has them all
MAX_BASES = 4
MAX_PARTIES = 4  # builders and agency; the installation record has all
MAX_CONCESSIONS = 3
MAX_LOOSE = 6  # fields that are not known yet; the section on open points has them all


def build(source: DossierInput, say: Say) -> Data:
    """One page: ``hero`` with title, identity, state and QR code, then ordinary blocks."""
    tell, index = Teller(source, say), Index.of(source)
    blocks = [
        *_worst_first(source, index, tell),
        *_not_known(source, tell),
        *_fitted(source, tell),
        heading(tell("front-basis")),
        facts(_basis_facts(source, tell)),
        heading(tell("front-next")),
        *_next_pages(source, index, tell),
        *_standing_words(source, tell),
    ]
    return {**section("front", tell("front-kind"), blocks, listed=False), "hero": _hero(source, index, tell)}


def vehicle_title(source: DossierInput, tell: Teller) -> str:
    """The shortest name of the vehicle: build number, else module serial, else VIN."""
    vehicle = source.manifest.vehicle
    name = vehicle.build or vehicle.module_serial or vehicle.vin or source.manifest.job
    return tell("front-vehicle", name=name)


def _hero(source: DossierInput, index: Index, tell: Teller) -> Data:
    manifest = source.manifest
    return {
        "kind": tell("front-kind-redacted" if source.redacted else "front-kind"),
        "title": vehicle_title(source, tell),
        "identity": [{"label": label, "value": value} for label, value in _identity(source, index, tell)],
        "qr": {
            "svg": qr_svg(f"{manifest.job} sha256:{source.manifest_digest}"),
            "alt": tell("front-qr-alt", job=manifest.job, digest=source.manifest_digest),
            "caption": tell("front-qr"),
        },
        "state": _state(source, index, tell),
    }


def _identity(source: DossierInput, index: Index, tell: Teller) -> list[tuple[str, Inline]]:
    vehicle, people = source.manifest.vehicle, source.people
    stated = source.record.vehicle
    rows = [
        ("front-vin", tell.stated(stated.vin) if stated.vin else tell("not-stated")),
        ("front-module", tell.stated(stated.module_serial) if stated.module_serial else None),
        ("front-type", vehicle.type),
        ("front-drive-side", tell.word(vehicle.drive_side, "drive-side") if vehicle.drive_side else None),
        ("front-fleet-number", vehicle.fleet_number),
        ("front-plate", None if people is None else people.plate),
        ("front-job", source.manifest.job),
    ]
    identity = [(tell(code), text(value)) for code, value in rows if value]
    vin = bound(source, index, tell)
    return [identity[0], (tell("front-vin-bound"), vin), *identity[1:]] if vin else identity


def _state(source: DossierInput, index: Index, tell: Teller) -> Data:
    manifest = source.manifest
    conceded = sum(1 for finding in index.findings if finding.concession is not None)
    unknown = len(ends_of(source))
    if manifest.state == "complete" and unknown:
        outcome, words = Outcome.UNDECIDED, tell.count("state-complete-but", unknown)
    elif manifest.state == "complete":
        outcome, words = Outcome.MET, tell("state-complete")
    else:
        outcome = worst(finding.outcome for _, finding in index.open_findings())
        outcome = Outcome.NOT_MET if outcome == Outcome.NOT_APPLICABLE else outcome
        words = tell.count("state-open", manifest.open)
    detail = tell("state-as-of", day=manifest.as_of)
    if disagreeing := len(index.open_contradictions()):
        detail += " " + tell.count("state-contradictions", disagreeing)
    if conceded:
        detail += " " + tell.count("state-conceded", conceded)
    counts = [
        {
            "chip": outcome_slug(kind),
            "t": tell("state-count", n=str(manifest.summary[kind]), word=tell.word(kind)),
        }
        for kind in Outcome
        if manifest.summary.get(kind)
    ]
    return {"chip": outcome_slug(outcome), "words": words, "detail": detail, "counts": counts}


def _worst_first(source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    if source.manifest.state == "complete":
        return []
    contradictions = [
        row([[strong(tell("contradiction"))], _contradiction(number, index, tell)])
        for number, _ in index.open_contradictions()
    ]
    findings = [row(_open_finding(number, index, tell)) for number, _ in index.open_findings()]
    first = max(MAX_CONTRADICTIONS, MAX_WORST - len(findings))
    rows = [*contradictions[:first], *findings][:MAX_WORST]
    heads = [column(tell("head-outcome"), mm=29), column(tell("head-open-point"))]
    blocks = [heading(tell("front-worst")), table(heads, rows)]
    rest = len(contradictions) + len(findings) - len(rows)
    if rest > 0:
        blocks.append(paragraph([link("section-open", tell.count("front-more", rest), page=True)], "muted"))
    return blocks


def _open_finding(number: int, index: Index, tell: Teller) -> list[Inline]:
    finding = index.findings[number]
    title = requirement_title(finding, index, tell)
    return [
        tell.outcome(finding.outcome),
        [
            link(finding_anchor(number), title, page=True),
            plain(" " + tell("on-subject", subject=tell.subject(finding.subject)) + " "),
            muted(tell("closed-by", who=tell.word(finding.closes))),
        ],
    ]


def _contradiction(number: int, index: Index, tell: Teller) -> Inline:
    entry = index.contradictions[number]
    return [
        link(contradiction_anchor(number), tell.word(entry.rule, "contradiction"), page=True),
        plain(" "),
        muted(f" {tell('against')} ".join(" ".join(side(place, tell)) for place in entry.between) + " "),
        muted(tell("closed-by", who=tell.word(Closes.PAPERWORK))),
    ]


def _not_known(source: DossierInput, tell: Teller) -> list[Block]:
    ends = ends_of(source)
    if not ends:
        return []
    spans = joined(line(ends[:MAX_LOOSE], source, tell), "; ")
    if len(ends) > MAX_LOOSE:
        spans += [
            plain("; "),
            link("section-open", tell("front-more-loose", n=str(len(ends) - MAX_LOOSE)), page=True),
        ]
    return [heading(tell("loose-heading")), paragraph(spans)]


def _fitted(source: DossierInput, tell: Teller) -> list[Block]:
    positions = source.manifest.positions
    recorded = {position.id: position for position in source.record.positions}
    heads = [
        column(tell("head-position"), mm=29),
        column(tell("head-system")),
        column(tell("head-stretchers")),
    ]
    rows = [
        row(
            [
                _place(place, tell),
                _system(place, recorded[place.id].system.serial, tell),
                _stretchers(recorded[place.id], tell),
            ]
        )
        for place in positions
    ]
    blocks = [heading(tell("front-fitted")), table(heads, rows[:MAX_POSITIONS])]
    if len(rows) > MAX_POSITIONS:
        more = tell.count("front-more-positions", len(rows) - MAX_POSITIONS)
        blocks.append(paragraph([link("section-installation", more, page=True)], "muted"))
    return blocks


def _place(position: ManifestPosition, tell: Teller) -> Inline:
    spans = [
        strong(position.id),
        new_line(),
        muted(tell("loading", side=tell.word(position.loading, "loading"))),
    ]
    if position.orientation:
        spans += [new_line(), muted(tell.word(position.orientation, "orientation"))]
    return spans


def _system(position: ManifestPosition, serial: object, tell: Teller) -> Inline:
    words = tell.stated(serial) if serial else tell("not-stated")
    return [plain(position.system_model), new_line(), muted(tell("serial", serial=words))]


def _stretchers(position: Position, tell: Teller) -> Inline:
    own, tested = position.stretchers.delivered_with, position.stretchers.tested_with
    lead = [muted(tell("delivered-with") + " ")] if own else []
    models = ", ".join(model_and_serial(entry) for entry in tested) or tell("none")
    return joined([[*lead, *delivered(own, tell)], [muted(tell("tested-with") + " "), plain(models)]], "\n")


def _basis_facts(source: DossierInput, tell: Teller) -> list[tuple[str, Inline]]:
    manifest = source.manifest
    standards = [basis.standard for basis in manifest.bases]
    shown: Inline = text(", ".join(standards[:MAX_BASES]) + (" …" if len(standards) > MAX_BASES else ""))
    shown += [muted(f"; {words}") for words in _replaced(standards, source, tell)]
    profile = manifest.profile
    fitted_after = tell(
        "profile-line", reference=profile.reference, manual=profile.manual, maker=profile.maker
    )
    rows = [
        (tell("front-built-to"), shown),
        (tell("front-profile"), text(f"{fitted_after}, {manual_in_force(source.profile.manual, tell)}")),
        (tell("front-exceptions"), _exceptions(source, tell)),
        (tell("front-released"), text(_released(source, tell))),
        (tell("front-declaration"), _declared(source, tell)),
        (tell("front-digest"), [mono(source.manifest_digest)]),
        (tell("front-key"), [mono(source.key_id)]),
    ]
    shown_parties = (*STAGES, PartyFunction.AGENCY)
    parties = [party for party in manifest.parties if party.function in shown_parties]
    who = [(tell.word(party.function, "party-function"), text(party.name)) for party in parties[:MAX_PARTIES]]
    return [*who, *rows]


def _replaced(standards: Sequence[str], source: DossierInput, tell: Teller) -> Iterator[str]:
    """Which of the editions had been replaced on the day judged, as far as the register knows; never an outcome."""
    editions, day = source.editions, date.fromisoformat(source.manifest.as_of)
    if editions is None:
        return
    for standard in standards[:MAX_BASES]:
        edition = editions.named(standard)
        answer = None if edition is None else in_force(editions, edition.designation, day)
        past = answer is not None and any(
            each.edition == edition and each.state == State.SUPERSEDED for each in answer.states
        )
        if answer is not None and past and answer.in_force:
            later = ", ".join(each.edition for each in answer.in_force)
            yield tell("front-edition-replaced", edition=standard, later=later, day=str(day))


def _exceptions(source: DossierInput, tell: Teller) -> Inline:
    # only what holds: a concession that covers no finding stands in the open points, with the reason why it does not
    carried = {finding.concession for finding in source.manifest.findings}
    concessions = [entry for entry in source.record.concessions if entry.id in carried]
    if not concessions:
        return text(tell("exceptions-none"))
    lines: list[Inline] = [
        [
            link(f"record-{entry.id}", entry.reference, page=True),
            plain(" " + tell.word(entry.kind, "concession") + _terms(entry, tell)),
        ]
        for entry in concessions[:MAX_CONCESSIONS]
    ]
    if len(concessions) > MAX_CONCESSIONS:
        lines.append(text(tell.count("front-more-exceptions", len(concessions) - MAX_CONCESSIONS)))
    return joined(lines, "; ")


def _terms(entry: Concession, tell: Teller) -> str:
    limits = limits_of(entry)
    terms = [
        *([tell("within-conceded", limits=limits)] if limits else []),
        *([tell("until", day=str(entry.until))] if entry.until else []),
    ]
    return "".join(f", {term}" for term in terms)


def _released(source: DossierInput, tell: Teller) -> str:
    release = source.manifest.release
    if release is None:
        return tell("not-released")
    told = {"at": tell.time(release.at), "who": tell.person(release.by)}
    if source.manifest.state == "open":
        return tell.count("released-open", source.manifest.open, **told)
    return tell("released", **told)


def _declared(source: DossierInput, tell: Teller) -> Inline:
    """Number, day and place of the declaration and who signs it, or that there is none to sign yet."""
    state, declaration = standing(source), source.record.declaration
    who = (
        tell("signs", who=tell.person(state.signatory.id))
        if state.signatory is not None
        else tell("signs-unknown")
    )
    if state.missing or declaration is None:
        why = (
            tell.count("missing-open", source.manifest.open)
            if OPEN in state.missing
            else tell("withheld-fields")
        )
        words = tell("withheld-because", why=why)
    else:
        at = tell.time(declaration.at.text)
        words = tell("declared", id=declaration.id, at=at, place=declaration.place)
    return [link("section-declaration", words, page=True), plain(f". {who}")]


def _next_pages(source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    wanted = [
        ("open", bool(index.open_findings() or index.open_contradictions() or ends_of(source))),
        ("declaration", True),
        ("matrix", True),
        ("installation", True),
        ("photos", any(exhibit.kind == "photo" for exhibit in source.manifest.exhibits)),
        ("documents", True),
        ("delivery", True),
        ("verifying", True),
    ]
    spans = [[link(f"section-{name}", tell(f"next-{name}"), page=True)] for name, there in wanted if there]
    return [paragraph(joined(spans, "  ·  "))]


def _standing_words(source: DossierInput, tell: Teller) -> list[Block]:
    blocks = [paragraph([strong(tell("shows-not-certifies")), plain(" " + tell("sealing-time"))], "note")]
    if source.invented:
        blocks.append(paragraph([strong(tell("invented"))], "caution"))
    if source.redacted:
        blocks.append(paragraph([strong(tell("redacted"))], "caution"))
    return blocks
