"""Dossiers of sealed demonstration bundles as data in any language, and the texts that they print."""

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from evidence import copying, dossier, keys, pipeline
from evidence.guard import Guard
from evidence.phrases import say
from tests import rebuild_demo

PRINTED = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
_LETTERS = re.compile(r">([^<>]+)</(?:text|title|desc)>")
_NOT_SAID = frozenset(
    {"anchors", "chip", "id", "kind", "lang", "language", "level", "must_print", "name", "paper", "palette", "picture", "pictures",
     "media_type", "relationship", "s", "size", "swatch", "to", "tone"}
)  # fmt: skip


def sealed(job: str, folder: Path, languages: tuple[str, ...] = ("en",)) -> Path:
    """The bundle of a demonstration job, made from what is committed of it, with a dossier in each language."""
    copy = Path(shutil.copytree(rebuild_demo.DEMO / job, folder / job))
    order = pipeline.AssembleOrder(
        folder / "out", datetime.fromisoformat(rebuild_demo.INTAKE_AT[job]), "option", languages=languages
    )
    return pipeline.assemble_job(copy, order, keys.derived(rebuild_demo.KEY_SECRET)).written.path


def source(bag: Path, language: str) -> dossier.DossierInput:
    """What the dossier of a sealed bundle is made from."""
    order = copying.CopyOrder(PRINTED, sheet=False, paper=None, language=language)
    with Guard() as guard:
        return copying.source_of(copying.open_sealed(bag), order, guard.run)


def printed(bag: Path, language: str) -> bytes:
    """A copy of the dossier of a sealed bundle in a language, as PDF."""
    order = copying.CopyOrder(PRINTED, sheet=False, paper=None, language=language)
    with Guard() as guard:
        return copying.copy_of(copying.open_sealed(bag), order, guard.run)


def data(made_from: dossier.DossierInput) -> dossier.Data:
    """The dossier in the language of its source."""

    def speak(code: str, parameters: Any = None) -> str:
        return say(code, parameters, made_from.language)

    return dossier.build(made_from, speak)


def texts(value: object) -> Iterator[tuple[str, bool]]:
    """Every text that a reader of the page meets, and whether it is tagged as of a language of its own or compared by letter."""
    if isinstance(value, str):
        yield value, False
    elif isinstance(value, list):
        for each in value:
            yield from texts(each)
    elif isinstance(value, dict):
        if "lang" in value or value.get("s") == "mono":
            yield str(value["t"]), True
            return
        for key, each in value.items():
            if key == "svg" and isinstance(each, dict):
                for drawing in each.values():
                    yield from ((found, False) for found in _LETTERS.findall(drawing))
            elif key not in _NOT_SAID and key != "svg":
                yield from texts(each)
