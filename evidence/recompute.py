"""Judge a bundle again from nothing but what lies in it, and say what does not come out the same."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from pydantic import ValidationError

from evidence import jsondoc, payload
from evidence.errors import Problem, SillmarkError
from evidence.examining import MAX_EXHIBIT, changed_since_filed, read_or_say_why
from evidence.exhibits import Reader
from evidence.exhibits._base import Reading
from evidence.judge import judge
from evidence.judge.case import Case
from evidence.manifest import record_bytes
from evidence.model.exhibit import Item
from evidence.model.finding import Contradiction, Finding, Judgement
from evidence.model.intake import Intake
from evidence.model.manifest import Manifest
from evidence.model.pack import Pack
from evidence.model.record import JobRecord
from evidence.record.reader import read_pack, read_profile
from evidence.register.resolve import resolve
from evidence.seal.bag import BagView

MAX_DOCUMENT = jsondoc.MAX_BYTES
MANIFEST = "data/manifest.json"


def differences(view: BagView, reader: Reader) -> tuple[Problem, ...]:
    """Every stored statement that recomputing does not give, sorted.

    1. What each evidence file says of itself. 2. The record's digest. 3. Every finding's outcome, reason and what
    it rests on. 4. Every contradiction.

    Args:
        view: a bundle whose signature and schemas hold.
        reader: runs readers of hostile formats.
    """
    try:
        manifest = Manifest.read(_json(view, MANIFEST))
        record = JobRecord.read(_json(view, "data/inputs/record.json"))
        readings, problems = _examined(view, manifest, reader)
        judgement = judge(_case(view, manifest, record, readings))
    except (SillmarkError, ValidationError) as error:
        detail = error.problems[0].code if isinstance(error, SillmarkError) else "shape"
        return (Problem("recompute-impossible", MANIFEST, "", {"reason": detail}),)
    problems += _record_problems(manifest, record)
    problems += _finding_problems(manifest, judgement)
    problems += _contradiction_problems(manifest, judgement)
    return tuple(sorted(problems, key=Problem.order))


def _json(view: BagView, path: str) -> Any:
    return jsondoc.decode_canonical(view.read(path, MAX_DOCUMENT), path)


def _examined(view: BagView, manifest: Manifest, reader: Reader) -> tuple[dict[str, Reading], list[Problem]]:
    readings: dict[str, Reading] = {}
    problems: list[Problem] = []
    for exhibit in manifest.exhibits:
        stored = Item.read(_json(view, f"data/{exhibit.item}"))
        path = f"data/{exhibit.file}"
        reading = read_or_say_why(view.read(path, MAX_EXHIBIT), exhibit.file, exhibit.id, reader)
        readings[exhibit.id] = reading
        if stored.model_copy(update={"salt": None}) != reading.item:
            problems.append(Problem("recompute-item", f"data/{exhibit.item}", "", {"found": exhibit.id}))
    return readings, problems


def _case(view: BagView, manifest: Manifest, record: JobRecord, readings: Mapping[str, Reading]) -> Case:
    profile = read_profile(
        view.read("data/inputs/profile.yaml", MAX_DOCUMENT), "data/inputs/profile.yaml"
    ).profile
    packs = {reference: _pack(view, reference) for reference in (pack.reference for pack in manifest.packs)}
    intake = Intake.read(_json(view, "data/inputs/intake.json"))
    items = {exhibit: reading.item for exhibit, reading in readings.items()}
    return Case(
        record=record,
        profile=profile,
        demands=resolve(record, profile, packs),
        items=items,
        tables={exhibit: reading.values for exhibit, reading in readings.items() if reading.values},
        intake=intake,
        regions=frozenset(pack.region for pack in packs.values()),
        as_of=date.fromisoformat(manifest.as_of),
        known_on=date.fromisoformat(manifest.known_on) if manifest.known_on else None,
        changed=changed_since_filed(items, intake),
    )


def _pack(view: BagView, reference: str) -> Pack:
    path = payload.pack_path(reference)
    return read_pack(view.read(path, MAX_DOCUMENT), path).pack


def _record_problems(manifest: Manifest, record: JobRecord) -> list[Problem]:
    if manifest.record_sha256 == jsondoc.digest(record_bytes(record)):
        return []
    return [Problem("recompute-record", MANIFEST, "/record_sha256")]


def _finding_problems(manifest: Manifest, judgement: Judgement) -> list[Problem]:
    stored = {finding.key: finding for finding in manifest.findings}
    again = {finding.key: finding for finding in judgement.findings}
    problems = []
    for key in sorted(stored.keys() | again.keys()):
        old, new = stored.get(key), again.get(key)
        if _judged(old) != _judged(new):
            parameters = {
                "requirement": key[0],
                "subject": key[1],
                "found": old.outcome.value if old else "absent",
                "expected": new.outcome.value if new else "absent",
            }
            problems.append(Problem("recompute-finding", MANIFEST, _pointer(manifest, old), parameters))
    return problems


def _judged(finding: Finding | None) -> object:
    if finding is None:
        return None
    return finding.outcome, finding.reason, finding.rests_on


def _pointer(manifest: Manifest, finding: Finding | None) -> str:
    return f"/findings/{manifest.findings.index(finding)}" if finding else "/findings"


def _contradiction_problems(manifest: Manifest, judgement: Judgement) -> list[Problem]:
    stored = _answers(manifest.contradictions)
    again = _answers(judgement.contradictions)
    return [
        Problem("recompute-contradiction", MANIFEST, "/contradictions", {"found": identity})
        for identity in sorted(stored.keys() | again.keys())
        if stored.get(identity) != again.get(identity)
    ]


def _answers(contradictions: Iterable[Contradiction]) -> dict[str, tuple[str, str | None]]:
    # never None, which would read the same as a contradiction that is not there
    return {each.id: (each.severity.value, each.answered_by) for each in contradictions}
