"""English words of the dossier for places of the record and for parts of a finding."""

_SIDES = {
    "side-work": "time of the work",
    "side-as-of": "day that is judged",
    "side-answers": "answer",
    "side-contradictions": "contradictions found",
    "side-parties": "companies named",
    "side-demands": "what is asked",
    "side-retyped": "second typing, {place}",
    "side-span": "{first} to {last}",
    "side-at": "time",
    "side-by": "person",
    "side-calibrated": "calibrated",
    "side-file": "file now",
    "side-finished": "finished",
    "side-intake": "file as taken in",
    "side-label": "code on the label",
    "side-lot": "lot",
    "side-serial": "serial",
    "side-subject": "filed for",
    "side-ticket": "ticket shown",
    "side-until": "valid until",
    "side-value": "value",
    "side-check-digit": "check digit that fits",
    "side-plate": "photo of the plate",
    "side-build": "build number",
    "side-delivered": "delivered with",
    "side-approved": "approved",
}
_PARTS = {
    "matrix-section": "Section {section} of the manual",
    "parts-screws": "screws {numbers}:",
    "parts-screws-one": "screw {numbers}:",
    "state-ask": ", to come from {source}",
    "locker-of": "the thread-locker of {subject}",
    "subject-the-vehicle": "the vehicle",
    "state-contradictions": "{n} of the points are contradictions.",
    "state-contradictions-one": "1 of the points is a contradiction.",
}

DETAILS: dict[str, str] = {**_SIDES, **_PARTS}
