"""Small cases made from plain dicts: a record that says only what the test at hand needs."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from pydantic import TypeAdapter

from evidence.judge import TYPES, Case
from evidence.judge._scope import subjects
from evidence.model.criterion import Criterion, Rule
from evidence.model.exhibit import Item
from evidence.model.finding import Finding
from evidence.model.intake import Intake
from evidence.model.names import ROLE_KINDS, Fact, Group, Region
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.register.demand import Demand, DemandedClause, Demands

AS_OF = date(2026, 3, 20)
NONCE = "3v8w2k"
TICKET = f"sillmark:AMB-1:vehicle:{NONCE}"
PHOTO_ROLES = tuple(sorted(role.value for role, kinds in ROLE_KINDS.items() if kinds == {"photo"}))
_CRITERION: TypeAdapter[Criterion] = TypeAdapter(Criterion)

POSITION = {
    "id": "p1",
    "system": {"model": "Heron 2", "serial": "0012"},
    "loading": "rear",
    "orientation": "head-forward",
    "floor": "plate",
    "stretchers": {
        "tested_with": [{"model": "Heron Carrier", "serial": "C-77"}],
        "approved_models": ["Heron Carrier", "Heron Carrier XL"],
        "delivered_with": [{"model": "Heron Carrier", "serial": "C-77"}],
    },
}
PEOPLE = [
    {"id": "w1", "functions": ["fitter"]},
    {"id": "w2", "functions": ["supervisor"]},
    {"id": "w3", "functions": ["signatory"]},
]
PARTIES = [
    {"function": name, "name": f"The {name}"}
    for name in ("agency", "builder", "insurer", "fitting-company", "system-maker", "stretcher-maker")
]
TOOLS = [
    {
        "id": "i1",
        "kind": "caliper",
        "serial": "K-1",
        "calibrated": "2026-01-10",
        "interval_months": "12",
        "uncertainty": "0.2 mm",
    },
    {
        "id": "i2",
        "kind": "torque-wrench",
        "serial": "T-9",
        "calibrated": "2025-06-01",
        "interval_months": "12",
        "deviation": "4 %",
    },
]


def record(**parts: Any) -> JobRecord:
    """A job of one position, three people and two tools; ``parts`` replace whole sections."""
    return JobRecord.read(
        {
            "format": "sillmark-job/0",
            "id": "AMB-1",
            "profile": "heron-2@C",
            "offsets": [{"from": "2026-01-01", "offset": "+01:00"}],
            "vehicle": {"build": "BW-1", "type": "B"},
            "bases": [{"standard": "EN 1789:2020", "packs": ["en@1"], "stated_by": "w3"}],
            "parties": PARTIES,
            "people": PEOPLE,
            "positions": [POSITION],
            "tickets": [{"subject": "vehicle", "nonce": NONCE}],
            "instruments": TOOLS,
            **parts,
        }
    )


def profile(steps: Sequence[Mapping[str, Any]] = ()) -> Profile:
    """A profile with the given steps; its one item is of no interest."""
    return Profile.read(
        {
            "format": "sillmark-profile/0",
            "id": "heron-2",
            "revision": "C",
            "manual": {"id": "H2-M", "maker": "Maker", "issued": "2025-01-01", "valid_from": "2025-01-01"},
            "system": "Heron 2",
            "pairs": [{"stretcher": "Heron Carrier", "system": "Heron 2", "page": "3"}],
            "steps": [
                {"title": {"en": "Step"}, "page": "9", **step} for step in steps or [{"id": "mark-out"}]
            ],
            "items": [{"section": "1", "criterion": {**asking("attested"), "page": "2"}}],
        }
    )


_REST: dict[str, dict[str, Any]] = {
    "present": {"evidence_from": ["overview"]},
    "complete": {"fields": ["result"], "evidence_from": ["type-test-report"]},
    "within": {"quantity": "characteristic.hook-position", "low": "118 mm", "high": "122 mm"},
    "inside": {"x": "time", "x_unit": "s", "y": "a", "y_unit": "g", "evidence_from": ["test-channel"]},
    "matches": {"fact": "position.system-model", "allowed": ["Heron 2"]},
    "counted": {"count": "load-unload-empty", "at_least": "10"},
    "valid_on": {"what": "instrument", "event": "work"},
    "ordered": {"steps": ["clean", "tighten"]},
    "covers": {"fields": [{"claim": "system-model", "fact": "position.system-model"}]},
    "attested": {"statement": "functional-test-done", "function": "supervisor"},
}


def asking(kind: str, **changes: Any) -> dict[str, Any]:
    """A criterion of the type as a dict, published, about the position; ``changes`` replace fields."""
    return {
        "id": f"ask-{kind.replace('_', '-')}",
        "type": kind,
        "subject": "position",
        "mark": "published",
        "source": "test",
        "closes": "fitter",
        **_REST[kind],
        **changes,
    }


def demand(
    criterion: Mapping[str, Any],
    *,
    group: Group = Group.STANDARD,
    applies: Mapping[Fact, tuple[str, ...]] | None = None,
    clause: str = "1",
) -> Demand:
    """A demand of pack ``en@1`` for the criterion."""
    asked = _CRITERION.validate_python(_tuples(dict(criterion)), strict=False)
    return Demand(f"en@1/{clause}/{asked.id}", "en@1", clause, asked, group, applies or {}, {"en": "Clause"})


def _tuples(value: Any) -> Any:
    # a decoded file has lists where the strict models want tuples
    if isinstance(value, dict):
        return {key: _tuples(one) for key, one in value.items()}
    return tuple(_tuples(one) for one in value) if isinstance(value, list) else value


def clause(rule: Mapping[str, Any], *, number: str = "1", route: str | None = None) -> DemandedClause:
    """A clause of pack ``en@1`` with the rule and, if it was chosen, the route."""
    return DemandedClause("en@1", number, Rule.read(rule), {"en": "Clause"}, route)


def case(the_record: JobRecord | None = None, **fields: Any) -> Case:
    """A case around a record; what is not given is empty, and every file was taken in on 2026-03-05."""
    items: Mapping[str, Item] = fields.pop("items", {})
    entries = [
        {"event": "add", "id": name, "sha256": item.sha256, "at": "2026-03-05T08:00+01:00"}
        for name, item in sorted(items.items())
    ]
    defaults: dict[str, Any] = {
        "profile": profile(),
        "demands": Demands((), ()),
        "tables": {},
        "intake": intake(*entries),
        "regions": frozenset({Region.EUROPE}),
        "as_of": AS_OF,
    }
    return Case(record=the_record or record(), items=items, **{**defaults, **fields})


def intake(*entries: Mapping[str, str]) -> Intake:
    """An intake log of these lines."""
    return Intake.read({"format": "sillmark-intake/0", "entries": list(entries)})


def ask(criterion: Mapping[str, Any], the_case: Case, **demanded: Any) -> Finding:
    """The one finding that the criterion gives in the case."""
    asked = demand(criterion, **demanded)
    (subject,) = subjects(asked.criterion, the_case.record)
    return TYPES[asked.criterion.type](asked, subject, the_case)


def digest(text: str) -> str:
    """A digest to stand for a file's."""
    return hashlib.sha256(text.encode()).hexdigest()


