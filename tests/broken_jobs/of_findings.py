"""Jobs that can be read and do not hold together: what the answer for machines says of them."""

from tests.broken_jobs.patches import Case, Change, Cut, Patch, Put, Remove

ASKED = ("check", "{job}", "--json", "--as-of", "2026-03-06")
JOB, PEOPLE, PROFILE = "job.yaml", "people.yaml", "profile.yaml"
SMALL: Patch = tuple(Remove(f"photos/E00{number}.jpg") for number in (2, 4, 5, 7))
"""Photos that no case here looks at are left out: the rest is judged as before, and sooner."""


def found(name: str, change: tuple[str, str], code: str, subject: str, *words: str) -> Case:
    """One thing that does not fit the rest of job.yaml."""
    return Case(name, (*SMALL, Change(JOB, *change)), ASKED, code, subject, words, 1)


def conceded(name: str, terms: str, code: str, *words: str) -> Case:
    """A hook 0.3 mm too high, and a concession that does not cover it."""
    typed = '- {id: v1, name: hook-position, subject: p1, value: "{}"'
    paper = f"kind: concession, requirement: profile.heron-2@C/7.2/hook-position, reference: APH-26-4, by: w3, {terms}"
    before = "characteristics:\n  " + typed.replace("{}", "120,3 mm")
    after = (
        "concessions:\n  - {id: c1, " + paper + "}\ncharacteristics:\n  " + typed.replace("{}", "122,3 mm")
    )
    return found(name, (before, after), code, "c1", *words)


