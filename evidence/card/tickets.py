"""Tickets to cut out: codes that tie a photo to a vehicle and a position, and one that ties a phone to the time."""

from collections.abc import Sequence

from evidence.card._words import Words
from evidence.dossier import Data, Paper, Say
from evidence.drawing.qr import qr_svg
from evidence.model.record import JobRecord, Ticket

VEHICLE = "vehicle"
PER_SHEET = 4  # tickets of 105 x 74 mm on a sheet of either paper, lying


def payload(job: str, ticket: Ticket) -> str:
    """Text of a ticket's code: ``sillmark:<job>:<subject>:<nonce>``."""
    return f"sillmark:{job}:{ticket.subject}:{ticket.nonce}"


def clock_payload(job: str, nonce: str) -> str:
    """Text of the code that is photographed beside a clock: ``sillmark-clock:<job>:<nonce>``."""
    return f"sillmark-clock:{job}:{nonce}"


def tickets(record: JobRecord, paper: Paper, say: Say, language: str = "en") -> Data:
    """The sheets of tickets as one JSON object: vehicle, positions, clock, in the order of the record.

    Args:
        record: with its tickets; without any, there is nothing to print.
        paper: size of the sheets.
        say: code and parameters to sentence.
        language: of the sentences.

    Raises:
        ValueError: the record has no tickets.
    """
    if not record.tickets:
        raise ValueError("the record has no tickets")
    words = Words(say, north_american=paper == "us-letter")
    cards = [_ticket(ticket, record, words) for ticket in record.tickets]
    cards.append(_clock(record, words))
    svg = {f"code-{number}.svg": card.pop("svg") for number, card in enumerate(cards)}
    for number, card in enumerate(cards):
        card["code"] = f"code-{number}.svg"
    return {
        "sheet": "tickets",
        "language": language,
        "paper": paper,
        "title": words("tickets-title", job=record.id),
        "lead": words("tickets-lead"),
        "foot": words("foot"),
        "pages": _sheets(cards),
        "svg": svg,
    }


def _sheets(cards: Sequence[Data]) -> list[list[Data]]:
    return [list(cards[first : first + PER_SHEET]) for first in range(0, len(cards), PER_SHEET)]


def _ticket(ticket: Ticket, record: JobRecord, words: Words) -> Data:
    whole = ticket.subject == VEHICLE
    return {
        **_common(payload(record.id, ticket), record, words),
        "big": words("ticket-vehicle") if whole else ticket.subject,
        "what": words("ticket-of-vehicle") if whole else words("ticket-of-position"),
        "use": words("ticket-use-vehicle") if whole else words("ticket-use", position=ticket.subject),
        "boxes": [],
    }


def _clock(record: JobRecord, words: Words) -> Data:
    # the vehicle's secret, where there is one: what counts is that nobody else can print this code
    nonces = {ticket.subject: ticket.nonce for ticket in record.tickets}
    nonce = nonces.get(VEHICLE, record.tickets[0].nonce)
    return {
        **_common(clock_payload(record.id, nonce), record, words),
        "big": words("ticket-clock"),
        "what": "",
        "use": words("ticket-use-clock"),
        "boxes": [words(f"clock-{name}") for name in ("day", "time", "from", "by")],
    }


def _common(text: str, record: JobRecord, words: Words) -> Data:
    vehicle = record.vehicle
    vin = vehicle.vin if isinstance(vehicle.vin, str) else words("ticket-no-vin")
    known = words("ticket-build", build=vehicle.build) if vehicle.build else words("ticket-vin", vin=vin)
    return {
        "svg": qr_svg(text),
        "alt": words("ticket-alt", text=text),
        "text": text,
        "job": words("ticket-job", job=record.id),
        "vehicle": known,
    }
