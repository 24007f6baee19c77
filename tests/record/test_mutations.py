"""Every required field of record, people and profile: deleted, of another kind, with a wrong unit, at its exact place.

The places come from a writer of the tests' own, the required fields from the JSON Schema of the models.
"""

import copy
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

import pytest
from ruamel.yaml import YAML

from evidence.errors import InputError, Problem
from evidence.model._base import Model
from evidence.model.pack import Pack
from evidence.model.people import People
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.quantity import UNITS, Quantity
from evidence.record.reader import read_job, read_pack, read_people, read_profile
from evidence.record.yamltext import read_yaml
from tests.record.support import BASE, Path, Written, base

REQUIRED_FIELD = "required field"
Reader = Callable[[bytes, str], object]
FILES: dict[str, tuple[type[Model], Reader]] = {
    "job.yaml": (JobRecord, read_job),
    "people.yaml": (People, read_people),
    "profile.yaml": (Profile, read_profile),
    "pack.yaml": (Pack, read_pack),
    "confirmation.yaml": (Pack, read_pack),
}
DATA = {name: read_yaml((BASE / name).read_bytes(), name).data for name in FILES}


def _variants(schema: Mapping[str, Any], root: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Plain schemas of a place with their names, references and unions opened."""
    if "$ref" in schema:
        name = schema["$ref"].rsplit("/", 1)[1]
        for inner, variant in _variants(root["$defs"][name], root):
            yield inner or name, variant
        return
    branches = schema.get("anyOf") or schema.get("oneOf")
    if branches is None:
        yield "", schema
        return
    for branch in branches:
        yield from _variants(branch, root)


def _fits(schema: Mapping[str, Any], data: Any) -> bool:
    if isinstance(data, list):
        return schema.get("type") == "array"
    if not isinstance(data, dict):
        return False
    kind = schema.get("properties", {}).get("type", {}).get("const")
    return schema.get("type") == "object" and kind in (None, data.get("type"))


def _below(schema: Mapping[str, Any], part: str | int) -> Mapping[str, Any]:
    if isinstance(part, int):
        items: Mapping[str, Any] = schema["items"]
        return items
    return schema.get("properties", {}).get(part) or schema.get("additionalProperties") or {}


def _required(
    schema: Mapping[str, Any], data: Any, root: Mapping[str, Any], path: Path = ()
) -> Iterator[tuple[str, Path]]:
    """Names of the schemas met, and the path of every required field that stands in the data."""
    for name, variant in _variants(schema, root):
        if not _fits(variant, data):
            continue
        yield name, path
        for field in variant.get("required", ()):
            yield REQUIRED_FIELD, (*path, field)
        if isinstance(data, list):
            for index, item in enumerate(data):
                yield from _required(variant["items"], item, root, (*path, index))
        else:
            for key, value in data.items():
                yield from _required(_below(variant, key), value, root, (*path, key))


@cache
def _schema(name: str) -> dict[str, Any]:
    return FILES[name][0].model_json_schema()


def _fields(name: str) -> list[Path]:
    schema = _schema(name)
    found = [path for met, path in _required(schema, DATA[name], schema) if met == REQUIRED_FIELD]
    return [path for path in dict.fromkeys(found) if _at(DATA[name], path[:-1]).get(path[-1]) is not None]


def _at(data: Any, path: Path) -> Any:
    for part in path:
        data = data[part]
    return data


def _pointer(path: Path) -> str:
    return "".join(f"/{part}" for part in path)


def _read(name: str, data: Any) -> tuple[Written, tuple[Problem, ...]]:
    written = Written(data)
    try:
        FILES[name][1](written.text.encode(), name)
    except InputError as error:
        return written, error.problems
    return written, ()


def _with(name: str, path: Path, value: Any) -> tuple[Written, tuple[Problem, ...]]:
    data = copy.deepcopy(DATA[name])
    _at(data, path[:-1])[path[-1]] = value
    return _read(name, data)


def _scalars(data: Any, path: Path = ()) -> Iterator[tuple[Path, str]]:
    if isinstance(data, str):
        yield path, data
        return
    for part, value in data.items() if isinstance(data, dict) else enumerate(data):
        yield from _scalars(value, (*path, part))


REQUIRED = [(name, path) for name in FILES for path in _fields(name)]
QUANTITIES = [
    (name, path)
    for name in FILES
    if name != "confirmation.yaml"  # its units hang on another file: tests/register/test_confirm.py
    for path, text in _scalars(DATA[name])
    if path[0] != "retyped"  # its units hang on the field that it repeats: tests/record/test_problems.py
    if (match := re.fullmatch(r"[0-9]+(?:[.,][0-9]+)? (\S+)", text))
    and match[1] in {unit for unit, _ in UNITS}
]


def test_base_files_use_every_model() -> None:
    for name in ("job.yaml", "people.yaml", "profile.yaml"):
        schema = _schema(name)
        met = {found for found, _ in _required(schema, DATA[name], schema)}
        models = {key for key, value in schema["$defs"].items() if value.get("type") == "object"}

        assert models - met == set()


@pytest.mark.parametrize("name", FILES)
def test_base_files_read_without_a_problem_in_either_layout(name: str) -> None:
    FILES[name][1]((BASE / name).read_bytes(), name)
    _, problems = _read(name, DATA[name])

    assert problems == ()


@pytest.mark.parametrize(
    ("name", "path"), REQUIRED, ids=lambda part: _pointer(part) if isinstance(part, tuple) else part
)
def test_deleted_field_is_missed_at_the_first_key_of_its_mapping(name: str, path: Path) -> None:
    data = copy.deepcopy(DATA[name])
    mapping = _at(data, path[:-1])
    del mapping[path[-1]]
    written, problems = _read(name, data)

    place = written.keys[(*path[:-1], next(iter(mapping)))] if mapping else written.values[path[:-1]]
    assert [(problem.code, problem.where, problem.pointer) for problem in problems] == [
        ("format-missing" if path == ("format",) else "field-missing", f"{name}:{place}", _pointer(path))
    ]
    known = {"expected": DATA[name]["format"]} if path == ("format",) else {"key": path[-1]}
    assert problems[0].parameters == known


@pytest.mark.parametrize(
    ("name", "path"), REQUIRED, ids=lambda part: _pointer(part) if isinstance(part, tuple) else part
)
def test_field_of_another_kind_is_refused_at_its_value(name: str, path: Path) -> None:
    value = _at(DATA[name], path)
    expected = "text" if isinstance(value, str) else "list" if isinstance(value, list) else "mapping"
    if path[-1] in ("serial", "calibrated", "file", "at", "applied", "value") and isinstance(value, dict):
        expected = "text"  # a state may stand here, so only a list is neither
    wrong: Any = "somewhere" if expected != "text" else ["one", "two"]
    if path == ("format",):
        wrong = {"version": "0"}
    written, problems = _with(name, path, wrong)

    found = "text" if isinstance(wrong, str) else "list" if isinstance(wrong, list) else "mapping"
    assert [(problem.code, problem.where, problem.pointer) for problem in problems] == [
        ("type-mismatch", f"{name}:{written.values[path]}", _pointer(path))
    ]
    assert problems[0].parameters == {"found": found, "expected": expected}


@pytest.mark.parametrize("wrong", [["one"], {"one": "two"}], ids=["list", "mapping"])
@pytest.mark.parametrize("name", ["job.yaml", "people.yaml", "profile.yaml"])
def test_every_text_of_another_kind_is_named_in_one_run(name: str, wrong: Any) -> None:
    """Eight texts at a time, so that what one hides is seen in another run; no state, type or format among them."""
    paths = [path for path, _ in _scalars(DATA[name]) if path[-1] not in ("format", "type", "state")]
    for first in range(8):
        chosen = [
            path for path in paths[first::8] if not (isinstance(wrong, dict) and _takes_state(name, path))
        ]
        data = copy.deepcopy(DATA[name])
        for path in chosen:
            _at(data, path[:-1])[path[-1]] = copy.copy(wrong)
        written, problems = _read(name, data)

        mismatched = {p.pointer: p.where for p in problems if p.code == "type-mismatch"}
        assert mismatched == {_pointer(path): f"{name}:{written.values[path]}" for path in chosen}


def test_a_state_may_stand_where_the_schema_says_so() -> None:
    """All in one run, so that the test above leaves out no place whose reader refuses a mapping."""
    data = copy.deepcopy(DATA["job.yaml"])
    paths = [path for path, _ in _scalars(data) if _takes_state("job.yaml", path)]
    for path in paths:
        _at(data, path[:-1])[path[-1]] = {"state": "unknown"}
    _, problems = _read("job.yaml", data)

    assert len(paths) > 30
    assert [problem for problem in problems if problem.code == "type-mismatch"] == []


def _takes_state(name: str, path: Path) -> bool:
    """Whether a mapping at the place is read as the state of a value; by the schema, for to read it takes long."""
    schema = _schema(name)
    return _has_state(schema, DATA[name], path, schema)


def _has_state(schema: Mapping[str, Any], data: Any, path: Path, root: Mapping[str, Any]) -> bool:
    variants = [variant for _, variant in _variants(schema, root)]
    if not path:
        return any("state" in variant.get("properties", {}) for variant in variants)
    part, *rest = path
    return any(
        _has_state(_below(variant, part), data[part], tuple(rest), root)
        for variant in variants
        if _fits(variant, data)
    )


@pytest.mark.parametrize(
    ("name", "path"), QUANTITIES, ids=lambda part: _pointer(part) if isinstance(part, tuple) else part
)
def test_wrong_unit_and_missing_unit_are_refused_at_the_value(name: str, path: Path) -> None:
    """No field of these files holds a temperature, so kelvin fits nowhere."""
    for text, code in (("5 K", "quantity-unit"), ("5", "quantity-unit-missing")):
        written, problems = _with(name, path, text)

        assert [(problem.code, problem.where) for problem in problems] == [
            (code, f"{name}:{written.values[path]}")
        ]
        assert problems[0].pointer == _pointer(path)
        assert problems[0].parameters["expected"] != ""


def test_every_quantity_field_of_the_models_is_among_the_mutated() -> None:
    mutated = {(name, str(path[-1] if isinstance(path[-1], str) else path[-2])) for name, path in QUANTITIES}
    for name in ("job.yaml", "profile.yaml"):
        model = FILES[name][0]
        for field in _quantity_fields(model, set()):
            assert (name, field) in mutated


def _quantity_fields(model: type[Model], seen: set[type[Model]]) -> set[str]:
    seen.add(model)
    fields = {name for name, info in model.model_fields.items() if "Quantity" in repr(info.annotation)}
    for info in model.model_fields.values():
        for inner in _models_in(info.annotation):
            if inner not in seen:
                fields |= _quantity_fields(inner, seen)
    return fields


def _models_in(annotation: Any) -> Iterator[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from _models_in(inner)


def test_quantity_is_the_name_the_scan_looks_for() -> None:
    assert Quantity.__name__ == "Quantity"


@pytest.mark.parametrize("name", FILES)
def test_places_agree_with_the_library_s_own_nodes(name: str) -> None:
    """Expected places: computed independently with ruamel.yaml's compose()."""
    source = read_yaml(base(name).encode(), name)
    root = YAML(typ="base", pure=True).compose(base(name))
    nodes = dict(_nodes(root, ()))

    assert {path: (place.line, place.column) for path, place in source.values.items()} == nodes


def _nodes(node: Any, path: Path) -> Iterator[tuple[Path, tuple[int, int]]]:
    yield path, (node.start_mark.line + 1, node.start_mark.column + 1)
    if isinstance(node.value, str):
        return
    for index, entry in enumerate(node.value):
        key, value = (entry[0].value, entry[1]) if isinstance(entry, tuple) else (index, entry)
        yield from _nodes(value, (*path, key))
