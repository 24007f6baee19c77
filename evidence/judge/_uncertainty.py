"""How well a recorded value is known: its own uncertainty, else that of its instrument, else not at all."""

from dataclasses import dataclass, replace
from fractions import Fraction

from evidence.model.names import INSTRUMENT_DIMENSION, InstrumentKind
from evidence.model.record import Characteristic, Instrument, JobRecord, Screws
from evidence.quantity import Dimension, Quantity, decimal_text


@dataclass(frozen=True)
class Measured:
    """A value with what is known of its expanded uncertainty (k = 2).

    Attributes:
        value: as recorded.
        expanded: expanded uncertainty, or None where nobody stated one.
        out_of_range_of: id of the instrument whose stated range does not hold the value, or None.
    """

    value: Quantity
    expanded: Quantity | None
    out_of_range_of: str | None = None


def of_characteristic(value: Characteristic, record: JobRecord) -> Measured:
    """A recorded value; an uncertainty recorded with it goes before the instrument's.

    Raises:
        ValueError: the entry holds a state and no value.
    """
    quantity = value.quantity
    if quantity is None:
        raise ValueError(value.id)
    own = _positive(value.expanded_uncertainty)
    # whoever states an uncertainty still cannot read an instrument beyond its range
    measured = _by_instrument(quantity, value.instrument, record)
    return measured if own is None else replace(measured, expanded=own)


def of_torque(torque: Quantity, group: Screws, record: JobRecord) -> Measured:
    """The torque of one screw; its tool's permitted deviation is a share of the value."""
    return _by_instrument(torque, group.instrument, record)


def of_document(value: Quantity) -> Measured:
    """A value that a document states; documents carry no uncertainty field of their own yet."""
    return Measured(value, None)


def instrument_of(identity: str, record: JobRecord) -> Instrument | None:
    """The instrument of that id, if the record lists it."""
    return next((one for one in record.instruments if one.id == identity), None)


def fitting_kinds(dimension: Dimension) -> frozenset[InstrumentKind]:
    """Kinds of instrument that a value of the dimension can be taken with.

    A go/no-go gauge is made for one value of any dimension, but no gauge of that kind tightens a screw.
    """
    own = {kind for kind, measures in INSTRUMENT_DIMENSION.items() if measures == dimension}
    return frozenset(own if dimension == Dimension.TORQUE else {*own, InstrumentKind.GO_NO_GO})


def _by_instrument(value: Quantity, identity: str, record: JobRecord) -> Measured:
    instrument = instrument_of(identity, record)
    if instrument is None:
        return Measured(value, None)
    stated = _positive(instrument.quantity(instrument.uncertainty))
    same_kind = stated is not None and stated.unit.dimension == value.unit.dimension
    share = _deviation(value, instrument)
    prefers_share = instrument.kind == InstrumentKind.TORQUE_WRENCH
    fixed = stated if same_kind else None
    expanded = (share or fixed) if prefers_share else (fixed or share)
    return Measured(value, expanded, None if in_range(value, instrument) else instrument.id)


def _deviation(value: Quantity, instrument: Instrument) -> Quantity | None:
    if instrument.deviation is None or instrument.deviation.base <= 0 or value.value == 0:
        return None
    amount = abs(value.value) * instrument.deviation.base
    return Quantity(amount, value.unit, f"{decimal_text(amount)} {value.unit.symbol}")


def in_range(value: Quantity, instrument: Instrument) -> bool:
    """Whether a value lies in the instrument's range, its ends included, as far as they are stated.

    The range of a hand torque tool begins at the lowest value that is marked on it (ISO 6789).
    """
    low, high = instrument.quantity(instrument.range_low), instrument.quantity(instrument.range_high)
    bounds = [bound for bound in (low, high) if bound is not None]
    if any(bound.unit.dimension != value.unit.dimension for bound in bounds):
        return True
    least = low.base if low is not None else Fraction(value.base)
    most = high.base if high is not None else Fraction(value.base)
    return least <= value.base <= most


def _positive(quantity: Quantity | None) -> Quantity | None:
    # nobody measures without uncertainty, so a typed zero says that it is not known
    return quantity if quantity is not None and quantity.base > 0 else None
