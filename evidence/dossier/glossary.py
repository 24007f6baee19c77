"""What the words of the dossier mean."""

from evidence.dossier._blocks import chip, column, row, section, strong, table
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.model.names import Outcome, RestsOn

_TERMS = (
    "evidence-item",
    "fastening-system",
    "stretcher",
    "position",
    "basis",
    "requirement",
    "profile",
    "contradiction",
    "concession",
    "manifest",
    "digest",
    "limit-bar",
)


def build(source: DossierInput, say: Say) -> Data:
    """Outcomes with their chips, what an outcome can rest on, then the other words."""
    tell = Teller(source, say)
    rows = [
        row([[chip(outcome, tell.word(outcome))], text(tell(f"glossary-{str(outcome).replace(' ', '-')}"))])
        for outcome in Outcome
    ]
    rows += [row([[strong(tell.word(entry))], text(tell(f"glossary-{entry}"))]) for entry in RestsOn]
    rows += [row([[strong(tell(f"term-{term}"))], text(tell(f"glossary-{term}"))]) for term in _TERMS]
    heads = [column(tell("head-word"), mm=44), column(tell("head-meaning"))]
    return section("glossary", tell("title-glossary"), [table(heads, rows)], flows=True)
