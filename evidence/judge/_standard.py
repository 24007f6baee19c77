"""Which papers can speak to a demand: a report to another standard is no worse report to this one, but none at all."""

import re
from dataclasses import replace

from evidence.judge._claims import usable
from evidence.judge._evidence import documents
from evidence.judge._scope import fold
from evidence.judge.case import Case
from evidence.model.names import ClaimName
from evidence.model.record import Document
from evidence.register.demand import Demand

_EDITION = re.compile(r"\s*[:_ (]\s*\(?(?:[a-z]{3} ?)?(19|20)[0-9]{2}.*$", re.ASCII)
_JOINED = re.compile(r"(?<![a-z0-9])(en|j)[ -]*(?=[0-9])", re.ASCII)
"""``EN1789`` and ``EN-1789`` are EN 1789: a paper is set aside only where it certainly names another standard."""
_ADOPTED_BY = re.compile(r"^((bs|din|nf|nbn|nen|sist|uni|une|sn|ss|sfs|sae|iso/iec|iso)\s+)+(?=en\s|j[0-9])")
"""Who publishes a national print or a practice; the print is the standard's all the same."""


def to_this_standard(demand: Demand, subject: str, case: Case) -> Case:
    """The case without papers that are certainly made to another standard, where one to the demand's own is there.

    A vehicle with a report to EN 1789 and another to EN 1865-5 is asked each standard's demands of that standard's
    report. Where no paper names the demand's own standard, all stay: the reason then says what they name.
    """
    if demand.standard is None or not demand.criterion.evidence_from:
        return case
    own = family(demand.standard)
    found = documents(demand.criterion.evidence_from, subject, case)
    named = {document.id: _families(document, case) for document in found}
    others = {identity for identity, families in named.items() if families and own not in families}
    if not others or not any(own in families for families in named.values()):
        return case
    kept = tuple(document for document in case.record.documents if document.id not in others)
    return replace(case, record=case.record.model_copy(update={"documents": kept}))


def family(standard: str) -> str:
    """What all editions of a standard are called: ``en 1789`` of ``BS EN 1789:2020``, ``j3027`` of ``SAE J3027_201611``."""
    joined = _JOINED.sub(lambda match: "en " if match[1] == "en" else "j", fold(standard))
    return _ADOPTED_BY.sub("", _EDITION.sub("", joined))


def _families(document: Document, case: Case) -> frozenset[str]:
    stated = usable(document, ClaimName.TEST_STANDARD, case)
    return frozenset(family(one) for text in stated for one in re.split(r"[;,]", text) if one.strip())
