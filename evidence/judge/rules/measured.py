"""Rules on what was measured from photos: a recorded value that its photo does not bear out."""

from collections.abc import Iterator

from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import contradiction
from evidence.judge._photo import compared
from evidence.judge._scope import lineage
from evidence.judge._uncertainty import of_characteristic
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Place
from evidence.model.measurement import Measurement
from evidence.model.names import ContradictionRule
from evidence.model.record import Characteristic


def photo_against_value(case: Case) -> Iterator[Contradiction]:
    """Photo and recorded value differ by more than both uncertainties and any doubt about the card's plane allow.

    A view that is too oblique to decide says nothing, nor does a photo that cannot be used.
    """
    for (quantity, subject), measurement in sorted(case.measurements.items()):
        if not measurement.decides or any(exhibit_stop(each, case) for each in measurement.exhibits):
            continue
        name = quantity.rpartition(".")[2]
        line = lineage(subject, case.record)
        for value in case.record.characteristics:
            if value.name == name and value.subject in line and not isinstance(value.value, FieldState):
                yield from _against(value, measurement, case)


def _against(value: Characteristic, measurement: Measurement, case: Case) -> Iterator[Contradiction]:
    pair = compared(measurement, of_characteristic(value, case.record))
    if pair is None or not pair.certain or value.quantity is None or pair.photo.expanded is None:
        return
    found = f"{pair.photo.value.text} \u00b1 {pair.photo.expanded.text}"
    yield contradiction(
        ContradictionRule.PHOTO_AGAINST_VALUE,
        value.subject,
        (
            Place(where=f"{value.id}.value", value=value.quantity.text),
            Place(where=f"{measurement.exhibits[0]}.measured", value=found),
        ),
        exhibits=measurement.exhibits,
        entry=value.id,
        exhibit=measurement.exhibits[0],
        recorded=value.quantity.text,
        found=found,
    )
