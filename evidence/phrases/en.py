"""The English catalogue, joined from one table per stage."""

from evidence.phrases.card_en import CARD
from evidence.phrases.contradictions_en import CONTRADICTIONS
from evidence.phrases.dossier_en import DOSSIER
from evidence.phrases.exhibits_en import EXHIBITS
from evidence.phrases.reasons_en import REASONS
from evidence.phrases.record_en import RECORD
from evidence.phrases.register_en import REGISTER, REGISTER_WORDS
from evidence.phrases.shell_en import SHELL, WORDS
from evidence.phrases.sorting_en import SORTING, SORTING_WORDS
from evidence.phrases.verdicts_en import PROBLEMS, VERDICTS
from evidence.phrases.worklist_en import WORKLIST

_WITH_HINTS = (RECORD, EXHIBITS, PROBLEMS, VERDICTS, SHELL, SORTING, REGISTER)
_PLAIN = (REASONS, CONTRADICTIONS, DOSSIER, WORDS, REGISTER_WORDS, SORTING_WORDS, WORKLIST, CARD)

SENTENCES: dict[str, str] = {
    **{code: sentence for table in _WITH_HINTS for code, (sentence, _) in table.items()},
    **{code: sentence for table in _PLAIN for code, sentence in table.items()},
}
HINTS: dict[str, str] = {code: advice for table in _WITH_HINTS for code, (_, advice) in table.items()}
