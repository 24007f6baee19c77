"""The numbers behind a finding of type ``within``, taken from record and demand, as a limit bar."""

from evidence.dossier._blocks import bar
from evidence.dossier._index import Index
from evidence.dossier._input import Data, DossierInput
from evidence.dossier._words import Teller
from evidence.drawing.limits import LimitBar, Reading, limit_bar_svg
from evidence.judge._uncertainty import of_characteristic
from evidence.model.criterion import Within
from evidence.model.finding import Finding
from evidence.model.names import ClaimName
from evidence.model.record import Characteristic, Document, JobRecord, Screws
from evidence.quantity import Quantity

_Value = tuple[Quantity, Quantity | None]


def limit_bar(finding: Finding, source: DossierInput, index: Index, tell: Teller) -> Data | None:
    """The bar of a finding, or None where it compares no quantity with a limit or no value is there."""
    demand = index.demands.get(finding.requirement)
    if demand is None or not isinstance(demand.criterion, Within) or demand.criterion.limit != "held":
        return None
    low, high = demand.criterion.bound(demand.criterion.low), demand.criterion.bound(demand.criterion.high)
    values = _values(finding, source, demand.criterion.quantity)
    if not values or (low is None and high is None):
        return None
    shape = LimitBar(
        tuple(Reading(value.base, None if spread is None else spread.base) for value, spread in values),
        None if low is None else low.base,
        None if high is None else high.base,
    )
    low_text, high_text = str(low or ""), str(high or "")
    return bar(limit_bar_svg(shape), _alt(values, low_text, high_text, tell), low_text, high_text)


def _alt(values: list[_Value], low: str, high: str, tell: Teller) -> str:
    shown = ", ".join(f"{value} ± {spread}" if spread is not None else str(value) for value, spread in values)
    return tell("bar-alt", values=shown, low=low or tell("no-limit"), high=high or tell("no-limit"))


def _values(finding: Finding, source: DossierInput, quantity: str) -> list[_Value]:
    entries = source.record.identified()
    used = [entries[name] for name in (*finding.records, *finding.documents) if name in entries]
    return [value for entry in used for value in _of(entry, quantity, source.record)]


def _of(entry: object, quantity: str, record: JobRecord) -> list[_Value]:
    if isinstance(entry, Characteristic) and quantity == f"characteristic.{entry.name}":
        value = entry.quantity
        return [] if value is None else [(value, of_characteristic(entry, record).expanded)]
    if isinstance(entry, Screws) and quantity == "screws.torque":
        return [(torque, None) for torque in entry.torques if isinstance(torque, Quantity)]
    if isinstance(entry, Document) and quantity.startswith("document."):
        claim = entry.claim(ClaimName(quantity.removeprefix("document.")))
        value = None if claim is None else claim.quantity
        return [] if value is None else [(value, None)]
    return []
