"""Findings told in words: the document of ``check --json`` and the text that ``check`` prints, open points first."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from evidence.judge.concessions import limits_of
from evidence.judge.loose_ends import loose_ends
from evidence.manifest import Judged, open_points, summary
from evidence.model.check import Check, ToldContradiction, ToldFinding, ToldReason
from evidence.model.finding import Contradiction, Finding, Parameter, Reason
from evidence.model.names import Closes, Group, Outcome
from evidence.phrases import DEFAULT_LANGUAGE, say
from evidence.register.demand import Demands

SETTLED = frozenset({Outcome.MET, Outcome.NOT_APPLICABLE})
MAX_UNLISTED = 10  # paths told one by one; more are counted


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
    missing: Mapping[str, str] | None = None,
    unlisted: Sequence[str] = (),
) -> dict[str, Any]:
    """What the text template of ``check`` shows: groups of open points by who closes them, then the counts.

    Args:
        check: findings with their sentences.
        judged: what they rest on.
        today: the reader's day; packs that should have been reviewed by then are named.
        language: of sentences.
        missing: exhibit id to the path at which the record has its file and there is none.
        unlisted: paths of files in the folders of evidence that the record does not name.
    """
    still_open = [finding for finding in check.findings if finding.open]
    groups = [
        {
            "who": say(f"closes-{closes.value}", {}, language),
            "points": [_point(finding, language) for finding in still_open if finding.closes == closes],
        }
        for closes in Closes
    ]
    return {
        "job": check.job,
        "vehicle": _vehicle(judged),
        "as_of": check.as_of,
        "open": check.open,
        "groups": [group for group in groups if group["points"]],
        "contradictions": [_disagreement(each) for each in check.contradictions if each.open],
        "notices": [
            *(each.reason.text for each in check.contradictions if each.severity.value == "notice"),
            *_conceded(check, judged, language),
            *_overdue(judged, today, language),
            *file_notices(missing or {}, unlisted, language),
        ],
        "loose": [
            say(reason.code, reason.parameters, language)
            for reason in (end.reason(judged.as_of) for end in loose_ends(judged.record, judged.as_of))
        ],
        "practice": [
            _point(finding, language)
            for finding in check.findings
            if finding.group == Group.PRACTICE and not _as_practice_wants(finding)
        ],
        "summary": [(outcome.value, count) for outcome, count in check.summary.items()],
    }


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


def file_notices(
    missing: Mapping[str, str], unlisted: Sequence[str], language: str = DEFAULT_LANGUAGE
) -> list[str]:
    """Where record and folder do not agree: files that are named and not there, and the other way round.

    Args:
        missing: exhibit id to path.
        unlisted: paths.
        language: of sentences.
    """
    gone = [
        say("listed-missing", {"exhibit": exhibit, "path": path}, language)
        for exhibit, path in missing.items()
    ]
    extra = [say("there-unlisted", {"path": path}, language) for path in unlisted[:MAX_UNLISTED]]
    if len(unlisted) > MAX_UNLISTED:
        extra.append(say("more-problems", {"count": str(len(unlisted) - MAX_UNLISTED)}, language))
    return [*gone, *extra]


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


def _point(finding: ToldFinding, language: str) -> dict[str, Any]:
    bad_parts = [part for part in finding.parts if part.outcome.value not in ("met", "not applicable")]
    told = [f"{part.name}: {say(part.reason.code, part.reason.parameters, language)}" for part in bad_parts]
    return {
        "title": finding.title,
        "subject": finding.subject,
        "outcome": finding.outcome.value,
        "text": finding.reason.text,
        "requirement": finding.requirement,
        # one bad part says no more than the finding's own reason
        "parts": told if len(told) > 1 else [],
    }


def _disagreement(contradiction: ToldContradiction) -> dict[str, Any]:
    return {
        "text": contradiction.reason.text,
        "id": contradiction.id,
        "between": [f"{place.where}: {place.value}" for place in contradiction.between],
    }


def _vehicle(judged: Judged) -> str:
    vehicle = judged.record.vehicle
    known = (vehicle.build, vehicle.module_serial, vehicle.vin)
    return " · ".join(value for value in known if isinstance(value, str))
