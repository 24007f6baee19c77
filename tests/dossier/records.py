"""Two invented job records as decoded documents: a finished European vehicle and an open North American one."""

from typing import Any

Document = dict[str, Any]

POSITION = {
    "id": "p1",
    "system": {"model": "Heron 2", "serial": "H2-004711", "lot": "A17"},
    "loading": "rear",
    "orientation": "head-forward",
    "stretchers": {
        "tested_with": [{"model": "Heron Carrier", "serial": "HC-0100"}],
        "approved_models": ["Heron Carrier"],
        "delivered_with": [{"model": "Heron Carrier", "serial": "HC-2291"}],
    },
}
PEOPLE = [
    {
        "id": "w1",
        "functions": ["fitter"],
        "qualifications": [{"what": "heron-2-fitting", "from": "2025-02-01", "until": "2027-01-31"}],
    },
    {"id": "w2", "functions": ["inspector", "witness"]},
    {"id": "w3", "functions": ["signatory"]},
]
INSTRUMENTS = [
    {
        "id": "i1",
        "kind": "caliper",
        "serial": "CAL-88",
        "calibrated": "2025-09-12",
        "interval_months": "12",
        "uncertainty": "0.2 mm",
        "range_high": "300 mm",
    },
    {
        "id": "i2",
        "kind": "torque-wrench",
        "serial": "TW-0312",
        "calibrated": "2025-11-20",
        "interval_months": "12",
        "range_low": "10 Nm",
        "range_high": "100 Nm",
        "uncertainty": "1.2 Nm",
        "certificate": "E005",
    },
]
PROFILE: Document = {
    "format": "sillmark-profile/0",
    "id": "heron-2",
    "revision": "C",
    "manual": {
        "id": "AP-2207",
        "maker": "Alder Point Handling",
        "issued": "2024-06-01",
        "valid_from": "2024-07-01",
        "invented": "yes",
    },
    "system": "Heron 2",
    "pairs": [{"stretcher": "Heron Carrier", "system": "Heron 2", "page": "4"}],
    "steps": [
        {"id": "dry-fit", "title": {"en": "Fit dry and mark"}, "page": "11"},
        {
            "id": "bolt",
            "title": {"en": "Bolt the plate with thread-locker"},
            "after": ["dry-fit"],
            "page": "14",
        },
        {"id": "function-test", "title": {"en": "Full functional test"}, "after": ["bolt"], "page": "19"},
    ],
    "cautions": [
        {"text": {"en": "Never drill above a tank, a line or a battery pack."}, "page": "6"},
        {
            "text": {"en": "Do not move the vehicle with a loaded carrier before the cure time is over."},
            "page": "15",
        },
    ],
    "intervals": [{"what": "yearly-inspection", "months": "12", "page": "31"}],
    "items": [
        {
            "section": "7.2",
            "criterion": {
                "id": "hook-position",
                "type": "within",
                "subject": "position",
                "quantity": "characteristic.hook-position",
                "low": "118.0 mm",
                "high": "122.0 mm",
                "mark": "confirmed",
                "source": "manual",
                "page": "17",
                "closes": "fitter",
            },
        }
    ],
}


def _steps(position: str, screws: str, day: str) -> list[Document]:
    return [
        {"id": f"s1{position}", "step": "dry-fit", "subject": position, "at": f"{day} am", "by": "w1"},
        {
            "id": f"s2{position}",
            "step": "bolt",
            "subject": position,
            "at": f"{day}T13:10",
            "by": "w1",
            "with": ["i2"],
            "screws": screws,
        },
        {
            "id": f"s3{position}",
            "step": "function-test",
            "subject": position,
            "at": f"{day} after 16:00",
            "by": "w2",
        },
    ]


def _screws(identifier: str, position: str, day: str, last: str = "43.0 Nm") -> Document:
    return {
        "id": identifier,
        "group": "floor-plate",
        "subject": position,
        "thread": "M10",
        "length": "45 mm",
        "property_class": "8.8",
        "lot": "S-2231",
        "count": "4",
        "torques": ["42.0 Nm", "41.5 Nm", "42.5 Nm", last],
        "instrument": "i2",
        "by": "w1",
        "at": f"{day}T13:10",
        "locker": {
            "product": "Medium locker 7",
            "lot": "L-90",
            "use_by": "2027-05-31",
            "applied": f"{day}T13:05",
        },
        "witness_marked": "yes",
    }


def _value(identifier: str, position: str, value: str, at: str) -> Document:
    return {
        "id": identifier,
        "name": "hook-position",
        "subject": position,
        "value": value,
        "uncertainty": "0.2 mm",
        "instrument": "i1",
        "by": "w1",
        "at": at,
    }


