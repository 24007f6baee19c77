"""Which keys a model takes at a path of its data, read from the models themselves."""

from collections.abc import Iterator
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel

from evidence.record.yamltext import Path

ModelType = type[BaseModel]


def key_of(model: ModelType, field: str) -> str:
    """The key that a file uses for a field (``from`` for ``from_``)."""
    return model.model_fields[field].alias or field


def keys_of(model: ModelType) -> tuple[str, ...]:
    """All keys a mapping of the model may have, sorted."""
    return tuple(sorted(key_of(model, field) for field in model.model_fields))


def model_at(model: ModelType, path: Path, data: Any) -> ModelType | None:
    """The model of the mapping at a path, or None where the path leads to no mapping with fixed keys.

    Args:
        model: model of the root.
        path: keys and indices into the data.
        data: the root's data, which decides between the models of a union.
    """
    annotation: Any = model
    for part in path:
        annotation = _below(annotation, part, data)
        if annotation is None:
            return None
        data = _step(data, part)
    return next(_models(annotation, data), None)


def _step(data: Any, part: str | int) -> Any:
    try:
        return data[part]
    except (KeyError, IndexError, TypeError):
        return None


def _below(annotation: Any, part: str | int, data: Any) -> Any:
    if isinstance(part, int):
        return next((args[0] for origin, args in _generics(annotation) if origin is tuple), None)
    for candidate in _models(annotation, data):
        for field, info in candidate.model_fields.items():
            if part in (info.alias, field):
                return info.annotation
    return next((args[1] for origin, args in _generics(annotation) if origin is dict), None)


def _plain(annotation: Any) -> Iterator[Any]:
    """The members of a union, without their metadata."""
    if get_origin(annotation) is Annotated:
        yield from _plain(get_args(annotation)[0])
    elif get_origin(annotation) in (tuple, dict) or isinstance(annotation, type):
        yield annotation
    else:
        for member in get_args(annotation):
            yield from _plain(member)


def _generics(annotation: Any) -> Iterator[tuple[Any, tuple[Any, ...]]]:
    for member in _plain(annotation):
        if get_origin(member) is not None:
            yield get_origin(member), get_args(member)


def _models(annotation: Any, data: Any) -> Iterator[ModelType]:
    """Models that the data at this place could be; a discriminated union is decided by its ``type``."""
    tag = data.get("type") if isinstance(data, dict) else None
    found = [
        member
        for member in _plain(annotation)
        if get_origin(member) is None and isinstance(member, type) and issubclass(member, BaseModel)
    ]
    if len(found) == 1:
        yield found[0]
        return
    for member in found:
        kind = member.model_fields.get("type")
        if kind is not None and tag in get_args(kind.annotation):
            yield member
