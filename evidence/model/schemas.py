"""JSON Schemas (2020-12) of every document kind, generated from the models; ``schemas/`` holds them as committed."""

from collections.abc import Mapping
from typing import Any

from evidence.model._base import Model
from evidence.model.anchorage import Anchorage
from evidence.model.check import Check
from evidence.model.exhibit import Item
from evidence.model.intake import Intake
from evidence.model.manifest import Manifest
from evidence.model.pack import Pack
from evidence.model.people import People
from evidence.model.person import Person
from evidence.model.profile import Profile
from evidence.model.record import JOB_FORMAT, RECORD_FORMAT, JobRecord
from evidence.model.seal import Seal
from evidence.model.stub import Stub
from evidence.model.trust import Trust
from evidence.model.verdict import Verdict

VERSION = 0
DIALECT = "https://json-schema.org/draft/2020-12/schema"
MODELS: Mapping[str, type[Model]] = {
    "anchorage": Anchorage,
    "check": Check,
    "intake": Intake,
    "item": Item,
    "job": JobRecord,
    "manifest": Manifest,
    "pack": Pack,
    "people": People,
    "person": Person,
    "profile": Profile,
    "record": JobRecord,
    "seal": Seal,
    "stub": Stub,
    "trust": Trust,
    "verdict": Verdict,
}
_FORMAT_OF = {"job": JOB_FORMAT, "record": RECORD_FORMAT}


def schema(kind: str) -> dict[str, Any]:
    """The schema of a document kind, with ``$id`` ``urn:sillmark:<kind>:0``.

    Raises:
        KeyError: no such kind.
    """
    generated = MODELS[kind].model_json_schema(by_alias=True)
    body = _branched(_untitled(generated))
    if kind in _FORMAT_OF:
        body["properties"]["format"] = {"const": _FORMAT_OF[kind], "type": "string"}
    return {"$id": f"urn:sillmark:{kind}:{VERSION}", "$schema": DIALECT, **body}


def _untitled(node: Any) -> Any:
    """Drop the titles that the generator makes from Python names; they say nothing to a reader of the format."""
    if isinstance(node, dict):
        named = node.get("properties")
        kept = {key: _untitled(value) for key, value in node.items() if not _is_title(key, value)}
        if isinstance(named, dict):
            kept["properties"] = {name: _untitled(value) for name, value in named.items()}
        return kept
    return [_untitled(item) for item in node] if isinstance(node, list) else node


def _is_title(key: str, value: Any) -> bool:
    return key == "title" and isinstance(value, str)


def _branched(node: Any) -> Any:
    """Say ``if type then shape`` instead of ``oneOf``, so that a validator names the exact place of an error."""
    if isinstance(node, list):
        return [_branched(item) for item in node]
    if not isinstance(node, dict):
        return node
    mapping = (
        node.get("discriminator", {}).get("mapping") if isinstance(node.get("discriminator"), dict) else None
    )
    if not mapping:
        return {key: _branched(value) for key, value in node.items()}
    field = node["discriminator"]["propertyName"]
    rest = {key: _branched(value) for key, value in node.items() if key not in ("discriminator", "oneOf")}
    branches = [
        {"if": {"properties": {field: {"const": name}}, "required": [field]}, "then": {"$ref": reference}}
        for name, reference in sorted(mapping.items())
    ]
    allowed = {"properties": {field: {"enum": sorted(mapping)}}, "required": [field], "type": "object"}
    return {**rest, **allowed, "allOf": branches}
