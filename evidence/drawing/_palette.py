"""The colours of every page and drawing, in one place, so that one test can measure their contrast; and the font."""

from dataclasses import dataclass

from evidence.model.names import Outcome


@dataclass(frozen=True)
class Tint:
    """Ink on ground, both ``#rrggbb``."""

    ink: str
    ground: str


FONT = "Source Sans Pro"
PAPER = "#ffffff"
INK = "#1c2329"
MUTED = "#55606a"
ACCENT = "#1d4f63"
RULE = "#c5cdd3"
BAND = "#f2f5f6"
CAUTION = Tint("#5c4300", "#fcf3dc")

OUTCOME_TINTS: dict[Outcome, Tint] = {
    Outcome.MET: Tint("#1b5a37", "#e2f1e7"),
    Outcome.NOT_MET: Tint("#8c1d12", "#fbe5e1"),
    Outcome.NOT_SHOWN: Tint("#664400", "#fcefd3"),
    Outcome.UNDECIDED: Tint("#3a3f8f", "#e8e9f8"),
    Outcome.NOT_APPLICABLE: Tint("#4b555e", "#eceff1"),
}
