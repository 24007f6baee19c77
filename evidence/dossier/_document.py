"""What holds for the whole dossier: running lines, attachments, palette, drawings by name."""

from collections.abc import Sequence

from evidence import drawing
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._sheet import unlinked
from evidence.dossier._words import Teller
from evidence.dossier._written import drawn, written
from evidence.drawing.chip import chip_svg
from evidence.jsondoc import digest
from evidence.model.manifest import ManifestExhibit
from evidence.model.names import Function, Outcome
from evidence.phrases import DEFAULT_LANGUAGE

SHORT_DIGEST = 16  # hexadecimal digits in the running head
MANIFEST_NAME = "manifest.json"
_MEDIA_TYPES = {"pdf": "application/pdf", "json": "application/json"}
_DRAWING_NAME = 16  # hexadecimal digits that tell drawings apart


def assemble(source: DossierInput, say: Say, sections: Sequence[Data]) -> Data:
    """The whole JSON object around the sections; drawings move out of them into ``svg``."""
    tell = Teller(source, say)
    svg = {f"chip-{outcome.value.replace(' ', '-')}.svg": chip_svg(outcome) for outcome in Outcome}
    printed = [part for part in sections if part["blocks"]]
    placed = _place_drawings(written(printed, source.language), svg)
    exhibits = source.manifest.exhibits
    return {
        "attachments": _attachments(source, tell),
        "footer": _footer(source, tell),
        "header": {
            "copy": tell("header-copy", at=source.copied) if source.copied else "",
            "left": _vehicle(source),
            "right": tell("header-digest", digest=source.manifest_digest[:SHORT_DIGEST]),
        },
        "language": source.language,
        "must_print": _must_print(source),
        "nothing": tell("none"),
        "palette": _palette(),
        "paper": source.paper,
        "pictures": [
            *(exhibit.id for exhibit in exhibits if exhibit.kind == "photo"),
            *sorted(source.shown_pages),
        ],
        "sections": placed,
        "svg": {name: drawn(drawing, source.language) for name, drawing in svg.items()},
        "title": tell("document-title", vehicle=_vehicle(source)),
    }


def for_the_folder(source: DossierInput, say: Say, pages: Sequence[Data]) -> Data:
    """The same around the two pages of the vehicle's sheet."""
    tell = Teller(source, say)
    data = assemble(source, say, [unlinked(page) for page in pages])
    manifest = [entry for entry in data["attachments"] if entry["name"] == MANIFEST_NAME]
    title = tell("document-sheet-title", vehicle=_vehicle(source))
    return {**data, "attachments": manifest, "pictures": [], "title": title}


def _vehicle(source: DossierInput) -> str:
    vehicle = source.manifest.vehicle
    names = [vehicle.build or vehicle.module_serial, vehicle.vin]
    return " · ".join(name for name in names if name) or source.manifest.job


def _footer(source: DossierInput, tell: Teller) -> Data:
    words = []
    if source.manifest.state == "open":
        words.append(tell.count("footer-open", source.manifest.open))
    if source.redacted:
        words.append(tell("footer-redacted"))
    if source.invented:
        words.append(tell("footer-invented"))
    if source.language != DEFAULT_LANGUAGE:
        words.append(tell("footer-translated"))
    # the two numbers are known only where the pages are made, so the words around them are cut at their places
    before, between, after = tell("footer-page", page="\n", pages="\n").split("\n")
    return {"words": "  ·  ".join(words), "page": [before, between, after]}


def _attachments(source: DossierInput, tell: Teller) -> list[Data]:
    manifest = {
        "name": MANIFEST_NAME,
        "relationship": "source",
        "media_type": _MEDIA_TYPES["json"],
        "description": tell("attachment-manifest"),
    }
    others = [
        {
            "name": name,
            "relationship": "supplement",
            "media_type": _MEDIA_TYPES[name.rsplit(".", 1)[-1]],
            "description": tell("attachment-item", id=exhibit.id, role=tell.word(exhibit.role)),
        }
        for exhibit in source.manifest.exhibits
        if exhibit.kind == "document" and (name := attachment_name(exhibit, redacted=source.redacted))
    ]
    return [manifest, *others]


def attachment_name(exhibit: ManifestExhibit, *, redacted: bool) -> str:
    """Name of a document as attached: the original, or in a redacted dossier what stands for it, or nothing."""
    if not redacted:
        return f"{exhibit.id}.pdf"  # a document is a PDF by its content, whatever its file was called
    return "" if exhibit.redacted is None else exhibit.redacted.rsplit("/", 1)[-1]


def _must_print(source: DossierInput) -> list[Data]:
    people = () if source.people is None else source.people.people
    signing = {person.id for person in source.record.people if Function.SIGNATORY in person.functions} | (
        {source.manifest.release.by} if source.manifest.release else set()
    )
    return [{"id": person.id, "text": person.name} for person in people if person.id in signing]


def _palette() -> Data:
    tints = {
        outcome.value.replace(" ", "-"): {"ink": tint.ink, "ground": tint.ground}
        for outcome, tint in drawing.OUTCOME_TINTS.items()
    }
    caution = {"ink": drawing.CAUTION.ink, "ground": drawing.CAUTION.ground}
    plain = {"ink": drawing.INK, "muted": drawing.MUTED, "accent": drawing.ACCENT}
    return {**plain, "rule": drawing.RULE, "band": drawing.BAND, "caution": caution, "outcomes": tints}


def _place_drawings(value: object, svg: dict[str, str]) -> object:
    # a drawing is written once as a file however often it is shown
    if isinstance(value, list):
        return [_place_drawings(entry, svg) for entry in value]
    if not isinstance(value, dict):
        return value
    placed = {key: _place_drawings(entry, svg) for key, entry in value.items()}
    if "svg" in placed:
        name = f"drawing-{digest(str(placed['svg']).encode())[:_DRAWING_NAME]}.svg"
        svg[name] = str(placed["svg"])
        placed["svg"] = name
    return placed
