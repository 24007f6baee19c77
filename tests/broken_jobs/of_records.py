"""Slips of typing in job.yaml, people.yaml and the intake log: shapes, references, values."""

from tests.broken_jobs.patches import CHECK, Case, Change
from tests.conftest import DEMO

JOB, PEOPLE = "job.yaml", "people.yaml"
LINES = (DEMO / "job" / JOB).read_text(encoding="utf-8").splitlines()
FIRST_STEP = f"{JOB}:{next(number for number, line in enumerate(LINES, start=1) if '{id: s1,' in line)}:"


def typed(name: str, old: str, new: str, code: str, *words: str) -> Case:
    """One slip in job.yaml."""
    return Case(name, (Change(JOB, old, new),), CHECK, code, "{mark}", words, 3)


SHAPE = (
    typed("key-misspelt", "loading: rear", "¤loadng: rear", "field-misspelt", "'loadng'", "'loading'"),
    typed("key-of-elsewhere", "loading: rear", "loading: rear\n    ¤lot: H2-2602", "field-unknown", "'lot'"),
    typed("word-misspelt", "loading: rear", "loading: ¤raer", "word-misspelt", "'raer'", "'rear'"),
    typed(
        "word-of-no-list",
        "drive_side: left",
        "drive_side: ¤middle",
        "word-not-allowed",
        "'middle'",
        "left, right",
    ),
    typed(
        "key-twice", "loading: rear", "loading: rear\n    ¤loading: side", "yaml-duplicate-key", "'loading'"
    ),
    typed(
        "no-space-behind-colon",
        "loading: rear",
        "¤loading:rear\n    orientation: head-aft",
        "yaml-colon-missing",
    ),
    typed("tab-for-spaces", "    loading: rear", "¤\tloading: rear", "yaml-tab"),
    typed("nothing-behind-colon", "loading: rear", "loading¤:", "value-empty", "'loading'"),
    typed("key-missing", "{id: s1, step", "{¤step", "field-missing", "'id'"),
    typed("list-where-text", "loading: rear", "loading: ¤[rear, side]", "type-mismatch", "A text", "a list"),
    typed("curly-quotes", 'serial: "0012", lot', "serial: ¤“0012”, lot", "curly-quotes"),
    typed("comment-glued", "lot: H2-2602,", "lot: H2-2602 ¤#new,", "comment-glued"),
)
REFERENCES = (
    typed(
        "id-of-nobody",
        "at: 2026-03-04T08:30, by: w1",
        "at: 2026-03-04T08:30, by: ¤w9",
        "id-unknown",
        "'w9'",
        "person",
    ),
    typed("id-twice", "{id: s2, step: drill", "{id: ¤s1, step: drill", "id-duplicate", "'s1'", FIRST_STEP),
    typed(
        "tool-where-person",
        "at: 2026-03-04T09:10, by: w1",
        "at: 2026-03-04T09:10, by: ¤i2",
        "id-wrong-kind",
        "'i2'",
    ),
    typed(
        "row-of-a-photo",
        "{exhibit: E015, page: 1, row: 2}",
        "{exhibit: ¤E001, page: 1, row: 2}",
        "card-row-of-other-role",
        "E001",
    ),
    typed(
        "row-nought",
        "{exhibit: E015, page: 1, row: 3}",
        "{exhibit: E015, page: 1, row: ¤0}",
        "card-row-from-one",
        "0",
    ),
    typed(
        "retyped-no-such-field",
        "{of: p1, field: lot",
        "{of: p1, field: ¤colour",
        "word-not-allowed",
        "'colour'",
        "serial",
    ),
    typed(
        "retyped-field-of-another",
        "{of: p1, field: lot",
        "{of: p1, field: ¤torques",
        "retyped-field-unknown",
        "'torques'",
        "serial",
    ),
    typed(
        "retyped-seven-of-eight",
        "values: [24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m]",
        "values: ¤[24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m]",
        "retyped-count",
        "7",
        "8",
    ),
    typed(
        "ticket-twice",
        "{subject: p1, nonce: 7k4q2m}",
        "{subject: p1, nonce: 7k4q2m}\n  - {subject: ¤p1, nonce: 9x2b7c}",
        "ticket-twice",
        "'p1'",
    ),
    typed("ticket-in-capitals", "nonce: 7k4q2m", "nonce: ¤7K4Q2M", "nonce-malformed", "'7K4Q2M'"),
    typed(
        "vin-bound-to-the-card",
        "by: w1, exhibit: E001}",
        "by: w1, exhibit: ¤E015}",
        "exhibit-role-differs",
        "E015",
        "work-card",
    ),
    typed(
        "vin-bound-without-vin",
        "vin: 0BW2231TARN000417, vin_bound: ",
        "¤vin_bound: ",
        "vin-bound-without-vin",
    ),
    typed(
        "party-unknown",
        "functions: [fitter], party: b2",
        "functions: [fitter], party: ¤b7",
        "id-unknown",
        "'b7'",
        "party",
    ),
    typed(
        "screw-group-not-in-profile",
        "group: floor-plate",
        "group: ¤roof-plate",
        "screw-group-unknown",
        "'roof-plate'",
        "floor-plate",
    ),
    typed(
        "step-not-in-profile",
        "step: dry-fit,",
        "step: ¤dry-fitting,",
        "step-unknown",
        "'dry-fitting'",
        "dry-fit",
    ),
    typed("redo-of-another-step", "redo_of: s8", "redo_of: ¤s7", "redo-of-other-step", "'witness-mark'"),
    typed(
        "held-and-filed",
        "- id: d5\n",
        "- ¤id: d5\n    held: {by: us, reference: Q-1, seen_by: w2, seen_on: 2026-02-20}\n",
        "document-exhibit-or-held",
    ),
    typed(
        "name-in-the-record",
        "conclusion, value: withstood",
        "conclusion, value: ¤Edda Quill",
        "personal-value-in-record",
        "name",
    ),
    typed("note-not-there", "note: n1", "note: ¤n2", "note-unknown", "'n2'"),
    typed(
        "exhibit-id-unknown",
        "subject: i2\n    exhibit: E010",
        "subject: i2\n    exhibit: ¤E110",
        "id-unknown",
        "'E110'",
    ),
    typed(
        "file-named-twice", "file: photos/E003.jpg", "file: ¤photos/E002.jpg", "file-twice", "photos/E002.jpg"
    ),
    Case(
        "exhibits-not-last",
        (
            Change(JOB, "release: {at: 2026-03-06T15:00, by: w3}\n", ""),
            Change(JOB, "exhibits:\n", "¤exhibits:\n"),
            Change(
                JOB,
                "tests/E022.csv, by: w1}",
                "tests/E022.csv, by: w1}\nrelease: {at: 2026-03-06T15:00, by: w3}",
            ),
        ),
        CHECK,
        "exhibits-not-last",
        "{mark}",
        ("'release'",),
        3,
    ),
)
VALUES = (
    typed(
        "comma-in-a-list",
        "torques: [24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m]\n",
        "torques: [¤24,5 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m, 24 N·m]\n",
        "quantity-cut-by-comma",
    ),
    typed(
        "comma-in-braces",
        'value: "120,3 mm", instrument',
        "value: ¤120,3 mm, instrument",
        "quantity-cut-by-comma",
        "'120,3 mm'",
    ),
    typed(
        "comma-of-thousands", "load: 180 kg", 'load: ¤"1,180 kg"', "quantity-comma-ambiguous", "1.180", "1180"
    ),
    typed(
        "no-unit", 'value: "1,2 mm", instrument', 'value: ¤"1,2", instrument', "quantity-unit-missing", "mm"
    ),
    typed(
        "unit-of-another-kind",
        'value: "21,5 mm", instrument',
        'value: ¤"21,5 N", instrument',
        "quantity-unit",
        "mm",
    ),
    typed(
        "word-for-number",
        'value: "12,9 V", instrument',
        "value: ¤good, instrument",
        "quantity-unreadable",
        "'good'",
    ),
    typed("american-day", "issued: 2024-06-18", "issued: ¤06/18/2024", "date-unreadable", "'06/18/2024'"),
    typed(
        "31-february", "at: 2026-03-04T08:30, by", "at: ¤2026-02-31T08:30, by", "day-unknown", "2026-02-31"
    ),
    typed(
        "30-february-of-a-tool",
        "calibrated: 2025-09-15, interval",
        "calibrated: ¤2025-02-30, interval",
        "day-unknown",
        "2025-02-30",
    ),
    typed(
        "space-for-t", "at: 2026-03-04T09:50", "at: ¤2026-03-04 09:50", "time-without-t", "2026-03-04T09:50"
    ),
    typed("german-day", "at: 2026-03-04T10:30", "at: ¤04.03.2026", "time-unreadable", "'04.03.2026'"),
    typed(
        "before-the-first-offset",
        "at: 2026-03-04T11:15",
        "at: ¤2025-12-31T23:59",
        "offset-missing",
        "2025-12-31",
        "2026-01-01",
    ),
    typed(
        "offsets-out-of-order",
        "from: 2026-03-29, offset",
        "from: ¤2025-03-29, offset",
        "offsets-unsorted",
        "2025-03-29",
    ),
    typed(
        "vin-with-o",
        "vin: 0BW2231TARN000417",
        "vin: ¤OBW2231TARN000417",
        "vin-malformed",
        "'OBW2231TARN000417'",
    ),
    typed(
        "vin-too-short",
        "vin: 0BW2231TARN000417",
        "vin: ¤0BW2231TARN00417",
        "vin-malformed",
        "'0BW2231TARN00417'",
    ),
    typed("question-mark-for-lot", "lot: SC-5521", 'lot: ¤"?"', "placeholder-value", "'?'"),
    typed("count-with-unit", "count: 8\n", "count: ¤8 pcs\n", "count-unreadable", "'8 pcs'"),
    typed(
        "more-faultless-than-done",
        "done: 12, without_fault: 12",
        "done: 10, without_fault: ¤12",
        "more-faultless-than-done",
        "12",
        "10",
    ),
    typed(
        "uncertainty-in-kilograms", 'uncertainty: "0,10 mm"', 'uncertainty: ¤"0,10 kg"', "quantity-unit", "mm"
    ),
    typed("certificate-not-there", "certificate: d3,", "certificate: ¤d33,", "id-unknown", "'d33'"),
    typed("neither-yes-nor-no", "witness_marked: yes", "witness_marked: ¤ja", "yes-no-expected", "'ja'"),
    typed(
        "page-nought",
        "claims:\n      - {name: cure-time, value: 12 h, page: 1}",
        "claims:\n      - {name: cure-time, value: 12 h, page: ¤0}",
        "claim-page-zero",
    ),
    typed(
        "crop-without-reader",
        "{name: certificate-kind, value: ISO/IEC 17025, page: 1, read_by: w3, crop: ",
        "{name: certificate-kind, value: ISO/IEC 17025, page: 1, crop: ¤",
        "claim-crop-without-reader",
    ),
    typed(
        "no-such-profile",
        "profile: heron-2@C",
        "profile: ¤heron-2@D",
        "profile-differs",
        "heron-2@D",
        "heron-2@C",
    ),
)
AROUND = (
    Case(
        "person-twice",
        (Change(PEOPLE, "{id: w2,", "{id: ¤w1,"),),
        CHECK,
        "id-duplicate",
        "{mark}",
        ("'w1'",),
        3,
    ),
    Case(
        "note-about-nothing",
        (Change(PEOPLE, "about: s4", "about: ¤s44"),),
        CHECK,
        "id-unknown",
        "{mark}",
        ("'s44'",),
        3,
    ),
    Case(
        "name-unfinished",
        (Change(PEOPLE, "name: Per Lindgate", "¤nam: Per Lindgate"),),
        CHECK,
        "field-misspelt",
        "{mark}",
        ("'name'",),
        3,
    ),
    Case(
        "wrong-file-for-people",
        (Change(PEOPLE, "format: sillmark-people/0", "format: ¤sillmark-job/0"),),
        CHECK,
        "format-unknown",
        "{mark}",
        ("sillmark-people/0",),
        3,
    ),
    Case(
        "log-line-half",
        (Change("intake.jsonl", '"event":"add","id":"E004"', '"event":"add","id":"E0\n04"'),),
        CHECK,
        "intake-malformed",
        "{job}/intake.jsonl:4",
        (),
        3,
    ),
    Case(
        "log-event-made-up",
        (Change("intake.jsonl", '"event":"add","id":"E007"', '"event":"added","id":"E007"'),),
        CHECK,
        "intake-malformed",
        "{job}/intake.jsonl:7",
        (),
        3,
    ),
)
RECORDS = SHAPE + REFERENCES + VALUES + AROUND
