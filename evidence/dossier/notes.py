"""Notes that people typed, word for word, each in its own language."""

from evidence.dossier._blocks import Inline, column, foreign, muted, new_line, paragraph, row, section, table
from evidence.dossier._index import Index
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.model.people import Note


def build(source: DossierInput, say: Say) -> Data:
    """A table of notes; empty where there are none or where this copy leaves them out."""
    tell, index = Teller(source, say), Index.of(source)
    notes = () if source.people is None else source.people.notes
    if not notes:
        return section("notes", tell("title-notes"), [], flows=True)
    heads = [column(tell("head-about"), mm=34), column(tell("head-note"))]
    rows = [
        row([_about(note, source, index), [foreign(note.text, note.language)]], [f"note-{note.id}"])
        for note in notes
    ]
    lead = paragraph(text(tell("notes-lead")), "muted")
    return section("notes", tell("title-notes"), [lead, table(heads, rows)], flows=True)


def _about(note: Note, source: DossierInput, index: Index) -> Inline:
    own = "" if note.language == source.language else f" · {note.language}"
    return [*index.links((note.about,)), new_line(), muted(note.id + own)]
