"""Dossiers with more, longer and stranger content than a workshop writes, whose pages must stay as good as the others'."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from evidence.dossier import Data, DossierInput
from evidence.dossier._input import Paper
from tests.dossier import builders, hostile, judged, records
from tests.dossier.test_hook_position import speak

FINDINGS, PHOTOS, GROUPS, POSITIONS, DAYS = 1000, 80, 40, 8, 15
FIRST_DAY = date(2026, 3, 2)
LONG_REASON = 400  # characters
OUTCOMES = ("met", "not met", "not shown", "undecided", "not applicable")
NAMES = (
    "Ελένη Παπαδοπούλου-Κωνσταντινίδου",
    "Zoë Ångström-Łuczak",
    "Ñandú Ğüneş Öztürk",
    "Željko Đurić-Šćepanović",
)
UNKNOWN = "Kobayashi 小林 \u0e2a\u0e21\u0e0a\u0e32\u0e22"
"""A name in alphabets that the fonts do not have."""


def serial(number: int, length: int = 90) -> str:
    """A serial without a space or a mark at which a line could break."""
    return f"SN{number:04d}" + ("0123456789ABCDEFGHJKLMNPQRSTUVWXYZ" * 3)[: length - 6]


def said(number: int, length: int) -> str:
    """A reason that can be told from all others, of about that length, with one word that is very long."""
    start = f"Reason {number:04d} rests on {serial(number, 60)} and was read"
    words = start
    while len(words) < length:
        words += f" with care on sheet {number}-{len(words)}/b"
    return f"{words}, end of {number:04d}."


def _people(names: tuple[str, ...] = NAMES) -> Data:
    extra = [{"id": f"w{place}", "name": name} for place, name in enumerate(names, 4)]
    notes = [
        {
            "id": f"n{place}",
            "about": "p1",
            "language": "el",
            "text": f"{name}: {serial(place)}. {said(place, 900)}",
        }
        for place, name in enumerate((*names, UNKNOWN))
    ]
    return {**builders.PEOPLE, "people": [*builders.PEOPLE["people"], *extra], "notes": notes}


def _made(
    record: Data, findings: list[Data], paper: Paper, *, redacted: bool, open_: bool = True
) -> DossierInput:
    clashes = judged.CONTRADICTIONS if open_ else []
    manifest = builders.manifest_for(record, findings, clashes, builders.AMERICAN_PACKS)
    return replace(builders.source_from(record, manifest, _people(), redacted=redacted), paper=paper)


def many_findings(paper: Paper, *, redacted: bool) -> DossierInput:
    """A thousand requirements of every outcome, each tenth with a reason of 400 characters or more."""
    findings = [
        judged.finding(
            f"sae-j3027@1/{number // 40 + 1}.{number // 8 % 5}/demand-{number:04d}",
            ("p1", "p2", "vehicle")[number % 3],
            OUTCOMES[number % 5],
            ("hostile", {"text": said(number, LONG_REASON if number % 10 == 0 else 90)}),
            exhibits=["E001", "E003"],
            closes=("fitter", "paperwork", "laboratory")[number % 3],
        )
        for number in range(FINDINGS)
    ]
    return _made(records.open_record(), findings, paper, redacted=redacted)


def usual_findings(paper: Paper, *, redacted: bool) -> DossierInput:
    """A thousand requirements as a judge writes them: short reasons, one of twenty open. For the benchmark."""
    findings = [
        judged.finding(
            f"sae-j3027@1/{number // 40 + 1}.{number // 8 % 5}/demand-{number:04d}",
            "p1" if number % 2 else "vehicle",
            "met" if number % 20 else "not shown",
            ("evidence-there", {"found": "1"}),
            exhibits=["E001"],
            rests_on=["recorded"],
        )
        for number in range(FINDINGS)
    ]
    return _made(records.open_record(), findings, paper, redacted=redacted)


def many_photos(paper: Paper, *, redacted: bool) -> DossierInput:
    """Eighty photos of several roles, whose positions have long serials."""
    record = records.open_record()
    roles = ("hook-position", "lock-window-locked", "which-vehicle", "other-photo")
    record["exhibits"] = [
        *record["exhibits"],
        *(
            {
                "id": f"F{number:03d}",
                "role": roles[number % 4],
                "subject": ("p1", "p2", "vehicle")[number % 3],
                "file": f"photos/F{number:03d}.jpg",
            }
            for number in range(PHOTOS)
        ),
    ]
    return _made(record, judged.open_findings(), paper, redacted=redacted)


def _position(number: int) -> Data:
    model = f"Heron Carrier {serial(number, 60)}"
    return {
        "id": f"p{number}",
        "system": {"model": f"H{serial(number, 89)}", "serial": serial(number), "lot": serial(number, 80)},
        "loading": "rear",
        "orientation": "head-forward",
        "stretchers": {
            "tested_with": [{"model": model, "serial": serial(number + 100)}],
            "approved_models": [model],
            "delivered_with": [{"model": model, "serial": serial(number + 200)}],
        },
    }


def _day(number: int) -> str:
    return str(FIRST_DAY + timedelta(days=number % DAYS))


def many_groups(paper: Paper, *, redacted: bool) -> DossierInput:
    """Eight positions with serials of ninety characters, forty groups of screws, work on fifteen days."""
    record = records.open_record()
    places = [f"p{number % POSITIONS + 1}" for number in range(GROUPS)]
    record |= {
        "positions": [_position(number) for number in range(1, POSITIONS + 1)],
        "screws": [
            records._screws(f"g{number}", place, _day(number)) | {"lot": serial(number, 70)}
            for number, place in enumerate(places, 1)
        ],
        "steps": [
            {**step, "id": f"{step['id']}-{number}"}
            for number, place in enumerate(places[:DAYS], 1)
            for step in records._steps(place, f"g{number}", _day(number))
        ],
        "characteristics": [
            records._value(f"v{number}", f"p{number}", "120.3 mm", f"{_day(number)}T10:40")
            for number in range(1, POSITIONS + 1)
        ],
        "people": [
            *records.PEOPLE,
            *({"id": f"w{place}", "functions": ["fitter"]} for place in range(4, 4 + len(NAMES))),
        ],
        "instruments": [
            {**one, "serial": serial(place, 90)} for place, one in enumerate(records.INSTRUMENTS)
        ],
    }
    return _made(record, judged.open_findings(), paper, redacted=redacted)


def hardly_anything(paper: Paper, *, redacted: bool) -> DossierInput:
    """A record whose sections are empty as far as the form allows it."""
    record = records.finished_record()
    empty = (
        "instruments",
        "steps",
        "screws",
        "characteristics",
        "cycles",
        "documents",
        "statements",
        "exhibits",
    )
    record |= {name: [] for name in empty} | {"release": None, "declaration": None}
    one = judged.finding(
        "sae-j3027@1/4.1/identity", "vehicle", "not shown", ("hostile", {"text": said(1, LONG_REASON)})
    )
    return _made(record, [one], paper, redacted=redacted, open_=False)


def hostile_text(paper: Paper, *, redacted: bool) -> DossierInput:
    """Every free field holds text that a careless page would obey or lose."""
    return replace(hostile.source(redacted=redacted), paper=paper)


MAKERS: Mapping[str, Any] = {
    "findings": many_findings,
    "photos": many_photos,
    "groups": many_groups,
    "empty": hardly_anything,
    "hostile": hostile_text,
}


def ready(name: str, paper: Paper, *, redacted: bool) -> tuple[Data, dict[str, bytes], dict[str, bytes]]:
    """Data, pictures and attachments of one of them."""
    return builders.ready(MAKERS[name](paper, redacted=redacted), speak)
