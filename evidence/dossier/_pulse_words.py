"""Words about numbers of sled runs that table and drawings share: quantities, processing, margins, corridors."""

from evidence.dossier._lab_page import kept, minus, printed
from evidence.dossier._words import Teller
from evidence.measure.figures import CORRIDOR
from evidence.model.criterion import Processing
from evidence.model.names import LabQuantity
from evidence.model.result import LabResult
from evidence.register.demand import Demand


def quantity(result: LabResult, tell: Teller) -> str:
    """What was computed."""
    if result.quantity == CORRIDOR:
        return tell("pulse-corridor")
    return tell.word(str(result.quantity), "lab-quantity")


def processed(processing: Processing | None, tell: Teller) -> list[str]:
    """What was done to the channel before anything was taken from it."""
    used = processing or Processing()
    filtered = tell("pulse-not-filtered-here")
    if used.cfc != "none":
        filtered = tell("pulse-class", cfc=used.cfc, form=tell(f"pulse-form-{used.form}"))
    if used.zero is None:
        return [filtered]
    begin, end = minus(used.zero).split()
    return [filtered, tell("pulse-zero", begin=begin, end=end)]


def taken(result: LabResult, tell: Teller) -> str:
    """How the number was taken from the processed channel; empty where its name says all."""
    used = result.processing or Processing()
    kind = used.kind or "cumulative"
    if result.quantity == CORRIDOR:
        return tell("pulse-how-corridor")
    if result.quantity == LabQuantity.CLIP_3MS:
        return tell(f"pulse-how-clip-{kind}")
    if result.quantity == LabQuantity.TIME_ABOVE:
        return tell(f"pulse-how-time-{kind}", level=kept(used.level or ""))
    if result.quantity == LabQuantity.VELOCITY_CHANGE and used.span is not None:
        begin, end = minus(used.span).split()
        return tell("pulse-how-change-span", begin=begin, end=end)
    if result.quantity == LabQuantity.VELOCITY_CHANGE:
        return tell("pulse-how-change")
    return tell("pulse-how-excursion") if result.quantity == LabQuantity.EXCURSION else ""


def margin(result: LabResult, tell: Teller) -> tuple[str, str]:
    """A margin as a size with its unit, and on which side of which line."""
    value = printed(result)[0]
    side = tell(f"pulse-side-{result.bound or 'none'}")
    where = tell(
        "pulse-corridor-out" if (result.value or "").startswith("-") else "pulse-corridor-in", side=side
    )
    return kept(tell("pull-value", value=value.lstrip("-"), unit=result.unit)), where


def source_of(demand: Demand, tell: Teller) -> str:
    """Whose corridor it is: the standard, else the clause or manual section."""
    return demand.standard or tell.title(demand.title) or demand.source
