"""Arguments why a report also covers what it did not test: whose counts, and why another does not.

An argument never replaces the test by itself. It counts only where the demand says from whom it takes one, never for
the scope of a report (its edition, its directions), and only where it was made before the vehicle was released.
"""

from dataclasses import dataclass

from evidence.judge._coverage import SCOPE
from evidence.judge._evidence import Used, exhibit_stop
from evidence.judge._scope import lineage
from evidence.judge.case import Case
from evidence.model.criterion import CoveredField, Covers
from evidence.model.finding import Parameter
from evidence.model.names import RestsOn
from evidence.model.record import Argument, Document


@dataclass(frozen=True)
class Argued:
    """An argument for one field of one report.

    Attributes:
        argument: as recorded.
        cause: why it does not count, as a code of the catalogue; empty where it counts.
        used: the entries that hold it.
        parameters: what every sentence about it names.
    """

    argument: Argument
    cause: str
    used: Used
    parameters: dict[str, Parameter]


def argued(
    criterion: Covers, field: CoveredField, document: Document, subject: str, case: Case
) -> Argued | None:
    """The argument for a field: the first that counts, else the first that is recorded; None where there is none."""
    line = lineage(subject, case.record)
    found = [
        _argued(criterion, one, case)
        for one in sorted(case.record.arguments, key=lambda one: one.id)
        if (one.paper, one.claim) == (document.id, field.claim) and one.subject in line
    ]
    return next((one for one in found if not one.cause), found[0] if found else None)


def _argued(criterion: Covers, argument: Argument, case: Case) -> Argued:
    functions = _functions(argument.by, case)
    files = frozenset({argument.exhibit} if argument.exhibit else ())
    used = Used(frozenset({RestsOn.STATEMENT}), exhibits=files, records=frozenset({argument.id, argument.by}))
    parameters: dict[str, Parameter] = {
        "argument": argument.id,
        "at": str(argument.at.text),
        "by": argument.by,
        "function": functions,
        "where": tuple(each for each in (argument.exhibit, argument.note) if each) or "",
    }
    return Argued(argument, _cause(criterion, argument, functions, case), used, parameters)


def _functions(person: str, case: Case) -> tuple[str, ...]:
    found = next((one.functions for one in case.record.people if one.id == person), ())
    return tuple(function.value for function in found)


def _cause(criterion: Covers, argument: Argument, functions: tuple[str, ...], case: Case) -> str:
    """The first thing that keeps it from counting."""
    release = case.record.release
    taken = {function.value for function in criterion.argued_by}
    bars = {
        "argument-of-scope": argument.claim in SCOPE,
        "argument-after-release": release is not None and argument.at.last_day > release.at.last_day,
        "argument-after-day": argument.at.last_day > min(case.as_of, case.known_on or case.as_of),
        "argument-not-taken": not taken,
        "argument-of-other-function": taken.isdisjoint(functions),
        "argument-paper-unusable": argument.exhibit is not None
        and exhibit_stop(argument.exhibit, case) is not None,
    }
    return next((cause for cause, holds in bars.items() if holds), "")
