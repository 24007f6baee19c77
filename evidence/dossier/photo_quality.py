"""How good each photo is: size, time, sharpness, plain white and black, and what was noticed about it."""

from evidence.dossier._blocks import (
    Inline,
    column,
    joined,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    section,
    table,
)
from evidence.dossier._file_facts import file_size, taken
from evidence.dossier._index import Index
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, capital, text
from evidence.exhibits.likeness import ALIKE, is_flat, likeness_distance
from evidence.exhibits.resolution import SMALL_FOR_ROLE, small_for_role
from evidence.model.exhibit import Item
from evidence.model.manifest import ManifestExhibit
from evidence.model.measurement import Measurement, View

HEADS = (("photo", 38), ("picture", 24), ("taken", 28), ("sharpness", 36), ("remarks", 0))


def build(source: DossierInput, say: Say) -> Data:
    """One row per photo, in the order of the manifest."""
    tell, index = Teller(source, say), Index.of(source)
    photos = [exhibit for exhibit in source.manifest.exhibits if exhibit.kind == "photo"]
    title = tell("title-photo_quality")
    if not photos:
        return section("photo_quality", title, [])
    measurements = [each.measurement for each in source.manifest.measurements]
    views = {view.exhibit: view for measurement in measurements for view in measurement.views}
    rows = []
    for exhibit in photos:
        item = source.items.get(exhibit.id)
        remarks = [
            *_noticed(exhibit, item, measurements, tell),
            *_near_copies(exhibit, photos, source, index, tell),
        ]
        cells = (
            [*index.links((exhibit.id,)), new_line(), muted(tell.inside(tell.word(exhibit.role)))],
            _picture(exhibit, item, tell),
            [] if item is None or item.photo is None else taken(item.photo, tell),
            _sharpness(views.get(exhibit.id), item, tell),
            joined(remarks, " ") or [muted(tell("quality-nothing"))],
        )
        rows.append(row(cells))
    columns = [column(tell(f"head-{name}"), mm=width) for name, width in HEADS]
    lead = paragraph(text(tell("quality-lead")), "muted")
    return section("photo_quality", title, [lead, table(columns, rows)], flows=True)


def _picture(exhibit: ManifestExhibit, item: Item | None, tell: Teller) -> Inline:
    size = [new_line(), muted(file_size(exhibit.bytes))]
    if item is None or item.photo is None:
        return [plain(tell("quality-unread")), *size]
    width, height = str(item.photo.width), str(item.photo.height)
    return [plain(tell("quality-size", width=width, height=height)), *size]


def _sharpness(view: View | None, item: Item | None, tell: Teller) -> Inline:
    """At the gauge card where it was measured, which is the better of the two; and shares of plain white and black."""
    photo = item.photo if item is not None else None
    if view is not None:
        lines = [text(tell("quality-sharpness", sharpness=view.sharpness, blur=view.blur))]
    elif photo is not None and photo.blur is not None:
        lines = [text(tell("quality-blur", blur=photo.blur))]
    else:
        lines = [[muted(tell("quality-edges-none"))]]
    if photo is not None and photo.white is not None and photo.black is not None:
        lines.append([muted(tell("quality-clipped", white=photo.white, black=photo.black))])
    return [part for line in lines for part in (*line, new_line())][:-1]


def _noticed(
    filed: ManifestExhibit, item: Item | None, measurements: list[Measurement], tell: Teller
) -> list[Inline]:
    """What the file itself and its measuring gave rise to say."""
    exhibit = filed.id
    found = [] if item is None else [text(tell.notice(code)) for code in item.warnings]
    if item is not None and item.photo is not None:
        if item.photo.trailing_bytes:
            found.append(text(tell.count("quality-trailing", item.photo.trailing_bytes)))
        if small := small_for_role(item.photo, filed.role):
            found.append(text(tell.notice(SMALL_FOR_ROLE, small)))
    for measurement in measurements:
        notices = [*measurement.warnings, *([measurement.reason] if measurement.reason else [])]
        found += [
            text(capital(tell.notice(notice.code, notice.parameters)))
            for notice in notices
            if notice.exhibit == exhibit or (notice.exhibit is None and measurement.exhibits == (exhibit,))
        ]
    return found


def _near_copies(
    exhibit: ManifestExhibit, photos: list[ManifestExhibit], source: DossierInput, index: Index, tell: Teller
) -> list[Inline]:
    """Other photos that look nearly the same, as far as the items tell; a person has to look."""
    own = source.items.get(exhibit.id)
    near = [
        other.id for other in photos if other.id != exhibit.id and _alike(own, source.items.get(other.id))
    ]
    return [[plain(tell("quality-alike") + " "), *index.links(near), plain(".")]] if near else []


def _alike(one: Item | None, other: Item | None) -> bool:
    first, second = (None if item is None else item.photo for item in (one, other))
    if first is None or second is None or not first.likeness or not second.likeness:
        return False
    if is_flat(first.likeness) or is_flat(second.likeness):
        return False
    codes = [{code.text for code in photo.codes} for photo in (first, second)]
    if all(codes) and codes[0].isdisjoint(codes[1]):
        return False  # two labels in the same light look alike, and are two all the same
    return likeness_distance(first.likeness, second.likeness) <= ALIKE
