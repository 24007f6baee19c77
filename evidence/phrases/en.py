"""The English catalogue, joined from one table per stage."""

from evidence.phrases.anchorage_en import NOTICES as ANCHORAGE_NOTICES
from evidence.phrases.anchorage_en import PROBLEMS as ANCHORAGE_PROBLEMS
from evidence.phrases.anchorage_en import WORDS as ANCHORAGE_WORDS
from evidence.phrases.card_en import CARD
from evidence.phrases.contradictions_en import CONTRADICTIONS
from evidence.phrases.coverage_en import WORDS as COVERAGE_WORDS
from evidence.phrases.dossier_en import DOSSIER
from evidence.phrases.exhibits_en import EXHIBITS
from evidence.phrases.gauge_en import GAUGE, GAUGE_PROBLEMS
from evidence.phrases.measure_en import MEASURE, MEASURE_WORDS
from evidence.phrases.measuring_en import MEASURING, MEASURING_WORDS
from evidence.phrases.pull_en import NOTICES as PULL_NOTICES
from evidence.phrases.pull_en import PROBLEMS as PULL_PROBLEMS
from evidence.phrases.pulse_en import NOTICES as PULSE_NOTICES
from evidence.phrases.pulse_en import PROBLEMS as PULSE_PROBLEMS
from evidence.phrases.pulse_en import WORDS as PULSE_WORDS
from evidence.phrases.reasons_en import REASON_WORDS, REASONS
from evidence.phrases.record_en import RECORD
from evidence.phrases.register_en import REGISTER, REGISTER_WORDS
from evidence.phrases.sets_en import PROBLEMS as SET_PROBLEMS
from evidence.phrases.sets_en import WORDS as SET_WORDS
from evidence.phrases.shell_en import SHELL, WORDS
from evidence.phrases.sorting_en import SORTING, SORTING_WORDS
from evidence.phrases.verdicts_en import PROBLEMS, RULE_WORDS, VERDICTS
from evidence.phrases.verdicts_en import REASON_WORDS as VERDICT_WORDS
from evidence.phrases.windows_en import WINDOW_CAUSES
from evidence.phrases.worklist_en import WORKLIST

_WITH_HINTS = (
    RECORD,
    EXHIBITS,
    PROBLEMS,
    VERDICTS,
    SHELL,
    SORTING,
    REGISTER,
    GAUGE_PROBLEMS,
    MEASURING,
    MEASURE,
    PULSE_PROBLEMS,
    PULSE_NOTICES,
    PULL_PROBLEMS,
    PULL_NOTICES,
    SET_PROBLEMS,
    ANCHORAGE_PROBLEMS,
    ANCHORAGE_NOTICES,
)
_PLAIN = (
    REASONS,
    REASON_WORDS,
    VERDICT_WORDS,
    RULE_WORDS,
    CONTRADICTIONS,
    COVERAGE_WORDS,
    DOSSIER,
    WORDS,
    REGISTER_WORDS,
    SORTING_WORDS,
    WORKLIST,
    CARD,
    GAUGE,
    MEASURING_WORDS,
    MEASURE_WORDS,
    WINDOW_CAUSES,
    PULSE_WORDS,
    SET_WORDS,
    ANCHORAGE_WORDS,
)

SENTENCES: dict[str, str] = {
    **{code: sentence for table in _WITH_HINTS for code, (sentence, _) in table.items()},
    **{code: sentence for table in _PLAIN for code, sentence in table.items()},
}
HINTS: dict[str, str] = {code: advice for table in _WITH_HINTS for code, (_, advice) in table.items()}
_NOTICED_ON_PAPER = (EXHIBITS, MEASURING, PULSE_NOTICES, PULL_NOTICES, ANCHORAGE_NOTICES)
_SAID_ON_PAPER = (
    DOSSIER,
    REASONS,
    REASON_WORDS,
    VERDICT_WORDS,
    CONTRADICTIONS,
    COVERAGE_WORDS,
    MEASURING_WORDS,
    MEASURE_WORDS,
    WINDOW_CAUSES,
    PULSE_WORDS,
    SET_WORDS,
    ANCHORAGE_WORDS,
)
PRINTED: frozenset[str] = frozenset(
    [code for table in _NOTICED_ON_PAPER for code in table]
    + [code for table in _SAID_ON_PAPER for code in table]
    + [code for code in WORDS if code.startswith(("cause-", "system-"))]
)
"""Codes that a dossier can say; what only a terminal or a work card says is English."""