def _item(name: str, kind: str, media: str, part: Mapping[str, Any], sha256: str | None = None) -> Item:
    return Item.read(
        {
            "id": name,
            "kind": kind,
            "media_type": media,
            "sha256": sha256 or digest(name),
            "bytes": 10,
            kind: dict(part),
        }
    )


def photo(
    name: str,
    taken: str | None = None,
    offset: str | None = None,
    sha256: str | None = None,
    codes: Sequence[str] = (TICKET,),
) -> Item:
    """A photo that shows the job's ticket unless other codes are given, with a camera time if one is given."""
    corners = [100, 100, 200, 100, 200, 200, 100, 200]
    shown = [{"symbology": "qr", "text": text, "corners": corners} for text in codes]
    part = {"width": 40, "height": 30, "taken": taken, "taken_offset": offset, "codes": shown}
    kept = {key: value for key, value in part.items() if value is not None}
    return _item(name, "photo", "image/jpeg", kept, sha256)


def paper(name: str, sha256: str | None = None) -> Item:
    """A PDF of one page."""
    return _item(name, "document", "application/pdf", {"pages": 1, "has_text": True}, sha256)


def broken(name: str) -> Item:
    """A file that no reader accepts."""
    return _item(name, "unreadable", "application/octet-stream", {"code": "exhibit-unknown"})


