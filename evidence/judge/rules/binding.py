"""Rule on the VIN: it was typed in beside a build number, and no photo shows that the two are one vehicle."""

from collections.abc import Iterator

from evidence.judge._evidence import exhibit_stop
from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE
from evidence.judge.case import Case
from evidence.model._text import FieldState
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Role, Severity


def vin_without_photo(case: Case) -> Iterator[Contradiction]:
    """No photo of the vehicle's plate is filed, or the one that bound the VIN cannot be used; a notice."""
    vehicle = case.record.vehicle
    if not isinstance(vehicle.vin, str) or vehicle.build is None:
        return
    sides = Place(where="vehicle.vin", value=vehicle.vin), Place(where="vehicle.build", value=vehicle.build)
    bound = vehicle.vin_bound
    if bound is None:
        if not _plate_filed(case):
            yield contradiction(
                ContradictionRule.VIN_WITHOUT_PHOTO,
                VEHICLE,
                sides,
                severity=Severity.NOTICE,
                vin=vehicle.vin,
                build=vehicle.build,
            )
    elif exhibit_stop(bound.exhibit, case) is not None:
        yield contradiction(
            ContradictionRule.VIN_WITHOUT_PHOTO,
            VEHICLE,
            (sides[0], Place(where="vehicle.vin_bound.exhibit", value=bound.exhibit)),
            severity=Severity.NOTICE,
            exhibits=(bound.exhibit,),
            code="vin-photo-unusable",
            vin=vehicle.vin,
            exhibit=bound.exhibit,
        )


def _plate_filed(case: Case) -> bool:
    return any(
        entry.role == Role.LABEL_VEHICLE and not isinstance(entry.file, FieldState)
        for entry in case.record.exhibits
    )
