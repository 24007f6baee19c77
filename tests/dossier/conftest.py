"""Typeset dossiers are made once per session and read by many tests."""

from collections.abc import Iterator

import pytest

from evidence.typeset import Typesetter
from tests.dossier import builders, hostile


@pytest.fixture(scope="session")
def typesetter() -> Iterator[Typesetter]:
    with Typesetter() as made:
        yield made


@pytest.fixture(scope="session")
def pdfs(typesetter: Typesetter) -> dict[str, bytes]:
    """The dossiers of the invented vehicles, by name."""
    sources = {
        "finished": builders.finished(),
        "open": builders.open_(),
        "redacted": builders.open_(redacted=True),
        "hostile": hostile.source(),
    }
    return {
        name: typesetter.typeset(*builders.ready(source), builders.ISSUED) for name, source in sources.items()
    }
