"""The sheet of the gauge card as data: pieces to cut out, and in words how to make, lay and check them."""

import re
from dataclasses import dataclass
from datetime import datetime

from evidence.dossier import Data, Paper, Say
from evidence.drawing.tag import tag_svg
from evidence.errors import UsageError
from evidence.gauge import artwork, geometry, zero
from evidence.gauge.artwork import Piece
from evidence.model.times import add_months

SOURCES = "gauge"
"""Folder below ``templates/``."""
MAX_SERIAL = 24  # letters; more do not fit on the slider
LIFE_MONTHS = 12  # from printing to the end of use; common practice, no source
_SERIAL = re.compile(rf"[A-Za-z0-9][A-Za-z0-9._/-]{{0,{MAX_SERIAL - 1}}}", re.ASCII)
_TEXTS = {"make": 5, "lay": 6, "zero": 6}
_PLAIN = (
    *(
        "title",
        "scale",
        "ruler-down",
        "slider",
        "fence",
        "fence-foot",
        "fence-front",
        "fence-back",
        "fold-up",
    ),
    *(
        "fold-over",
        "tile",
        "tile-white",
        "make-title",
        "lay-title",
        "zero-title",
        "foot",
        "box-across",
        "box-down",
    ),
    *(
        "draw-shim",
        "draw-bar",
        "draw-sill",
        "draw-hook",
        "draw-floor",
        "draw-strip",
        "draw-slider",
        "draw-block",
    ),
    *("draw-bar-long", "draw-bar-short", "draw-knife", "alt-make", "alt-side", "alt-zero"),
)
_HEADS = ("when", "block", "block-sure", "read", "read-sure", "who")


@dataclass(frozen=True)
class GaugeOrder:
    """What is to be printed.

    Attributes:
        serial: of the card; None makes one from the minute of printing.
        paper: of the sheet.
        printed: time of printing, with offset.
    """

    serial: str | None
    paper: Paper
    printed: datetime

    @property
    def shown_serial(self) -> str:
        """The serial that is printed."""
        return self.serial if self.serial is not None else f"GC-{self.printed:%Y%m%d-%H%M}"


def gauge_sheet(order: GaugeOrder, say: Say, language: str = "en") -> Data:
    """The sheet as one JSON object.

    Args:
        order: what is to be printed.
        say: code and parameters to sentence.
        language: of the sentences.

    Raises:
        UsageError: gauge-serial-unusable.
    """
    serial = order.shown_serial
    if _SERIAL.fullmatch(serial) is None:
        raise UsageError.one("gauge-serial-unusable", "--serial", found=serial[:60], limit=str(MAX_SERIAL))
    known = {
        "serial": serial,
        "version": artwork.VERSION,
        "day": order.printed.date().isoformat(),
        "grey": " ".join([str(artwork.GREY)] * 3),
        "check": f"{artwork.CHECK:.1f}",
        "limit": f"{float(zero.MOST_ERROR):.1f}",
    }
    expires = add_months(order.printed.date(), LIFE_MONTHS).isoformat()
    pieces: tuple[Piece, ...] = ("strip", "slider")
    return {
        "language": language,
        "paper": order.paper,
        "document": say("gauge-document", known),
        "about": say("gauge-about", known),
        "expiry": say("gauge-expiry", {"day": expires}),
        "tile_grey": say("gauge-tile-grey", known),
        "grey": artwork.GREY,
        "patches": artwork.PATCHES,
        "ruler": geometry.RULER,
        "tag": geometry.TAG,
        "words": {code: say(f"gauge-{code}", known) for code in _PLAIN},
        "texts": {
            part: [say(f"gauge-{part}-{number}", known) for number in range(1, count + 1)]
            for part, count in _TEXTS.items()
        },
        "heads": [say(f"gauge-head-{code}", known) for code in _HEADS],
        **{piece: _piece(piece, known, say) for piece in pieces},
        "svg": {f"tag-{tag}.svg": tag_svg(tag) for piece in pieces for tag in artwork.tags(piece)},
    }


def _piece(piece: Piece, known: dict[str, str], say: Say) -> Data:
    return {
        "size": artwork.size(piece),
        "tags": [
            {"file": f"tag-{tag}.svg", "at": corner, "alt": say("gauge-alt-tag", {"tag": str(tag)})}
            for tag, corner in artwork.tags(piece).items()
        ],
        "strokes": [[*stroke.start, *stroke.end, stroke.width] for stroke in artwork.strokes(piece)],
        "lettering": [
            {
                "at": line.at,
                "height": line.height,
                "turned": line.turned,
                "bold": line.bold,
                "text": say(f"gauge-{line.code}", known),
            }
            for line in artwork.lettering(piece)
        ],
    }
