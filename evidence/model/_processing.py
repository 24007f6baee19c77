"""How a number is computed from the channel of a test."""

from typing import Literal

from evidence.model._base import Line, Model, at_field, refuse
from evidence.model._text import Seconds, read_quantity
from evidence.model.names import LabQuantity
from evidence.quantity import Dimension


class Processing(Model):
    """What is done to a channel before, and how, a figure is taken from it.

    Attributes:
        cfc: channel frequency class to filter with.
        form: whose form of the filter: SAE J211-1 or ISO 6487.
        zero: window in seconds whose mean is taken away first, ``-0.05 0``.
        kind: of a clip, a time above a level or a hold: all stretches together, or the longest.
        level: of a time above a level or of a hold, with unit.
        span: limits in seconds of a velocity change, ``0 0.12``; without them those of the pulse.
    """

    cfc: Literal["60", "180", "600", "1000", "none"] = "none"
    form: Literal["j211", "iso6487"] = "j211"
    zero: Seconds | None = None
    kind: Literal["cumulative", "continuous"] | None = None
    level: Line | None = None
    span: Seconds | None = None


_HOW = {  # fields of Processing without which a quantity has no meaning
    LabQuantity.CLIP_3MS: ("kind",),
    LabQuantity.TIME_ABOVE: ("kind", "level"),
    LabQuantity.HOLD_TIME: ("kind", "level"),
}
_LEVEL = {LabQuantity.TIME_ABOVE: Dimension.ACCELERATION, LabQuantity.HOLD_TIME: Dimension.FORCE}


def check_processing(quantity: LabQuantity, processing: Processing) -> None:
    """Refuse a processing that leaves open what the quantity means, or says what it has no use for.

    Raises:
        ValidationError: processing-open or processing-unused, level-unit of the quantity reader.
    """
    needed = _HOW.get(quantity, ())
    for field in ("kind", "level"):
        given = getattr(processing, field)
        if (given is None) == (field in needed):
            with at_field(field):
                raise refuse("processing-unused" if given else "processing-open", found=quantity.value)
    if processing.span is not None and quantity != LabQuantity.VELOCITY_CHANGE:
        with at_field("span"):
            raise refuse("processing-unused", found=quantity.value)
    if processing.level is not None:
        with at_field("level"):
            read_quantity(processing.level, _LEVEL[quantity])
