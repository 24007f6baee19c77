"""The work card as one JSON object: pages of blocks with their heights, every word said."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from evidence.card._instruments import instruments_of
from evidence.card._pages import HEAD_OF_ROWS, Piece, Placed, Plan
from evidence.card._rows import MAX_BOXES, VEHICLE, Limits, Row
from evidence.card._words import Words
from evidence.dossier import Data, Say
from evidence.model.profile import Profile, ProfileScrews
from evidence.model.record import JobRecord

VIN_LENGTH = 17  # ISO 3779
PEOPLE = 4  # lines for those who work on one vehicle
INSTRUMENTS = 4
_ROW_HEADS = ("row", "step", "record", "value", "instrument", "when", "who")
_AGAIN_HEADS = ("row", "again-step", "again-why", "when", "who")


@dataclass(frozen=True)
class CardSource:
    """What a card is printed from.

    Attributes:
        record: names the vehicle and its positions.
        profile: what the manual asks.
        plan: the card laid out for these positions.
        say: code and parameters to sentence.
        language: of the sentences.
    """

    record: JobRecord
    profile: Profile
    plan: Plan
    say: Say
    language: str = "en"


def card(source: CardSource) -> Data:
    """The card as the typesetting sources read it: ``pages`` of ``blocks``, each with its height in mm."""
    words = Words(source.say, north_american=source.plan.paper == "us-letter")
    total = str(len(source.plan.pages))
    return {
        "sheet": "card",
        "language": source.language,
        "paper": source.plan.paper,
        "title": words("title", job=source.record.id),
        "running": _running(source, words),
        "foot": words("foot"),
        "pages": [
            {
                "number": words("page", page=str(number), pages=total),
                "subjects": _subjects(placed, words),
                "blocks": _blocks(placed, source, words),
            }
            for number, placed in enumerate(source.plan.pages, start=1)
        ],
        "svg": {},
    }


def _running(source: CardSource, words: Words) -> str:
    build = source.record.vehicle.build
    parts = [source.record.id, build or "", words("card-id", id=source.plan.id)]
    return "  ·  ".join(part for part in parts if part)


def _subjects(page: Sequence[Placed], words: Words) -> str:
    """What the rows of a page belong to, so that a sheet which lies by itself still says it."""
    found = dict.fromkeys(placed.piece.subject for placed in page if placed.piece.subject)
    return "  ·  ".join(_subject(subject, words) for subject in found)


def _subject(subject: str, words: Words) -> str:
    return words("vehicle-title") if subject == VEHICLE else words("position-title", position=subject)


def _blocks(page: Sequence[Placed], source: CardSource, words: Words) -> list[Data]:
    """Neighbouring lines of one table become one block, everything else a block of its own."""
    blocks: list[Data] = []
    for table, placed in groupby(page, key=lambda each: each.piece.table):
        if table:
            blocks.append(_table(table, list(placed), words))
        else:
            blocks += [_block(each, source, words) for each in placed]
    return blocks


def _table(table: str, lines: Sequence[Placed], words: Words) -> Data:
    again = table == "again"
    return {
        "kind": table,
        "heads": [words(f"head-{name}") for name in (_AGAIN_HEADS if again else _ROW_HEADS)],
        "head_height": HEAD_OF_ROWS,
        "rows": [_again(each) if again else _line(each, words) for each in lines],
    }


def _again(placed: Placed) -> Data:
    return {"number": str(placed.number), "height": placed.piece.height}


def _line(placed: Placed, words: Words) -> Data:
    row = placed.row
    return {
        "number": str(placed.number),
        "height": placed.piece.height,
        "title": _title(row, words),
        "page": words("manual-page", page=str(row.page)) if row.page is not None else "",
        "record": _record(row, words),
        "boxes": _boxes(row, words),
        "instrument": row.kind != "cycles",
    }


def _title(row: Row, words: Words) -> str:
    if row.title:
        return row.title
    return words.cycles(row.name) if row.kind == "cycles" else words.characteristic(row.name)


def _record(row: Row, words: Words) -> list[str]:
    """What is to be written or photographed, one line for each."""
    told = [words.characteristic(row.gives)] if row.gives else []
    told += [_limits(limits, row, words) for limits in row.limits]
    if row.kind == "cycles":
        told.append(words("at-least-times", n=str(row.at_least)))
    return [*told, *(words("photo", role=words.role(role)) for role in row.photos)]


def _limits(limits: Limits, row: Row, words: Words) -> str:
    page = limits.page if limits.page is not None and limits.page != row.page else None
    if limits.low is not None and limits.high is not None:
        told = words("between", low=limits.low, high=limits.high)
    elif limits.low is not None:
        told = words("at-least", low=limits.low)
    elif limits.high is not None:
        told = words("at-most", high=limits.high)
    elif limits.nominal is not None:
        told = words("nominal", nominal=limits.nominal)
    else:
        told = words("see-manual")
    return f"{told}, {words('manual-page', page=str(page))}" if page is not None else told


def _boxes(row: Row, words: Words) -> list[Data]:
    """The boxes of the value column: none, one with its unit, or done and without fault."""
    if row.kind == "cycles":
        return [{"label": words(f"cycles-{name}"), "unit": ""} for name in ("done", "good")]
    if row.kind == "value" or row.gives:
        return [{"label": "", "unit": next((each.unit for each in row.limits if each.unit), "")}]
    return []


def _block(placed: Placed, source: CardSource, words: Words) -> Data:
    piece = placed.piece
    made: dict[str, Callable[[], Data]] = {
        "header": lambda: _header(source, words),
        "who": lambda: _who(source.profile, words),
        "caution": lambda: _caution(piece, words),
        "title": lambda: _position(piece.subject, words),
        "photos-title": lambda: {
            "text": words(f"{piece.text}-title"),
            "note": words(f"{piece.text}-note"),
        },
        "photos": lambda: {"roles": [words.role(role) for role in piece.roles]},
        "signatures": lambda: _signatures(words),
        "row": lambda: _numbered(placed, words),
    }
    return {"kind": piece.part, "height": piece.height, **made[piece.part]()}


def _numbered(placed: Placed, words: Words) -> Data:
    """A row with fields of its own: what is fitted, or the screws of a group."""
    row = placed.row
    body = _system(words) if row.group is None else _screws(row, row.group, words)
    return {"kind": row.kind, "number": str(placed.number), **body}


def _caution(piece: Piece, words: Words) -> Data:
    page = words("manual-page", page=str(piece.page))
    return {"label": words("caution"), "text": piece.text, "page": page}


def _header(source: CardSource, words: Words) -> Data:
    record, profile = source.record, source.profile
    manual = profile.manual
    vehicle = record.vehicle
    vin = vehicle.vin if isinstance(vehicle.vin, str) else ""
    facts = (
        ("job", record.id),
        ("build", vehicle.build or ""),
        ("system", profile.system),
        ("profile", profile.reference),
        (
            "manual",
            words("manual", id=manual.id, revision=profile.revision, issued=manual.issued.isoformat()),
        ),
        ("maker", manual.maker),
    )
    return {
        "title": words("heading"),
        "card": words("card-id", id=source.plan.id),
        "facts": [{"label": words(f"fact-{name}"), "value": value} for name, value in facts],
        "vin": {"label": words("fact-vin"), "letters": list(vin.ljust(VIN_LENGTH))},
        "notes": [words(f"note-{name}") for name in ("pen", "value", "redo", "ticket")],
    }


def _who(profile: Profile, words: Words) -> Data:
    kinds = [words.instrument(kind) for kind in instruments_of(profile)][:INSTRUMENTS]
    return {
        "people": {
            "title": words("people-title"),
            "heads": [words(f"head-{name}") for name in ("initials", "person", "function")],
            "rows": [f"w{number}" for number in range(1, PEOPLE + 1)],
        },
        "instruments": {
            "title": words("instruments-title"),
            "heads": [words(f"head-{name}") for name in ("id", "kind", "serial", "calibrated", "range")],
            "rows": [
                {"id": f"i{number + 1}", "kind": kinds[number] if number < len(kinds) else ""}
                for number in range(INSTRUMENTS)
            ],
        },
    }


def _position(subject: str, words: Words) -> Data:
    note = "" if subject == VEHICLE else words("position-note")
    return {"text": _subject(subject, words), "note": note}


def _system(words: Words) -> Data:
    fields = (("system-serial", 58), ("system-lot", 38), ("stretcher-serial", 50), ("who", 22))
    return {"title": words("system-title"), "fields": _fields(fields, words)}


def _screws(row: Row, group: ProfileScrews, words: Words) -> Data:
    more = group.count > MAX_BOXES and row.last == MAX_BOXES
    first = (("locker", 46), ("locker-lot", 34), ("use-by", 28), ("applied", 34), ("screw-lot", 30))
    second = (("marked", 46), ("instrument", 34), ("torqued", 62), ("who", 30))
    return {
        "title": words(
            "screws-title",
            group=group.group.replace("-", " "),
            count=str(group.count),
            thread=group.thread,
            property_class=group.property_class,
        ),
        "page": words("manual-page", page=str(group.page)),
        "limits": "; ".join(_limits(limits, row, words) for limits in row.limits),
        "more": words("screws-more", n=str(group.count - MAX_BOXES)) if more else "",
        "unit": next((each.unit for each in row.limits if each.unit), "N·m"),
        "boxes": [str(number) for number in range(row.first, row.last + 1)],
        "fields": [_fields(first, words), _fields(second, words)] if row.first == 1 else [],
    }


def _fields(fields: Sequence[tuple[str, int]], words: Words) -> list[Data]:
    return [{"label": words(f"field-{name}"), "mm": width} for name, width in fields]


def _signatures(words: Words) -> Data:
    return {
        "text": words("signatures"),
        "rows": [
            {
                "who": words(f"sign-{name}"),
                "boxes": [words(f"sign-{box}") for box in ("name", "signature", "day")],
            }
            for name in ("fitter", "checked")
        ],
    }