def table(name: str, **columns: str) -> Item:
    """A table whose columns have these units, by column name; an empty unit stands for none."""
    part = {"columns": [_column(*pair) for pair in columns.items()], "rows": 1}
    return _item(name, "table", "text/csv", part)


def _column(name: str, unit: str) -> dict[str, str]:
    return {"name": name, "unit": unit} if unit else {"name": name}


def entry(name: str, role: str, subject: str = "p1", file: Any = None) -> dict[str, Any]:
    """An exhibit entry with a file, or with the state that is given in its place."""
    return {"id": name, "role": role, "subject": subject, "file": file or f"documents/{name}.pdf"}


def document(
    name: str, role: str, exhibit: str | None = None, subject: str = "p1", **claims: Any
) -> dict[str, Any]:
    """A document with claims, ``_`` for ``-``; held elsewhere where it has no exhibit."""
    held = {"by": "Test house", "reference": "R-1", "seen_by": "w2", "seen_on": "2026-03-01"}
    return {
        "id": name,
        "role": role,
        "subject": subject,
        **({"exhibit": exhibit} if exhibit else {"held": held}),
        "claims": [
            {"name": key.replace("_", "-"), "value": value}
            for key, values in claims.items()
            for value in (values if isinstance(values, list) else [values])
        ],
    }


def value(name: str = "v1", text: Any = "120.0 mm", **changes: Any) -> dict[str, Any]:
    """A hook position taken with the caliper."""
    return {
        "id": name,
        "name": "hook-position",
        "subject": "p1",
        "value": text,
        "instrument": "i1",
        "by": "w1",
        "at": "2026-03-04T10:40",
        **changes,
    }


def screws(name: str = "g1", **changes: Any) -> dict[str, Any]:
    """A group of two screws tightened to 25 N·m, with thread-locker."""
    return {
        "id": name,
        "group": "floor",
        "subject": "p1",
        "thread": "M8",
        "property_class": "10.9",
        "count": "2",
        "torques": ["25 N·m", "25 N·m"],
        "instrument": "i2",
        "by": "w1",
        "at": "2026-03-04T11:00",
        "locker": {"product": "L", "lot": "A7", "use_by": "2026-03-04", "applied": "2026-03-04T10:55"},
        **changes,
    }


def step(name: str, what: str, at: Any, **changes: Any) -> dict[str, Any]:
    """A step done at the position by the fitter."""
    return {"id": name, "step": what, "subject": "p1", "at": at, "by": "w1", **changes}


def cycles(name: str = "n1", done: str = "10", without_fault: str = "10", **changes: Any) -> dict[str, Any]:
    """Empty load and unload cycles."""
    return {
        "id": name,
        "kind": "load-unload-empty",
        "subject": "p1",
        "done": done,
        "without_fault": without_fault,
        "by": "w2",
        "at": "2026-03-04T15:00",
        **changes,
    }


TO_COME = {"state": "to come"}
PROMISED = {"state": "to come", "from": "w2", "by": "2026-03-18"}
UNKNOWN = {"state": "unknown"}
ILLEGIBLE = {"state": "illegible"}
NOT_FITTED = {"state": "not fitted"}
