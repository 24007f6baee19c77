"""What is measured with: the kinds of instruments that card and record have a line for, in one order for both."""

from evidence.model.criterion import ValidOn, Within
from evidence.model.names import (
    CHARACTERISTIC_DIMENSION,
    INSTRUMENT_DIMENSION,
    CharacteristicName,
    InstrumentKind,
)
from evidence.model.profile import Profile
from evidence.quantity import Dimension

_CHARACTERISTIC = "characteristic."


def instruments_of(profile: Profile) -> tuple[InstrumentKind, ...]:
    """Caliper and torque tool, what the profile names, then one for each recorded value that none of them can take."""
    named = (
        kind
        for item in profile.items
        if isinstance(item.criterion, ValidOn) and item.criterion.what == "instrument"
        for kind in item.criterion.kinds
    )
    kinds = list(dict.fromkeys((InstrumentKind.CALIPER, InstrumentKind.TORQUE_WRENCH, *named)))
    for item in profile.items:
        criterion = item.criterion
        if isinstance(criterion, Within) and criterion.quantity.startswith(_CHARACTERISTIC):
            name = CharacteristicName(criterion.quantity.removeprefix(_CHARACTERISTIC))
            if taking(CHARACTERISTIC_DIMENSION[name], kinds) is None:
                kinds += [kind for kind in InstrumentKind if _takes(kind, CHARACTERISTIC_DIMENSION[name])][:1]
    return tuple(kinds)


def taking(dimension: Dimension, kinds: list[InstrumentKind]) -> int | None:
    """Place of the first kind that measures this dimension, or None."""
    return next((place for place, kind in enumerate(kinds) if _takes(kind, dimension)), None)


def _takes(kind: InstrumentKind, dimension: Dimension) -> bool:
    return INSTRUMENT_DIMENSION[kind] == dimension
