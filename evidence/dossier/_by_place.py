"""The rows of the matrix once more, by what they are about: the vehicle, each place with its screws, tools, people."""

from collections import defaultdict

from evidence.dossier._blocks import (
    Block,
    Inline,
    column,
    heading,
    joined,
    link,
    muted,
    new_line,
    paragraph,
    plain,
    row,
    table,
)
from evidence.dossier._index import Index, finding_anchor, finding_label
from evidence.dossier._input import DossierInput
from evidence.dossier._order import natural
from evidence.dossier._words import Teller, capital, text
from evidence.model.names import Group, Outcome
from evidence.model.record import JobRecord, Screws

_COLUMNS = (
    (Outcome.NOT_MET,),
    (Outcome.NOT_SHOWN,),
    (Outcome.UNDECIDED,),
    (Outcome.MET, Outcome.NOT_APPLICABLE),
)
_WHOLE = "vehicle"


def by_place(source: DossierInput, index: Index, tell: Teller) -> list[Block]:
    """A table with a line for each subject and the numbers of its rows below their outcomes; common practice is not in it."""
    rows: dict[str, list[int]] = defaultdict(list)
    for number, finding in enumerate(index.findings):
        if finding.group != Group.PRACTICE:
            rows[finding.subject].append(number)
    if not rows:
        return []
    heads = [
        column(tell("head-subject"), mm=34),
        *(column(tell("matrix-or").join(tell.word(one) for one in outcomes)) for outcomes in _COLUMNS),
    ]
    ordered = sorted(rows, key=lambda subject: _order(subject, source.record))
    lines = [
        row(
            [
                _subject(subject, source.record, tell),
                *(_numbers(rows[subject], each, index) for each in _COLUMNS),
            ]
        )
        for subject in ordered
    ]
    lead = paragraph(text(tell("matrix-by-place-lead")), "muted")
    return [heading(tell("matrix-by-place")), lead, table(heads, lines)]


def _order(subject: str, record: JobRecord) -> tuple[object, ...]:
    """The vehicle, then each place followed by its screws, then what is in no place."""
    if subject == _WHOLE:
        return (0,)
    group = _group(subject, record)
    places = [position.id for position in record.positions]
    place = subject if group is None else group.subject
    at = places.index(place) if place in places else len(places)
    return 1, at, group is not None, natural(subject)


def _group(subject: str, record: JobRecord) -> Screws | None:
    return next((one for one in record.screws if one.id == subject), None)


def _subject(subject: str, record: JobRecord, tell: Teller) -> Inline:
    group = _group(subject, record)
    named = tell.subject(subject)
    # an id keeps its letters
    words: Inline = [plain(named if named.startswith(subject) and subject != _WHOLE else capital(named))]
    if group is not None and group.subject != _WHOLE:
        words += [new_line(), muted(tell.subject(group.subject))]
    return words


def _numbers(rows: list[int], outcomes: tuple[Outcome, ...], index: Index) -> Inline:
    found = [number for number in rows if index.findings[number].outcome in outcomes]
    if Outcome.MET in outcomes:
        # links for all of these would cost the compiler as much as the whole matrix, and nobody follows them
        return text(_runs(found)) if found else []
    return joined([[link(finding_anchor(number), finding_label(number))] for number in found], ", ")


def _runs(numbers: list[int]) -> str:
    """``#1, #4-#9`` with a longer dash: three and more in a row are told by their ends."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{finding_label(run[0])}\u2013{finding_label(run[-1])}"
        if len(run) > 2  # noqa: PLR2004 - two are as short by themselves
        else ", ".join(map(finding_label, run))
        for run in runs
    )