CONCEDED = (
    conceded(
        "concession-ended",
        "subject: p1, authority: system-maker, at: 2026-03-05, until: 2026-03-05",
        "concession-ended",
        "2026-03-05",
    ),
    conceded(
        "concession-of-tomorrow",
        "subject: p1, authority: system-maker, at: 2026-03-09",
        "concession-later",
        "2026-03-09",
    ),
    conceded(
        "concession-too-tight",
        "subject: p1, authority: system-maker, at: 2026-03-05, low: 117 mm, high: 121 mm",
        "concession-limit-exceeded",
        "121 mm",
        "122.3 mm",
    ),
    conceded(
        "concession-crossed",
        "subject: p1, authority: system-maker, at: 2026-03-05, low: 125 mm, high: 121 mm",
        "concession-limits-crossed",
        "125 mm",
    ),
    conceded(
        "concession-for-another-place",
        "subject: i1, authority: system-maker, at: 2026-03-05",
        "concession-other-subject",
        "p1",
    ),
    conceded(
        "concession-of-nobody-named",
        "subject: p1, authority: laboratory, at: 2026-03-05",
        "concession-wrong-authority",
        "the laboratory cannot",
        "system maker",
    ),
)
PLAIN = (
    found(
        "typed-twice-otherwise",
        ("values: [SC-5521], by", "values: [SC-5512], by"),
        "typed-twice-differs",
        "g1",
        "SC-5521",
        "SC-5512",
        "w3",
    ),
    found(
        "serial-of-another-caliper",
        ("{name: instrument-serial, value: CAL-77,", "{name: instrument-serial, value: CAL-71,"),
        "serial-differs",
        "i1",
        "CAL-71",
        "CAL-77",
    ),
    found(
        "calibrated-on-another-day",
        ("{name: calibrated-on, value: 2025-09-15,", "{name: calibrated-on, value: 2025-09-13,"),
        "certificate-date-differs",
        "i1",
        "2025-09-13",
    ),
    found(
        "calibration-over",
        ("calibrated: 2025-08-20, interval_months: 12", "calibrated: 2025-08-20, interval_months: 6"),
        "calibration-expired-on-work",
        "i2",
        "i2",
    ),
    found(
        "claim-not-in-the-text",
        ("{name: test-mass, value: 255 kg, page: 2}", "{name: test-mass, value: 265 kg, page: 2}"),
        "claim-not-on-page",
        "d1",
        "265 kg",
        "2",
    ),
    found(
        "claim-on-another-page",
        ("{name: sample-serial, value: PROTO-3, page: 1}", "{name: sample-serial, value: PROTO-3, page: 2}"),
        "claim-on-other-page",
        "d1",
        "PROTO-3",
    ),
    found(
        "hook-too-high",
        ('value: "120,3 mm", instrument', 'value: "122,3 mm", instrument'),
        "outside-limits",
        "p1",
        "122.3 mm",
    ),
    found(
        "torque-tool-too-small",
        ("range_low: 10 N·m, range_high: 50 N·m", "range_low: 30 N·m, range_high: 50 N·m"),
        "outside-tool-range",
        "g1",
        "24 N·m",
    ),
    found(
        "declared-not-calibrated",
        ("value: ISO 6789-2, page: 1", "value: ISO 6789-1, page: 1"),
        "declaration-not-calibration",
        "i2",
    ),
    found(
        "stretcher-of-another-kind",
        ("delivered_with: [{model: Heron Carrier,", "delivered_with: [{model: Crane Carrier,"),
        "stretcher-not-approved",
        "p1",
        "Crane Carrier",
        "Heron Carrier",
    ),
    found(
        "body-before-chassis",
        ("part: [base-vehicle], finished: 2026-02-16", "part: [base-vehicle], finished: 2026-03-05"),
        "stage-out-of-order",
        "vehicle",
    ),
    found(
        "released-too-soon",
        ("release: {at: 2026-03-06T15:00", "release: {at: 2026-03-05T12:00"),
        "release-before-last-work",
        "vehicle",
    ),
    found(
        "cured-too-short",
        (
            "{id: s10, step: full-functional-test, subject: p1, at: 2026-03-05T15:00",
            "{id: s10, step: full-functional-test, subject: p1, at: 2026-03-04T20:00",
        ),
        "gap-too-short",
        "p1",
    ),
    found(
        "steps-in-another-order",
        ("at: 2026-03-04T12:40, by: w1, screws: g1", "at: 2026-03-04T10:00, by: w1, screws: g1"),
        "order-broken",
        "s6",
        "2026-03-04T10:00",
    ),
    found(
        "signed-by-the-fitter",
        (
            "declaration: {id: BW-2231-D1, at: 2026-03-06T15:30, place: Brackwater, by: w3}",
            "declaration: {id: BW-2231-D1, at: 2026-03-06T15:30, place: Brackwater, by: w1}",
        ),
        "signatory-is-fitter",
        "w1",
        "g1",
    ),
    found(
        "screws-of-another-class",
        ('property_class: "10.9"', 'property_class: "8.8"'),
        "screws-differ-from-manual",
        "g1",
        "8.8",
        "10.9",
    ),
    found(
        "serial-on-the-label-differs",
        ('serial: "0012", lot', 'serial: "0013", lot'),
        "label-differs",
        "p1",
        "0012",
        "0013",
    ),
    Case(
        "revision-of-later",
        (*SMALL, Change(PROFILE, "valid_from: 2025-11-01", "valid_from: 2026-03-05")),
        ASKED,
        "profile-not-yet-in-force",
        "vehicle",
        ("2026-03-04", "heron-2@C"),
        1,
    ),
    Case(
        "photo-cut-in-the-folder",
        (*SMALL, Cut("photos/E003.jpg", 0.5)),
        ASKED,
        "exhibit-changed",
        "E003",
        ("E003",),
        1,
    ),
    Case(
        "photo-cut-shows-nothing",
        (*SMALL, Cut("photos/E003.jpg", 0.5)),
        ASKED,
        "exhibit-unreadable",
        "p1",
        ("the file ends before the picture does",),
        1,
    ),
    Case(
        "photo-of-no-bytes",
        (*SMALL, Put("photos/E003.jpg", b"")),
        ASKED,
        "exhibit-unreadable",
        "p1",
        ("the file is empty",),
        1,
    ),
    Case(
        "which-vehicle-photo-gone",
        (*SMALL, Remove("photos/E001.jpg")),
        ASKED,
        "vin-photo-unusable",
        "vehicle",
        ("E001",),
        1,
    ),
    Case("photo-gone", (*SMALL, Remove("photos/E003.jpg")), ASKED, "file-missing", "p1", ("E003",), 1),
)
FINDINGS = PLAIN + CONCEDED
