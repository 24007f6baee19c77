"""Dossiers in other languages: every word outside data comes from the catalogue, figures are the language's own."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from evidence import dossier, phrases
from evidence.phrases import catalogues
from tests import pseudo, rebuild_demo
from tests.dossier import spoken
from tests.dossier.sheets import needs_poppler, sheets
from tests.dossier.test_pages import margins_are_clear, words_are_inside

FINISHED = rebuild_demo.DEMO / "expected" / "AMB-0417" / "0000-build"
PIECES = re.compile(r"\.\s|[,·:;()\n/\u2026\u2192\u2013\u201c\u201d]|(?<!\w)[\d.]+")
IDS = re.compile(r"^[a-z][0-9]+ | [a-z][0-9]+$")
"""Of the record, before or behind words of the manual."""
UNITS = {
    "kib",
    "mib",
    "px",
    "mm",
    "m",
    "g",
    "h",
    "min",
    "ms",
    "s",
    "hz",
    "kn",
    "n",
    "v",
    "in",
    "ft",
    "lb",
    "mph",
    "mm in",
}
"""Symbols are the same in every language."""
ISO_DAY = re.compile(r"(?<![\w-])[0-9]{4}-[0-9]{2}-[0-9]{2}(?![\w-])")
POINTED = re.compile(r"(?<![\w.@/:+-])[0-9]+\.[0-9]+(?![\w.-])")


@pytest.fixture(scope="module")
def bags(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The sealed bundles of both demonstration vehicles: one finished, one with much open."""
    folder = tmp_path_factory.mktemp("languages")
    return {"finished": FINISHED, "open": spoken.sealed("job-with-faults", folder, catalogues.TRANSLATED)}


@pytest.fixture
def made_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pseudo-language in the place of a catalogue."""
    said = {code: pseudo.pseudo(text) for code, text in catalogues.sentences("en").items()}
    advised = {code: pseudo.pseudo(text) for code, text in catalogues.hints("en").items()}
    sentences, hints = catalogues.sentences, catalogues.hints
    monkeypatch.setattr(
        phrases, "sentences", lambda each: said if each == pseudo.LANGUAGE else sentences(each)
    )
    monkeypatch.setattr(phrases, "hints", lambda each: advised if each == pseudo.LANGUAGE else hints(each))


def plain(text: str) -> str:
    """A text as one can look for it in data: without marks, in small letters, single spaces."""
    return re.sub(r"[\W_]+", " ", text).strip().lower()


def strings(value: Any) -> Iterator[str]:
    if isinstance(value, BaseModel):
        value = value.model_dump(mode="json", by_alias=True)
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from strings(each)
    elif isinstance(value, list | tuple):
        for each in value:
            yield from strings(each)


def said_elsewhere(source: dossier.DossierInput) -> str:
    """Everything that people, papers, packs and the manual said."""
    held = [source.manifest, source.record, source.profile, source.people, *source.items.values()]
    sheets = [sheet.name + sheet.data.decode() for sheet in source.anchorages]
    return " | ".join(
        [
            *strings(held),
            *sheets,
            repr(source.demands),
            repr(source.editions),
            source.key_id,
            source.manifest_digest,
        ]
    )


@pytest.mark.usefixtures("made_up")
@pytest.mark.parametrize("name", ["finished", "open"])
def test_every_word_outside_data_comes_from_the_catalogue(bags: dict[str, Path], name: str) -> None:
    source = spoken.source(bags[name], pseudo.LANGUAGE)
    known = f" {plain(said_elsewhere(source))} "
    strays = set()
    for text, own in spoken.texts(spoken.data(source)):
        for run in [] if own else re.split(f"[{''.join(pseudo.LETTERS)}]+", text):
            for piece in (IDS.sub("", plain(part)) for part in PIECES.split(run)):
                if re.search("[a-z]", piece) and piece not in known and piece not in UNITS:
                    strays.add((piece, text[:80]))

    assert strays == set()


@pytest.mark.usefixtures("made_up")
def test_a_word_that_is_written_into_the_program_would_be_found(
    bags: dict[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("evidence.dossier._written.figures", lambda text, _: text + " as nobody said")
    source = spoken.source(bags["finished"], pseudo.LANGUAGE)
    said = " ".join(text for text, _ in spoken.texts(spoken.data(source)))

    assert "as nobody said" in said
    assert "as nobody said" not in said_elsewhere(source)


@pytest.mark.parametrize("language", catalogues.TRANSLATED)
@pytest.mark.parametrize("name", ["finished", "open"])
def test_days_and_decimals_are_the_languages_own(bags: dict[str, Path], name: str, language: str) -> None:
    """What keeps a point between digits is the number of a clause or a class, which the sealed data have as it stands there."""
    source = spoken.source(bags[name], language)
    data = spoken.data(source)
    elsewhere, names = said_elsewhere(source), _numbers_that_are_names(source)
    said = [text for text, own in spoken.texts(data) if not own and text not in elsewhere]

    assert [text for text in said if ISO_DAY.search(text)] == []
    assert [text for text in said if set(POINTED.findall(text)) - names] == []


def _numbers_that_are_names(source: dossier.DossierInput) -> set[str]:
    """Sections of the manual, clauses of standards, property classes of screws."""
    sections = {item.section for item in source.profile.items}
    classes = {str(group.property_class) for group in source.record.screws}
    return sections | classes | {entry.clause for entry in source.demands.clauses}


@pytest.mark.parametrize("language", catalogues.TRANSLATED)
def test_every_page_of_a_translation_says_that_it_awaits_a_native_reader(
    bags: dict[str, Path], language: str
) -> None:
    source = spoken.source(bags["open"], language)
    data = spoken.data(source)
    note = phrases.say("dossier-footer-translated", {}, language)
    told = phrases.say("dossier-translated", {}, language)

    assert note in data["footer"]["words"]
    assert told in {text for text, _ in spoken.texts(data)}
    assert data["language"] == language


@needs_poppler
@pytest.mark.parametrize("language", catalogues.TRANSLATED)
def test_nothing_of_a_translated_page_leaves_its_margins(
    bags: dict[str, Path], language: str, tmp_path: Path
) -> None:
    pages = sheets((bags["open"] / "data" / f"dossier.{language}.pdf").read_bytes(), tmp_path)

    assert len(pages) > 40
    words_are_inside(pages)
    margins_are_clear(pages, rise=6.0)  # of the accent on a capital that begins a title


def test_the_english_dossier_says_nothing_of_a_translation(bags: dict[str, Path]) -> None:
    data = spoken.data(spoken.source(bags["finished"], "en"))

    assert phrases.say("dossier-footer-translated") not in data["footer"]["words"]


def test_free_text_keeps_its_own_language_and_its_figures(bags: dict[str, Path]) -> None:
    source = spoken.source(bags["open"], "de")
    assert source.people is not None
    own = {text for text, tagged in spoken.texts(spoken.data(source)) if tagged}

    assert {note.text for note in source.people.notes} <= own