def finished_record() -> Document:
    """The European vehicle: one position, everything recorded and released."""
    return {
        "format": "sillmark-record/0",
        "id": "AMB-0417",
        "profile": "heron-2@C",
        "offsets": [{"from": "2026-01-01", "offset": "+01:00"}],
        "vehicle": {"build": "BW-2231", "vin": "WXXZZZ00000402231", "type": "B", "drive_side": "left"},
        "parties": [
            {"function": "builder", "name": "Brackwater Coachworks", "address": "Quay 4, Brackwater"},
            {"function": "agency", "name": "Tarn Valley Ambulance Trust"},
        ],
        "release": {"at": "2026-03-05T09:30", "by": "w3"},
        "declaration": {"id": "BW-2231-D1", "at": "2026-03-05T10:00", "place": "Brackwater", "by": "w3"},
        "bases": [
            {"standard": "EN 1789:2020", "packs": ["en-1789-2020@1", "demo-confirmed@1"], "stated_by": "w3"}
        ],
        "people": PEOPLE,
        "positions": [POSITION],
        "instruments": INSTRUMENTS,
        "steps": _steps("p1", "g1", "2026-03-04"),
        "screws": [_screws("g1", "p1", "2026-03-04")],
        "characteristics": [_value("v1", "p1", "120,3 mm", "2026-03-04T10:40")],
        "cycles": [
            {
                "id": "y1",
                "kind": "load-unload-loaded",
                "subject": "p1",
                "done": "20",
                "without_fault": "20",
                "load": "150 kg",
                "by": "w2",
                "at": "2026-03-04 after 16:00",
            }
        ],
        "documents": [
            {
                "id": "d1",
                "role": "type-test-report",
                "subject": "p1",
                "exhibit": "E004",
                "issuer": "Ferrow Test House",
                "reference": "FT-2024-118",
                "issued": "2024-05-17",
                "claims": [
                    {"name": "test-standard", "value": "EN 1789:2020", "page": "1"},
                    {"name": "peak-deceleration", "value": "10.4 g", "page": "7"},
                    {"name": "stretcher-model", "value": "Heron Carrier", "page": "2"},
                    {"name": "witness", "value": "Ingrid Example", "page": "9"},
                ],
            },
            {
                "id": "d2",
                "role": "floor-test-report",
                "subject": "vehicle",
                "held": {
                    "by": "Alder Point Handling",
                    "reference": "AP-F-77",
                    "seen_by": "w3",
                    "seen_on": "2026-02-11",
                },
            },
        ],
        "statements": [
            {
                "id": "st1",
                "statement": "no-lines-under-drill-points",
                "subject": "p1",
                "by": "w1",
                "at": "2026-03-04 am",
            }
        ],
        "exhibits": [
            {"id": "E001", "role": "hook-position", "subject": "p1", "file": "photos/E001.jpg"},
            {"id": "E002", "role": "lock-window-locked", "subject": "p1", "file": "photos/E002.jpg"},
            {"id": "E003", "role": "which-vehicle", "subject": "vehicle", "file": "photos/E003.jpg"},
            {"id": "E004", "role": "type-test-report", "subject": "p1", "file": "documents/E004.pdf"},
            {"id": "E005", "role": "calibration-certificate", "subject": "i2", "file": "documents/E005.pdf"},
            {"id": "E006", "role": "torque-log", "subject": "g1", "file": "tests/E006.csv"},
        ],
    }


def open_record() -> Document:
    """The North American vehicle: two positions, a VIN to come, a concession, missing pieces."""
    record = finished_record()
    second = {
        **POSITION,
        "id": "p2",
        "system": {"model": "Heron 2", "serial": {"state": "illegible"}},
        "loading": "side",
    }
    return record | {
        "id": "AMB-0501",
        "vehicle": {
            "build": "BW-3107",
            "module_serial": "M-3107",
            "vin": {"state": "to come", "from": "agency", "by": "2026-04-20"},
            "type": "I",
        },
        "release": None,
        "declaration": None,
        "bases": [{"standard": "SAE J3027", "packs": ["sae-j3027@1"], "stated_by": "w3"}],
        "positions": [POSITION, second],
        "steps": _steps("p1", "g1", "2026-03-09") + _steps("p2", "g2", "2026-03-10"),
        "screws": [_screws("g1", "p1", "2026-03-09"), _screws("g2", "p2", "2026-03-10", "47.0 Nm")],
        "characteristics": [
            _value("v1", "p1", "120,3 mm", "2026-03-09T10:40"),
            _value("v2", "p2", "122.1 mm", "2026-03-10T10:40"),
        ],
        "concessions": [
            {
                "id": "c1",
                "kind": "concession",
                "requirement": "profile.heron-2@C/9.1/clearance",
                "subject": "p2",
                "authority": "agency",
                "reference": "TV-C-14",
                "by": "w3",
                "at": "2026-03-12",
                "until": "2027-03-12",
                "low": "4 mm",
            }
        ],
        "tests": [
            {
                "id": "lt1",
                "kind": "static-pull",
                "subject": "p1",
                "direction": "frontal",
                "exhibit": "E006",
                "channels": [{"use": "force", "name": "Kraft"}],
            },
            {
                "id": "lt2",
                "kind": "dynamic",
                "subject": "p2",
                "direction": "side",
                "exhibit": "E006",
                "channels": [{"use": "pulse", "name": "sled"}],
            },
        ],
    }
