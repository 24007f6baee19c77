"""Ids of contradictions, and who answered them.

An id is ``<rule>:<subject>:<digest>``: subject is ``vehicle`` or the id of the record entry or exhibit at fault, and
digest the first 8 hex digits of SHA-256 over the UTF-8 text of the two values joined by one NUL byte. A changed
value therefore gives another id, and an answer to the old one no longer closes it.
"""

import hashlib
from collections.abc import Iterable

from evidence.judge.case import Case
from evidence.judge.codes import because
from evidence.model.finding import Contradiction, Parameter, Place
from evidence.model.names import ContradictionRule, Severity

DIGEST_LENGTH = 8  # hex digits; enough to tell the few values that one entry ever had


def contradiction_id(rule: ContradictionRule, subject: str, first: str, second: str) -> str:
    """The id that an answer names."""
    digest = hashlib.sha256(f"{first}\0{second}".encode()).hexdigest()
    return f"{rule.value}:{subject}:{digest[:DIGEST_LENGTH]}"


def contradiction(
    rule: ContradictionRule,
    subject: str,
    between: tuple[Place, Place],
    /,
    *,
    severity: Severity = Severity.CONTRADICTION,
    exhibits: Iterable[str] = (),
    code: str | None = None,
    **parameters: Parameter,
) -> Contradiction:
    """A contradiction between two places, not answered yet; its reason's code is the rule's name where none is given."""
    return Contradiction(
        id=contradiction_id(rule, subject, between[0].value, between[1].value),
        rule=rule,
        severity=severity,
        between=between,
        exhibits=tuple(sorted(set(exhibits))),
        reason=because(code or rule.value, **parameters),
    )


def answered_by(identity: str, case: Case) -> str | None:
    """Who answered the contradiction of that id, if somebody did."""
    answers = [answer.by for answer in case.record.answers if answer.contradiction == identity]
    return answers[0] if answers else None


def changed_file(exhibit: str, case: Case) -> tuple[str, str]:
    """Digest as last taken in and digest as found now, of a file that was changed since."""
    item = case.items.get(exhibit)
    now = item.sha256 if item else ""
    logged = [entry.sha256 for entry in case.intake.entries if entry.id == exhibit and entry.sha256 != now]
    return (logged[-1] if logged else ""), now
