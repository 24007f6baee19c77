"""Findings told in words: the document of ``check --json`` and the text that ``check`` prints, open points first."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from evidence.exhibits.clearness import PHOTO_CLIPPED, PHOTO_UNSHARP
from evidence.exhibits.resolution import SMALL_FOR_ROLE, small_for_role
from evidence.judge.concessions import limits_of
from evidence.judge.loose_ends import LooseEnd, loose_ends
from evidence.manifest import Judged, open_points, summary
from evidence.model.check import Check, ToldContradiction, ToldFinding, ToldReason
from evidence.model.finding import Contradiction, Finding, Parameter, Place, Reason
from evidence.model.names import Closes, Group, Outcome
from evidence.naming import Naming
from evidence.phrases import DEFAULT_LANGUAGE, say
from evidence.points import OpenPoint, merged, point_of
from evidence.register.demand import Demands

SETTLED = frozenset({Outcome.MET, Outcome.NOT_APPLICABLE})
_DIGEST = re.compile(r"\b[0-9a-f]{64}\b")
SEEN_IN_PHOTOS = (PHOTO_UNSHARP, PHOTO_CLIPPED)
MAX_UNLISTED = 10  # paths told one by one; more are counted


@dataclass(frozen=True)
class Gaps:
    """Where the record and its folder do not agree.

    Attributes:
        missing: exhibit id to the path at which the record has its file and there is none.
        unlisted: paths of files in the folders of evidence that the record does not name.
        nameless: people of the record, where the job has no people.yaml.
    """

    missing: Mapping[str, str] = field(default_factory=dict)
    unlisted: Sequence[str] = ()
    nameless: Sequence[str] = ()


def check_document(judged: Judged, demands: Demands, language: str = DEFAULT_LANGUAGE) -> Check:
    """The answer of ``check --json`` for one job.

    Args:
        judged: what judging gave.
        demands: what was asked, for the titles.
        language: of titles and sentences.
    """
    titles = titles_of(demands, language)
    judgement = judged.judgement
    return Check(
        format="sillmark-check/0",
        job=judged.record.id,
        as_of=judged.as_of.isoformat(),
        known_on=judged.known_on.isoformat() if judged.known_on else None,
        summary=summary(judgement.findings),
        open=open_points(judgement),
        findings=tuple(_finding(finding, titles, language) for finding in judgement.findings),
        contradictions=tuple(_contradiction(each, language) for each in judgement.contradictions),
    )


def titles_of(demands: Demands, language: str = DEFAULT_LANGUAGE) -> dict[str, str]:
    """Requirement id to title: the criterion's own, else its clause's; English where the language lacks it."""
    return {
        demand.requirement: _in(demand.criterion.title or demand.title, language)
        for demand in demands.criteria
    }


def check_view(
    check: Check,
    judged: Judged,
    today: date,
    language: str = DEFAULT_LANGUAGE,
    *,
    gaps: Gaps | None = None,
    names: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """What the text template of ``check`` shows: groups of open points by who closes them, then the counts.

    Args:
        check: findings with their sentences.
        judged: what they rest on.
        today: the reader's day; packs that should have been reviewed by then are named.
        language: of sentences.
        gaps: where record and folder do not agree.
        names: person id to name, as far as they may be told here.
    """
    titles = {finding.requirement: finding.title for finding in check.findings}
    naming = Naming(judged.record, names or {}, language, titles)
    still_open = [finding for finding in check.findings if finding.open]
    points = [(finding.closes, point_of(finding, naming)) for finding in still_open]
    groups = [
        {
            "who": say(f"closes-{closes.value}", {}, language),
            "points": _shown((point for who, point in points if who == closes), language),
        }
        for closes in Closes
    ]
    practice = [
        point_of(finding, naming)
        for finding in check.findings
        if finding.group == Group.PRACTICE and not _as_practice_wants(finding)
    ]
    told = [point for _, point in points]
    return {
        "job": check.job,
        "vehicle": _vehicle(judged),
        "as_of": check.as_of,
        "known_on": say("known-on", {"day": check.known_on}, language) if check.known_on else "",
        "open": check.open,
        "groups": [group for group in groups if group["points"]],
        "disagree": say("contradictions-head", {}, language),
        "contradictions": [_disagreement(each, naming) for each in check.contradictions if each.open],
        "notices": [
            *(naming.told(each.reason) for each in check.contradictions if each.severity.value == "notice"),
            *_conceded(check, judged, language),
            *_overdue(judged, today, language),
            *photo_notices(judged, language),
            *file_notices(_untold(gaps or Gaps(), still_open), language),
        ],
        "loose": [naming.told(end.reason(judged.as_of)) for end in unasked(check, judged)],
        "practice": _shown((point for point in practice if not _said(point, told)), language),
        "repeated": _repeated(sum(_said(point, told) for point in practice), language),
        "summary": [(outcome.value, count) for outcome, count in check.summary.items()],
    }


def _shown(points: Iterable[OpenPoint], language: str) -> list[dict[str, Any]]:
    return [
        {
            "outcome": point.outcome,
            "places": ", ".join(point.places),
            "items": [{"label": item.label, "key": item.key} for item in point.items],
            "text": point.text,
            "parts": point.parts,
        }
        for point in merged(points, language)
    ]


def _repeated(count: int, language: str) -> str:
    if not count:
        return ""
    code = "practice-repeated-one" if count == 1 else "practice-repeated"
    return say(code, {"count": str(count)}, language)


def _said(point: OpenPoint, told: Iterable[OpenPoint]) -> bool:
    """Whether a reader has been told all of it, whatever demand it stood under."""
    return any(
        point.places == other.places and point.text == other.text and set(point.parts) <= set(other.parts)
        for other in told
    )


def _untold(gaps: Gaps, still_open: Sequence[ToldFinding]) -> Gaps:
    """Without the files that an open point names as missing already."""
    told = {
        exhibit
        for finding in still_open
        for reason in _reasons(finding)
        if reason.code == "file-missing"
        for exhibit in reason.parameters["exhibits"]
    }
    missing = {exhibit: path for exhibit, path in gaps.missing.items() if exhibit not in told}
    return replace(gaps, missing=missing)


def _reasons(finding: ToldFinding) -> list[Reason]:
    return [finding.reason, *(part.reason for part in finding.parts)]


def unasked(check: Check, judged: Judged) -> list[LooseEnd]:
    """What the record leaves open and no open point says already."""
    asked: set[str] = set()
    for finding in check.findings:
        if finding.open:
            asked.update(*map(_places_of, _reasons(finding)))
    ends = loose_ends(judged.record, judged.as_of)
    return [end for end in ends if end.place not in asked or end.code == "loose-typed-once"]


def _places_of(reason: Reason) -> set[str]:
    """Places of the record whose state is the reason."""
    entry, document, claim = (str(reason.parameters.get(name)) for name in ("entry", "document", "claim"))
    if reason.code in ("value-open", "value-illegible"):
        return {f"{entry}.value"}
    if reason.code in ("time-open", "time-illegible"):
        return {f"{entry}.at"}
    if reason.code in ("claim-open", "claim-illegible"):
        return {f"{document}.{claim}"}
    return set()


def _conceded(check: Check, judged: Judged, language: str) -> list[str]:
    """What stays as it is under a concession: by whom it is allowed, how far and how long."""
    by_id = {concession.id: concession for concession in judged.record.concessions}
    lines = []
    for finding in check.findings:
        concession = by_id.get(finding.concession) if finding.concession is not None else None
        if concession is None:
            continue
        end = concession.until
        until = say("conceded-until", {"day": end.isoformat()}, language) if end else ""
        terms = [term for term in (limits_of(concession), until) if term]
        shown: dict[str, Parameter] = {
            "title": finding.title,
            "subject": finding.subject,
            "outcome": finding.outcome.value,
            "concession": concession.id,
            "reference": concession.reference,
            "terms": "".join(f", {term}" for term in terms),
        }
        lines.append(say("conceded-stands", shown, language))
    return lines


def _overdue(judged: Judged, today: date, language: str) -> list[str]:
    return [
        say("pack-overdue", {"pack": pack.reference, "review_by": pack.review_by.isoformat()}, language)
        for pack in judged.packs
        if today > pack.review_by
    ]


def file_notices(gaps: Gaps, language: str = DEFAULT_LANGUAGE) -> list[str]:
    """Where record and folder do not agree: files that are named and not there, and the other way round."""
    gone = [
        say("listed-missing", {"exhibit": exhibit, "path": path}, language)
        for exhibit, path in gaps.missing.items()
    ]
    extra = [say("there-unlisted", {"path": path}, language) for path in gaps.unlisted[:MAX_UNLISTED]]
    if len(gaps.unlisted) > MAX_UNLISTED:
        extra.append(say("more-problems", {"count": str(len(gaps.unlisted) - MAX_UNLISTED)}, language))
    unnamed = [say("people-missing", {"ids": list(gaps.nameless)}, language)] if gaps.nameless else []
    return [*unnamed, *gone, *extra]


def photo_notices(judged: Judged, language: str = DEFAULT_LANGUAGE) -> list[str]:
    """Photos that are blurred, washed out or dark, or small for what they must show; none of it decides anything."""
    roles = {entry.id: entry.role for entry in judged.record.exhibits}
    found: dict[tuple[str, tuple[tuple[str, str], ...]], list[str]] = {}
    for exhibit, filed in sorted(judged.filed.items()):
        if filed.item.photo is None:
            continue
        told: list[tuple[str, tuple[tuple[str, str], ...]]] = [
            (code, ()) for code in filed.item.warnings if code in SEEN_IN_PHOTOS
        ]
        small = small_for_role(filed.item.photo, roles[exhibit])
        told += [(SMALL_FOR_ROLE, tuple(small.items()))] if small else []
        for each in told:
            found.setdefault(each, []).append(exhibit)
    return [
        say("photos-noticed", {"exhibits": exhibits, "text": say(code, dict(parameters), language)}, language)
        for (code, parameters), exhibits in sorted(found.items())
    ]


def _as_practice_wants(finding: Finding) -> bool:
    """Whether there is nothing to do about it: a number of practice decides nothing, but it can be reached."""
    compared = finding.reason.parameters.get("compared")
    return finding.outcome in SETTLED or (
        finding.reason.code == "practice-compared" and compared in {outcome.value for outcome in SETTLED}
    )


def _in(texts: Mapping[str, str], language: str) -> str:
    return texts.get(language) or texts[DEFAULT_LANGUAGE]


def _told(reason: Reason, language: str) -> ToldReason:
    text = say(reason.code, reason.parameters, language)
    return ToldReason(code=reason.code, parameters=reason.parameters, text=text)


def _finding(finding: Finding, titles: Mapping[str, str], language: str) -> ToldFinding:
    fields = {name: getattr(finding, name) for name in Finding.model_fields if name != "reason"}
    return ToldFinding(**fields, title=titles[finding.requirement], reason=_told(finding.reason, language))


def _contradiction(contradiction: Contradiction, language: str) -> ToldContradiction:
    fields = {name: getattr(contradiction, name) for name in Contradiction.model_fields if name != "reason"}
    return ToldContradiction(**fields, reason=_told(contradiction.reason, language))


def sides(places: Iterable[Place], naming: Naming) -> str:
    """Both sides of a contradiction for people; sums of files say nothing that the sentence does not say."""
    told = (place for place in places if not _DIGEST.search(place.value))
    return " / ".join(f"{place.where}: {naming.side(place.value)}" for place in told)


def _disagreement(contradiction: ToldContradiction, naming: Naming) -> dict[str, Any]:
    return {
        "text": naming.told(contradiction.reason),
        "id": contradiction.id,
        "between": sides(contradiction.between, naming),
    }


def _vehicle(judged: Judged) -> str:
    vehicle = judged.record.vehicle
    known = (vehicle.build, vehicle.module_serial, vehicle.vin)
    return " · ".join(value for value in known if isinstance(value, str))
