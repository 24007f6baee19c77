"""Data to SVG, once for the dossier, the command and the page; shapes only, words are set beside them."""

from evidence.drawing._palette import ACCENT, BAND, CAUTION, INK, MUTED, OUTCOME_TINTS, PAPER, RULE, Tint

__all__ = ["ACCENT", "BAND", "CAUTION", "INK", "MUTED", "OUTCOME_TINTS", "PAPER", "RULE", "Tint"]
