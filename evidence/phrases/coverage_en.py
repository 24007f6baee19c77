"""English sentences for coverage: why a report covers a field of the vehicle or not, and the words of its section."""

_ARGUED = "{by} ({function}) argued on {at} that the report covers it (argument {argument}, {where})"
REASONS: dict[str, str] = {
    "covered": "{claim} in the report: {found}, which fits.",
    "covered-within-range": "{claim} in the report: {found}; this vehicle has {expected}, which lies within what was tested.",
    "covered-by-some": (
        "{claim} in the report: {found}; this vehicle has {expected}, which not every one of these tests reaches. "
        "Ask the laboratory which of them counts for this vehicle."
    ),
    "covered-by-argument": "{claim}: "
    + _ARGUED
    + ". The test itself does not show it; this rests on the argument.",
    "covers-other": "{claim} in the report: {found}; this vehicle needs {expected}. Ask the maker for a report on that.",
    "covers-outside-range": (
        "{claim} in the report: {found}; this vehicle has {expected}, which lies outside what was tested. "
        "Ask the maker for a report that reaches it."
    ),
    "covers-other-argued": (
        "{claim} in the report: {found}; this vehicle needs {expected}. "
        + _ARGUED
        + "; this does not count here, "
        "because {cause}. Ask the maker for a report on that."
    ),
    "outside-report": (
        "{document} does not reach this: under {claim} it gives {found}; asked for: {expected}. "
        "Ask the maker for a report that covers it."
    ),
    "outside-report-argued": (
        "{document} does not reach this: under {claim} it gives {found}; asked for: {expected}. "
        + _ARGUED
        + "; this does not count here, because {cause}. Ask the maker for a report that covers it."
    ),
    "not-stated-argued": (
        "{document} does not state {claim}. " + _ARGUED + "; this does not count here, because {cause}. "
        "Read the paper again, or ask its issuer for it."
    ),
}
WORDS: dict[str, str] = {
    "none-where": "its words are filed nowhere",
    "cause-argument-of-scope": "an argument cannot stand for the edition or the directions of a test",
    "cause-argument-not-taken": "the demand takes no argument in place of the test",
    "cause-argument-of-other-function": "the demand takes the argument of another function only",
    "cause-argument-after-release": "it is dated after the release",
    "cause-argument-after-day": "it is dated after the day for which this is judged",
    "cause-argument-paper-unusable": "its paper is not there or cannot be used",
}
"""What stands inside the sentences above."""

COVERAGE_PAGE: dict[str, str] = {
    "title-coverage": "Type-test evidence and coverage",
    "coverage-lead": "What was tested was not this vehicle. Each report is held against it here field by field: what the report "
    "states, what this vehicle has, and how far the one reaches the other. An outcome rests on these rows and on nothing else "
    "that a report may say.",
    "coverage-issuer": "Issued by",
    "coverage-reference": "Reference",
    "coverage-issued": "Issued on",
    "coverage-edition": "Tested to",
    "coverage-about": "Filed for",
    "coverage-where": "Where it is",
    "coverage-nobody": "not recorded",
    "coverage-not-stated": "not stated",
    "coverage-not-asked": "No demand on this vehicle compares a field of this paper.",
    "coverage-superseded": "Superseded edition.",
    "coverage-withdrawn": "Withdrawn edition.",
    "coverage-uncertain": "Edition perhaps superseded.",
    "coverage-past-to": "On {day} {later} stood in place of {edition}, as the register of editions knew on {known}. The report stays "
    "valid for the edition that it names; this is a label and decides nothing.",
    "coverage-past": "{edition} on {day}, as the register of editions knew on {known}. The report stays valid for the edition that it "
    "names; this is a label and decides nothing.",
    "coverage-head-field": "Field",
    "coverage-head-report": "The report says",
    "coverage-head-vehicle": "This vehicle has",
    "coverage-head-answer": "Answer",
    "coverage-head-argument": "Argument",
    "coverage-head-finding": "Asked in",
    "coverage-head-for": "Argued for",
    "coverage-head-words": "Its words",
    "coverage-asked": "asked for:",
    "coverage-any": "asked is only that it is stated",
    "coverage-at-least": "tested must be at least",
    "coverage-at-most": "tested must be at most",
    "coverage-answer-same": "same",
    "coverage-answer-stated": "stated",
    "coverage-answer-within": "within the tested range",
    "coverage-answer-some": "not every test reaches it",
    "coverage-answer-argued": "argued, not tested",
    "coverage-answer-outside": "outside",
    "coverage-answer-not-stated": "not stated",
    "coverage-answer-vehicle-open": "open on the vehicle's side",
    "coverage-answer-unusable": "paper or value cannot be used",
    "coverage-only": "compared only: the demand is not confirmed",
    "coverage-counts": "counts in place of the test",
    "coverage-told": "told, does not count",
    "coverage-unanswered": "Asked, and no report answers",
    "coverage-arguments": "Arguments recorded",
    "coverage-arguments-lead": "Why a report is said to reach what it did not test, on the word of the person named. An argument is no "
    "test; it counts only where the demand takes one from that function.",
    "coverage-for": "{field}, {subject}",
    "coverage-note": "note {id}",
    "coverage-no-words": "filed nowhere",
    "title-anchorage": "Anchorage worksheet",
    "anchorage-of": "{title}, {subject}",
    "anchorage-caption": "Each direction is drawn to its own scale.",
    "anchorage-method": "Computed by {method} from {file}, which lies in the bundle below data/inputs.",
    "place-variant": "variant {variant}",
    "place-carries": "carries at most {mass}",
    "place-travel": "free travel {length}",
    "matrix-covered": "Field by field",
    "held-here": "{id} is not in this dossier.",
}
"""The page, and what leads to it."""
