"""The schemas as they ship."""

from functools import lru_cache
from typing import Any

from evidence import files, jsondoc


@lru_cache
def packaged_schema(kind: str) -> dict[str, Any]:
    """A schema as it ships."""
    data = files.packaged("schemas", f"{kind}.schema.json").read_bytes()
    document: dict[str, Any] = jsondoc.decode(data, f"{kind}.schema.json")
    return document
