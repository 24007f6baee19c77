"""The formats of seal, trust, verdict, intake and person: what they take, what they refuse, and their schemas."""

import json
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import ValidationError

from evidence.model._base import Model
from evidence.model.intake import Intake
from evidence.model.person import Person
from evidence.model.seal import Seal
from evidence.model.trust import Trust
from evidence.model.verdict import Verdict
from tests.seal import factory

D = "0" * 64
SEAL: dict[str, Any] = factory.Forge()._seal(b"", b"")
ENTRY = {"event": "add", "id": "E001", "sha256": D, "at": "2026-03-04T10:41+01:00"}
INTAKE: dict[str, Any] = {"format": "sillmark-intake/0", "entries": [ENTRY, {**ENTRY, "event": "first-read"}]}
PERSON: dict[str, Any] = {"format": "sillmark-person/0", "id": "w1", "salt": "0" * 32, "name": "Fitter One"}
TRUST: dict[str, Any] = factory.TRUST.document()
STEP = {"n": 1, "name": "size", "state": "passed", "problems": []}
VERDICT: dict[str, Any] = {
    "format": "sillmark-verdict/0",
    "bundle": "x",
    "steps": [STEP],
    "key": None,
    "bottom_line": "VALID",
    "exit": 0,
}
GOOD: list[tuple[type[Model], dict[str, Any]]] = [
    (Seal, SEAL),
    (Intake, INTAKE),
    (Person, PERSON),
    (Trust, TRUST),
    (Verdict, VERDICT),
]
ids = [model.__name__ for model, _ in GOOD]


def schema_accepts(model: type[Model], document: dict[str, Any]) -> bool:
    schema = model.model_json_schema()
    Draft202012Validator.check_schema(schema)
    return bool(Draft202012Validator(schema).is_valid(document))


@pytest.mark.parametrize(("model", "document"), GOOD, ids=ids)
def test_good_document_comes_back_as_it_was(model: type[Model], document: dict[str, Any]) -> None:
    assert model.read(document).document() == document
    assert schema_accepts(model, document)


@pytest.mark.parametrize(("model", "document"), GOOD, ids=ids)
def test_unknown_field_wrong_format_and_missing_fields(model: type[Model], document: dict[str, Any]) -> None:
    broken = [{**document, "more": 1}, {**document, "format": "sillmark-other/0"}]
    broken += [
        {key: document[key] for key in document if key != gone}
        for gone in model.model_json_schema()["required"]
    ]
    for each in broken:
        with pytest.raises(ValidationError):
            model.read(each)
        assert not schema_accepts(model, each)


@pytest.mark.parametrize(
    ("model", "document"),
    [
        (Seal, {**SEAL, "issued": "2026-03-20T16:05"}),
        (Seal, {**SEAL, "issued": "2026-03-20T16:05Z\n"}),
        (Seal, {**SEAL, "issued": "2026-03-20"}),
        (Seal, {**SEAL, "key": D.upper().replace("0", "A")}),
        (Seal, {**SEAL, "key": D + "\n"}),
        (Seal, {**SEAL, "judge": "1"}),
        (Seal, {**SEAL, "judge": True}),
        (Seal, {**SEAL, "sequence": -1}),
        (Seal, {**SEAL, "function": "owner"}),
        (Seal, {**SEAL, "tool": "sillmark\n0"}),
        (Intake, {**INTAKE, "entries": [{**ENTRY, "event": "lost"}]}),
        (Intake, {**INTAKE, "entries": [{**ENTRY, "at": "2026-03-04T10:41:07+01:00"}]}),
        (Intake, {**INTAKE, "entries": [{**ENTRY, "reason": "Fitter One dropped it"}]}),
        (Person, {**PERSON, "salt": "0" * 31}),
        (Person, {**PERSON, "name": ""}),
        (Person, {**PERSON, "badge": 12}),
        (Person, {**PERSON, "language": "english"}),
        (Trust, {**TRUST, "keys": [{**TRUST["keys"][0], "algorithm": "rsa"}]}),
        (Verdict, {**VERDICT, "bottom_line": "fine"}),
        (Verdict, {**VERDICT, "steps": []}),
        (Verdict, {**VERDICT, "steps": [{**STEP, "state": "maybe"}]}),
    ],
)
def test_model_and_schema_refuse_alike(model: type[Model], document: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        model.read(document)
    assert not schema_accepts(model, document)


@pytest.mark.parametrize(
    ("model", "document"),
    [
        (Seal, {**SEAL, "issued": "2026-02-30T16:05Z"}),
        (Seal, {**SEAL, "issued": "2026-02-03T25:05Z"}),
        (Trust, {**TRUST, "keys": [{**TRUST["keys"][0], "revoked": "2026-13-01"}]}),
        (Person, {key: PERSON[key] for key in ("format", "id", "salt")}),
    ],
)
def test_model_knows_more_than_its_schema(model: type[Model], document: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        model.read(document)


def test_seal_is_frozen_and_names_what_it_does_not_have() -> None:
    seal = Seal.read(SEAL)
    with pytest.raises(ValidationError):
        seal.judge = 2  # type: ignore[misc]
    assert {key for key, value in seal.document().items() if value is None} == {
        "chain",
        "function",
        "prev",
        "reason",
    }


def test_schemas_are_json() -> None:
    for model, _ in GOOD:
        assert json.loads(json.dumps(model.model_json_schema()))["additionalProperties"] is False
