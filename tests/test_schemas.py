"""The committed schemas are the models', valid as schemas, and say the same as the models."""

import json

import pytest
from jsonschema import Draft202012Validator

from evidence.model.schemas import MODELS
from tests.regenerate import SCHEMAS, schema_text

KINDS = sorted(MODELS)


@pytest.mark.parametrize("kind", KINDS)
def test_the_committed_schema_is_the_generated_one(kind: str) -> None:
    assert (SCHEMAS / f"{kind}.schema.json").read_text(encoding="utf-8") == schema_text(kind)


@pytest.mark.parametrize("kind", KINDS)
def test_every_schema_is_a_schema_with_its_own_name(kind: str) -> None:
    document = json.loads(schema_text(kind))

    Draft202012Validator.check_schema(document)
    assert document["$id"] == f"urn:sillmark:{kind}:0"
    assert document["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("kind", KINDS)
def test_no_schema_lets_unknown_fields_in(kind: str) -> None:
    document = json.loads(schema_text(kind))

    assert document["additionalProperties"] is False


def test_no_stray_schema_is_committed() -> None:
    assert sorted(path.name for path in SCHEMAS.iterdir()) == [f"{kind}.schema.json" for kind in KINDS]
