"""Message catalogues of the dossier: ``python -m tests.regenerate catalogues`` brings them up to the English tables.

A message whose English has changed keeps its translation, marked
as fuzzy for the translator, and is said in English until somebody has looked at it.
"""

from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

from evidence.phrases.catalogues import TRANSLATED, contexts

FOLDER = Path(__file__).resolve().parents[1] / "evidence" / "phrases"
HEADER = """\
# Texts of the dossier. The context of a message is its code; with #do behind it, what to do about it.
# Words in braces are put in by the program and stay as they are. No native speaker of the trade has read these texts yet.
# Changed by hand here, kept in step with the English tables by: python -m tests.regenerate catalogues"""


def path_of(language: str) -> Path:
    """Where a language's catalogue lies."""
    return FOLDER / f"{language}.po"


def catalogue(language: str) -> Catalog:
    """A language's catalogue as committed."""
    with path_of(language).open("rb") as source:
        return read_po(source, locale=language)


def brought_up(language: str, translations: dict[str, str] | None = None) -> Catalog:
    """A language's catalogue with a message for each text, and for no other.

    Args:
        language: two letters.
        translations: context to text, of messages that are new or translated again.
    """
    known = (
        {str(each.context): each for each in catalogue(language) if each.id}
        if path_of(language).exists()
        else {}
    )
    made = Catalog(locale=language, project="sillmark", header_comment=HEADER, charset="utf-8", fuzzy=False)
    for context, english in contexts().items():
        before = known.get(context)
        text = (translations or {}).get(context) or (str(before.string) if before and before.string else "")
        changed = before is not None and before.id != english and context not in (translations or {})
        fuzzy = bool(text) and (
            changed or (before is not None and before.fuzzy and context not in (translations or {}))
        )
        made.add(english, text, context=context, flags={"fuzzy"} if fuzzy else set())
    return made


def text_of(made: Catalog) -> bytes:
    """A catalogue as committed: without times of writing, sorted by code, one line a text."""
    written = BytesIO()
    write_po(written, made, width=0, sort_output=False, omit_header=False)
    lines = [
        line
        for line in written.getvalue().decode().splitlines()
        if not line.startswith(
            ('"POT-Creation-Date', '"PO-Revision-Date', '"Last-Translator', '"Generated-By', '"Language-Team')
        )
    ]
    return "\n".join(lines).rstrip("\n").encode() + b"\n"


def write(translations: dict[str, dict[str, str]] | None = None) -> None:
    """Write every catalogue."""
    for language in TRANSLATED:
        path_of(language).write_bytes(text_of(brought_up(language, (translations or {}).get(language))))
