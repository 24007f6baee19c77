"""A dossier whose every free field holds text that a careless page would obey, lose or overflow with."""

from typing import Any

from evidence.dossier import DossierInput
from tests.dossier import builders, judged, records

# text as typed -> text as it must be found on the page
STRINGS: dict[str, str] = {
    '#eval("1+1")': '#eval("1+1")',
    "$ x^2 $ *b* _i_ @ref": "$ x^2 $ *b* _i_ @ref",
    "<script>alert(1)</script>": "<script>alert(1)</script>",
    '#image("/etc/passwd")': '#image("/etc/passwd")',
    "[link](javascript:x) \\ ` //": "[link](javascript:x) \\ ` //",
    "abc\u202edcba": "abcdcba",
    "zero\u200bwidth": "zerowidth",
    "smile 😀 end": "smile \ufffd end",
    "漢字 serial": "\ufffd\ufffd serial",
    "Ἑλλάς Łódź Ørsted": "Ἑλλάς Łódź Ørsted",
    "{curly} {0} %s": "{curly} {0} %s",
}
LONG = "SN" + "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ" * 2 + "abcdefghijklmnop"
assert len(LONG) == 90


def source(**options: Any) -> DossierInput:
    """The open vehicle with hostile names, serials, notes and references."""
    record, typed = records.open_record(), list(STRINGS)
    # a field of one line refuses what cannot be seen: marks of direction, zero width
    lines = [text for text in typed if not {"\u202e", "\u200b"} & set(text)]
    record["documents"] = [
        {
            "id": f"h{number}",
            "role": "other-document",
            "subject": "vehicle",
            "exhibit": "E004",
            "issuer": text,
            "reference": LONG,
            "claims": [{"name": "result", "value": text}],
        }
        for number, text in enumerate(lines)
    ]
    position = {**record["positions"][0], "system": {"model": LONG, "serial": LONG, "lot": LONG}}
    record["positions"] = [position, {**position, "id": "p2"}]
    record["parties"] = [{"function": "builder", "name": LONG}, {"function": "agency", "name": typed[2]}]
    record["vehicle"] = {"build": LONG, "module_serial": LONG, "type": typed[0]}
    people = {
        **builders.PEOPLE,
        "notes": [
            {"id": f"n{number}", "about": "p1", "language": "en", "text": f"{text} {LONG}"}
            for number, text in enumerate(typed)
        ],
        "plate": typed[3],
    }
    reason = {"code": "hostile", "parameters": {"text": " ".join(typed)}}
    findings = [{**entry, "reason": reason, "documents": ["h1"]} for entry in judged.open_findings()]
    manifest = builders.manifest_for(record, findings, judged.CONTRADICTIONS, builders.AMERICAN_PACKS)
    return builders.source_from(record, manifest, people, **options)
