"""By what a photo is known to be of this vehicle; where nothing in it says so, that is said."""

from evidence.dossier._blocks import Inline
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller, text
from evidence.judge._which import known_by
from evidence.model.names import CODE_ROLES


def of_vehicle(exhibit: str, source: DossierInput, tell: Teller) -> list[tuple[str, Inline]]:
    """One labelled line; none for what is no photo that was read."""
    item = source.items.get(exhibit)
    entry = next((one for one in source.record.exhibits if one.id == exhibit), None)
    if item is None or item.photo is None or entry is None:
        return []
    searched = "none" if entry.role in CODE_ROLES else "unsearched"
    by = known_by(entry, item, source.record) or searched
    return [(tell("photo-vehicle"), text(tell(f"photo-vehicle-{by}")))]
