"""What verifying holds documents against is at least as strict as the published schemas, and quicker."""

import copy
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from evidence import verifying
from evidence.errors import Problem
from evidence.seal.layout import document_kind
from evidence.seal.report import ENGLISH
from evidence.seal.verdicts import VerdictCode, of_problems
from tests.conftest import TOP

SAMPLES = {
    "manifest": "data/manifest.json",
    "record": "data/inputs/record.json",
    "intake": "data/inputs/intake.json",
    "item": "data/items/E003.json",
    "person": "data/people/w1.json",
    "stub": "data/derived/E009.redacted.json",
    "seal": "seal/seal.json",
}
WRONG: tuple[Any, ...] = (None, 7, "x" * 500, [], {}, [{}], True, -1)


def sample(bag: Path, kind: str) -> Any:
    return json.loads((bag / SAMPLES[kind]).read_bytes())


def shortened(document: dict[str, Any]) -> dict[str, Any]:
    """The document with one entry in each list: the formats ask nothing of one entry for the sake of another."""
    return {
        key: value[:1] if isinstance(value, list) and value and isinstance(value[0], dict) else value
        for key, value in document.items()
    }


def validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(json.loads((TOP / "schemas" / f"{kind}.schema.json").read_bytes()))


def mutations(document: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The document with each field gone, of another type, or joined by one that no format knows."""
    yield "an unknown field", {**document, "surprise": "x"}
    for key in document:
        yield f"{key} gone", {name: value for name, value in document.items() if name != key}
        for wrong in WRONG:
            yield f"{key} = {wrong!r:.20}", {**document, key: wrong}
    for key, value in document.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            for name, changed in mutations(value[0]):
                whole = copy.deepcopy(document)
                whole[key][0] = changed
                yield f"{key}/0: {name}", whole


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_a_document_of_ours_is_accepted_by_both(sealed: Path, kind: str) -> None:
    document = sample(sealed, kind)

    assert verifying.problems_of(kind, document) == ()
    assert list(validator(kind).iter_errors(document)) == []


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_what_the_schema_refuses_verifying_refuses(sealed: Path, kind: str) -> None:
    check = validator(kind)
    short = shortened(sample(sealed, kind))
    assert check.is_valid(short)
    assert verifying.problems_of(kind, short) == ()
    mutated = list(mutations(short))

    refused = [(name, changed) for name, changed in mutated if not check.is_valid(changed)]
    let_through = [name for name, changed in refused if not verifying.problems_of(kind, changed)]

    assert len(refused) > len(mutated) // 3
    assert let_through == []


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_a_wrong_field_is_named_by_its_pointer(sealed: Path, kind: str) -> None:
    document = {**sample(sealed, kind), "format": "something/9"}

    assert [problem.pointer for problem in verifying.problems_of(kind, document)] == ["/format"]


def test_every_kind_that_is_sealed_is_checked(sealed: Path) -> None:
    names = [str(path.relative_to(sealed)) for path in sorted(sealed.rglob("*.json"))]

    assert {document_kind(name) for name in names} == set(SAMPLES)


@pytest.mark.parametrize(
    ("changes", "pointer", "words"),
    [
        ({"salt": "zz"}, "/salt", "'zz' is no salt of 32 digits and letters a to f"),
        ({"language": "english"}, "/language", "'english' is no language of two letters"),
        ({"name": None}, "", "the entry of 'w1' says nothing"),
        ({"name": 7}, "/name", "text is asked here; found: 7"),
        ({"salt": ["0"]}, "/salt", "text is asked here)"),
    ],
)
def test_what_is_wrong_with_a_sealed_document_is_said_in_words(
    changes: dict[str, Any], pointer: str, words: str
) -> None:
    sound = {"format": "sillmark-person/0", "id": "w1", "salt": "0" * 32, "name": "Edda Quill"}

    problems = verifying.problems_of("person", {**sound, **changes})
    (found,) = of_problems(problems, VerdictCode.SCHEMA_MISMATCH)

    assert verifying.problems_of("person", sound) == ()
    assert (found.code, problems[0].pointer) == (VerdictCode.SCHEMA_MISMATCH, pointer)
    assert words in ENGLISH.sentence(found)


@pytest.mark.parametrize(
    ("problem", "words"),
    [
        (
            Problem("recompute-item", "data/items/E006.json", "", {"found": "E006"}),
            "(the file of E006 says something else than what is stored about it)",
        ),
        (
            Problem("manifest-dangling", "data/manifest.json", "/results/7/exhibit", {"found": "E024"}),
            "(field results, entry 8, exhibit; E024 is named but not there)",
        ),
        (
            Problem("recompute-impossible", "data/manifest.json", "", {"reason": "shape"}),
            "(its parts do not fit together)",
        ),
    ],
)
def test_what_recomputing_found_is_said_in_words(problem: Problem, words: str) -> None:
    (found,) = of_problems([problem], VerdictCode.RECOMPUTE_DIFFERS)

    assert words in ENGLISH.sentence(found)
