"""Where the sides of a contradiction stand and what they say, in words."""

import re

from evidence.dossier._words import Teller
from evidence.model.finding import Place
from evidence.model.names import CharacteristicName, ClaimName
from evidence.phrases import shown

SHORT_DIGEST = 16  # hexadecimal digits printed of a file's digest
_DIGEST = re.compile(r"[0-9a-f]{64}")
_PAGE = re.compile(r"page-([0-9]+)")
_LONG = re.compile(r"(?P<number>-?[0-9]+\.[0-9]+) (?P<unit>\S+)")
_SPAN = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})/([0-9]{4}-[0-9]{2}-[0-9]{2})")
_ALONE = {
    "declaration": "loose-declaration",
    "release": "loose-release",
    "work": "side-work",
    "as-of": "side-as-of",
    "answers": "side-answers",
    "contradictions": "side-contradictions",
    "parties": "side-parties",
    "demands": "side-demands",
    "vehicle": "subject-vehicle",
}
"""Holders that are no entry of the record."""
_FIELDS = {
    "at": "side-at",
    "by": "side-by",
    "calibrated": "side-calibrated",
    "file": "side-file",
    "finished": "side-finished",
    "intake": "side-intake",
    "label": "side-label",
    "lot": "side-lot",
    "serial": "side-serial",
    "subject": "side-subject",
    "system.serial": "side-serial",
    "system.lot": "side-lot",
    "taken": "photo-time",
    "ticket": "side-ticket",
    "until": "side-until",
    "valid-until": "side-until",
    "value": "side-value",
    "vin": "word-place-vin",
    "module_serial": "word-place-module-serial",
    "module-serial": "word-place-module-serial",
    "vin.check-digit": "side-check-digit",
    "vin_bound.exhibit": "side-plate",
    "build": "side-build",
    "stretchers.delivered_with": "side-delivered",
    "stretchers.approved_models": "side-approved",
}
"""Fields that have words of their own; claims and characteristics have theirs, others are told by their names."""


def side(place: Place, tell: Teller) -> tuple[str, str]:
    """Where a side stands, ``torque wrench i2: valid until``, and what it says, with short digests and readable times."""
    holder, _, field = place.where.partition(".")
    if page := _PAGE.fullmatch(field):
        return tell("page-title", id=holder, n=page[1]), tell("claim-not-found")
    return standing(place.where, tell), said(place.value, tell)


def standing(where: str, tell: Teller) -> str:
    """A place of the record in words; a path through anything else as it is."""
    if "/" in where or "@" in where:
        return where
    holder, _, field = where.partition(".")
    if holder == "retyped":
        return tell("side-retyped", place=standing(field, tell))
    if holder not in _ALONE and not tell.knows(holder):
        # a company stands there by its name
        holder, _, field = where.rpartition(".")
        return tell("loose-place", holder=holder, field=_field(field, tell)) if field in _FIELDS else where
    words = _field(field, tell)
    if holder == "vehicle" and words:
        return words
    named = tell(_ALONE[holder]) if holder in _ALONE else tell.subject(holder)
    return tell("loose-place", holder=named, field=words) if words else named


def said(value: str, tell: Teller) -> str:
    """What a side says."""
    if _DIGEST.fullmatch(value):
        return value[:SHORT_DIGEST] + " \u2026"
    if span := _SPAN.fullmatch(value):
        return tell("side-span", first=span[1], last=span[2])
    if (long := _LONG.fullmatch(value)) is not None:
        value = shown({"value": long["number"], "unit": long["unit"]})
    return tell.time(value)


def _field(field: str, tell: Teller) -> str:
    if field in _FIELDS:
        return tell(_FIELDS[field])
    for listed in (ClaimName, CharacteristicName):
        if field in set(listed):
            return tell.word(listed(field))
    return tell.slug(field.replace(".", " "))
