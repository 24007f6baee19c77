"""A QR code (ISO/IEC 18004) as one path."""

import segno

from evidence.drawing._palette import PAPER
from evidence.drawing._svg import path, rectangle, svg

QUIET_ZONE = 4  # modules; the width that ISO/IEC 18004 demands
_BLACK = "#000000"  # not the page's ink: a scanner wants all the contrast it can get


def qr_svg(text: str) -> str:
    """A square drawing of the text with its quiet zone; one user unit is one module.

    Error correction level M, so that about 15 % of the code may be soiled.
    """
    code = segno.make(text, error="m", micro=False, boost_error=False)
    side = len(code.matrix) + 2 * QUIET_ZONE
    commands = "".join(
        f"M{x + QUIET_ZONE} {y + QUIET_ZONE}h{length}v1h-{length}z"
        for y, modules in enumerate(code.matrix)
        for x, length in _runs(modules)
    )
    return svg(side, side, rectangle((0, 0), (side, side), PAPER) + path(commands, _BLACK))


def _runs(modules: bytearray) -> list[tuple[int, int]]:
    # neighbouring dark modules become one rectangle, or hairlines show between them
    runs: list[tuple[int, int]] = []
    for x, dark in enumerate(modules):
        if not dark:
            continue
        if runs and sum(runs[-1]) == x:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((x, 1))
    return runs
