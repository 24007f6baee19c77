"""The photo log: each picture with what it shows, what its file claims, and which findings rest on it."""

from evidence import labels
from evidence.dossier._blocks import Block, Inline, heading, link, mono, paragraph, plain, section
from evidence.dossier._disputed import of_entries
from evidence.dossier._file_facts import file_size, taken
from evidence.dossier._index import Index, item_anchor, measured_anchor
from evidence.dossier._indicator import indicator
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._label_crops import crops, shown_codes
from evidence.dossier._of_vehicle import of_vehicle
from evidence.dossier._words import Teller, text
from evidence.model.exhibit import Item
from evidence.model.manifest import ManifestExhibit

SHORT_DIGEST = 16  # hexadecimal digits printed; the manifest has all 64


def build(source: DossierInput, say: Say) -> Data:
    """One card per photo, by position and role as the record lists them."""
    tell, index = Teller(source, say), Index.of(source)
    photos = [exhibit for exhibit in source.manifest.exhibits if exhibit.kind == "photo"]
    if not photos:
        return section("photos", tell("title-photos"), [paragraph(text(tell("photos-none")))])
    blocks: list[Block] = [paragraph(text(tell("photos-lead")), "muted")]
    subjects = dict.fromkeys(exhibit.subject for exhibit in photos)
    for subject in subjects:
        blocks.append(heading(tell("photos-of", subject=tell.subject(subject))))
        blocks += [_card(entry, source, index, tell) for entry in photos if entry.subject == subject]
    return section("photos", tell("title-photos"), blocks)


def _card(exhibit: ManifestExhibit, source: DossierInput, index: Index, tell: Teller) -> Block:
    role = tell.word(exhibit.role)
    return {
        "kind": "photo",
        "anchors": [item_anchor(exhibit)],
        "picture": exhibit.id,
        "alt": tell("photo-alt", id=exhibit.id, role=role, subject=tell.subject(exhibit.subject)),
        "label": exhibit.id,
        "title": role,
        "crops": crops(exhibit, source, index, tell),
        "rows": [{"label": label, "value": value} for label, value in _facts(exhibit, source, index, tell)],
    }


def _facts(
    exhibit: ManifestExhibit, source: DossierInput, index: Index, tell: Teller
) -> list[tuple[str, Inline]]:
    item = source.items.get(exhibit.id)
    rows = [*_camera_facts(item, tell), *_codes(exhibit, source, tell), *of_vehicle(exhibit.id, source, tell)]
    rows += _clock(exhibit.id, source, tell)
    rows.append((tell("photo-file"), text(f"{file_size(exhibit.bytes)}, {exhibit.media_type}")))
    rows.append((tell("photo-digest"), [mono(exhibit.sha256[:SHORT_DIGEST]), plain(" …")]))
    if name := _original_name(exhibit.id, source):
        rows.append((tell("photo-name"), text(name)))
    if item is not None and item.warnings:
        rows.append((tell("photo-notes"), text(" ".join(tell.notice(code) for code in item.warnings))))
    rows += indicator(exhibit, source, tell)
    rows += _measured(exhibit, source, tell)
    rows.append((tell("photo-supports"), index.supports(exhibit.id)))
    if disputed := of_entries((exhibit.id,), index, tell):
        rows.append((tell("photo-disputed"), disputed))
    return rows


def _measured(exhibit: ManifestExhibit, source: DossierInput, tell: Teller) -> list[tuple[str, Inline]]:
    """Where to find what was measured in a photo, or why nothing could be."""
    return [
        (
            tell("photo-measured"),
            [
                link(
                    measured_anchor(each.subject),
                    tell("photo-measured-of", subject=tell.subject(each.subject)),
                    page=True,
                )
            ],
        )
        for each in source.manifest.measurements
        if exhibit.id in each.measurement.exhibits
    ]


def _camera_facts(item: Item | None, tell: Teller) -> list[tuple[str, Inline]]:
    photo = None if item is None else item.photo
    if photo is None:
        return []
    rows = [(tell("photo-time"), taken(photo, tell))]
    rows.append((tell("photo-camera"), text(photo.camera or tell("none"))))
    rows.append((tell("photo-size"), text(f"{photo.width} \u00d7 {photo.height} px")))
    return rows


def _codes(exhibit: ManifestExhibit, source: DossierInput, tell: Teller) -> list[tuple[str, Inline]]:
    """One row with what the codes in a photo say, as far as they are not shown as parts of it."""
    item = source.items.get(exhibit.id)
    codes = item.photo.codes if item is not None and item.photo is not None else ()
    codes = codes[len(shown_codes(exhibit, source)) :]
    told = [labels.described(labels.read(code.text)) for code in codes]
    if not told:
        return []
    return [(tell("photo-shows"), text("; ".join(tell(code, **words) for code, words in told)))]


def _clock(exhibit: str, source: DossierInput, tell: Teller) -> list[tuple[str, Inline]]:
    """What somebody read from the clock that is in the picture."""
    return [
        (
            tell("photo-clock"),
            text(tell("photo-clock-read", shown=one.shown.text, by=tell.person(one.by))),
        )
        for one in source.record.clocks
        if one.exhibit == exhibit
    ]


def _original_name(identifier: str, source: DossierInput) -> str:
    names = () if source.people is None else source.people.file_names
    return next((entry.name for entry in names if entry.id == identifier), "")
