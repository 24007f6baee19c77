"""The work card and the tickets of a job as data: what a fitter writes by hand and holds into photos.

Pages and rows are laid out here and not by the typesetter, so that the record can name the row of a value before
anybody has printed anything.
"""

from evidence.card._instruments import instruments_of, taking
from evidence.card._pages import Placed, Plan, plan
from evidence.card._rows import Limits, Row
from evidence.card._sheet import CardSource, card
from evidence.card.tickets import clock_payload, payload, tickets

__all__ = [
    "CardSource",
    "Limits",
    "Placed",
    "Plan",
    "Row",
    "card",
    "clock_payload",
    "instruments_of",
    "payload",
    "plan",
    "taking",
    "tickets",
]
