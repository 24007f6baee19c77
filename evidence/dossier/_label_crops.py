"""The codes of a label's photo, each as a part of its photo, with what it says and whether the record says the same."""

from collections.abc import Iterator

from evidence import labels
from evidence.dossier._blocks import Inline, link, muted, new_line, plain, strong
from evidence.dossier._index import Index, contradiction_anchor
from evidence.dossier._input import Data, DossierInput
from evidence.dossier._words import Teller, capital
from evidence.drawing.framed import framed
from evidence.judge._scope import fold, positions_of
from evidence.judge._which import same_model
from evidence.labels import Label
from evidence.model.exhibit import Code, Photo
from evidence.model.finding import Contradiction
from evidence.model.manifest import ManifestExhibit
from evidence.model.names import LABEL_ROLES, ContradictionRule, Role
from evidence.model.record import JobRecord

MOST = 6  # codes shown; the others stay words
AROUND = 0.25  # of a code's extent, shown on each side of it
SHAPE = 1.2  # width by height of the part that is shown
_RULES = frozenset({ContradictionRule.LABEL_DIFFERS, ContradictionRule.PHOTO_OF_ANOTHER_VEHICLE})


def shown_codes(exhibit: ManifestExhibit, source: DossierInput) -> tuple[Code, ...]:
    """Codes of a label's photo that are shown as parts of it; none for a photo of something else."""
    item = source.items.get(exhibit.id)
    if item is None or item.photo is None or exhibit.role not in LABEL_ROLES:
        return ()
    return item.photo.codes[:MOST]


def crops(exhibit: ManifestExhibit, source: DossierInput, index: Index, tell: Teller) -> list[Data]:
    """Each shown code with its words."""
    item = source.items.get(exhibit.id)
    photo = None if item is None else item.photo
    if photo is None:
        return []
    return [_crop(code, photo, exhibit, source, index, tell) for code in shown_codes(exhibit, source)]


def _crop(
    code: Code, photo: Photo, exhibit: ManifestExhibit, source: DossierInput, index: Index, tell: Teller
) -> Data:
    label = labels.read(code.text)
    name, parameters = labels.described(label)
    words = tell(name, **parameters)
    part = framed(code.corners, (photo.width, photo.height), margin=AROUND, shape=SHAPE)
    return {
        "picture": exhibit.id,
        "svg": part.svg,
        "alt": tell("label-outline-alt", id=exhibit.id),
        "photo_alt": tell("label-alt", id=exhibit.id, words=words),
        "box": list(part.box),
        "width": part.width,
        "height": part.height,
        "said": [strong(capital(words)), new_line(), *_compared(label, exhibit, source, index, tell)],
    }


def _compared(
    label: Label, exhibit: ManifestExhibit, source: DossierInput, index: Index, tell: Teller
) -> Inline:
    """What the contradictions say of this code, else that the record has it too, else that nothing was compared."""
    found = [
        (number, entry)
        for number, entry in enumerate(index.contradictions)
        if entry.rule in _RULES and exhibit.id in entry.exhibits and _names(entry, label)
    ]
    if found:
        told: Inline = []
        for number, entry in found:
            title = link(contradiction_anchor(number), tell("label-contradicted"))
            told += [title, plain(" " + tell.reason(entry.reason) + " ")]
        return told
    if _recorded(label, exhibit, source.record):
        return [plain(tell("label-same"))]
    return [muted(tell("label-not-compared"))]


def _names(entry: Contradiction, label: Label) -> bool:
    """Whether a contradiction is about this code of its photo."""
    found = str(entry.reason.parameters.get("found", ""))
    if entry.rule == ContradictionRule.LABEL_DIFFERS:
        return found in (label.serial, label.vin, label.build)
    return label.kind == "ticket" and found in (
        f"{label.job} {label.subject}",
        f"{label.job} {label.subject} {label.nonce}",
        label.subject,
    )


def _recorded(label: Label, exhibit: ManifestExhibit, record: JobRecord) -> bool:
    """Whether the record has the label's number for what the photo is of; certain or not at all."""
    vehicle = record.vehicle
    if exhibit.role == Role.LABEL_VEHICLE:
        number = isinstance(vehicle.vin, str) and bool(label.vin) and labels.same_vin(vehicle.vin, label.text)
        build = bool(label.build and vehicle.build) and fold(label.build or "") == fold(vehicle.build or "")
        return number if label.vin else build
    return bool(label.serial) and any(
        same_model(label, model) and isinstance(serial, str) and labels.same_serial(serial, label.text)
        for model, serial in _things(exhibit, record)
    )


def _things(exhibit: ManifestExhibit, record: JobRecord) -> Iterator[tuple[str, object]]:
    """Model and serial number of what a label of that role can be of, at the photo's place."""
    for position in positions_of(exhibit.subject, record):
        if exhibit.role == Role.LABEL_SYSTEM:
            yield position.system.model, position.system.serial
        else:
            stretchers = (*position.stretchers.delivered_with, *position.stretchers.tested_with)
            yield from ((one.model, one.serial) for one in stretchers)
