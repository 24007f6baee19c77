"""Where a value was typed from: the scan of the card, its page and row, and who typed it again."""

from evidence.dossier._blocks import Inline, link, muted, new_line
from evidence.dossier._index import Index
from evidence.dossier._input import DossierInput
from evidence.dossier._words import Teller
from evidence.model.record import CardRow

_MARK = "\n"  # no sentence holds one, so it shows where the link goes


def typed_from(entry: str, row: CardRow | None, source: DossierInput, index: Index, tell: Teller) -> Inline:
    """A line ``typed from E020, p. 1, row 7`` that leads to the scan; nothing where no card is named.

    Args:
        entry: id of what was typed, for the second typing.
        row: its row of the card.
        source: for the second typings.
        index: where the scan stands in the dossier.
        tell: says it.
    """
    if row is None:
        return []
    sentence = tell("typed-from", scan=_MARK, page=str(row.page), row=str(row.row))
    before, after = sentence.split(_MARK)
    scan = index.targets.get(row.exhibit)
    middle = muted(row.exhibit) if scan is None else link(scan, row.exhibit)
    line = [new_line(), muted(before), middle, muted(after)]
    again = sorted({typing.by for typing in source.record.retyped if typing.of == entry})
    if again:
        line += [new_line(), muted(tell("typed-again", by=", ".join(map(tell.subject, again))))]
    return line
