"""How clear a photo is without any mark in it: blur at its strongest edges, and how much of it is plain white or black.

Spots are chosen on a picture an eighth of the size: in each cell of a grid the place where brightness changes most
across and hardly along, once for upright and once for lying edges. There one line of pixels is read at full size. The
sharpest quarter says what lens, focus and hand allowed, for much in a photo is soft by nature; of the two directions
the softer one counts, so that a hand that moved sideways shows. Whole numbers only: every machine gives the same.
"""

from dataclasses import dataclass

from PIL import Image, ImageChops

SHRUNK = 8  # the small picture is so many times smaller
CELLS = (12, 9)  # of the grid, along the longer and the shorter side
REACH = 20  # pixels of a profile to each side
MIDDLE = 12  # pixels to each side within which its steepest place is looked for
LEAST_CHANGE = 48  # of 255, over 16 pixels in the small picture, and from end to end of an edge
ALONG = 4  # an edge changes so many times more across than along: within 14 degrees, 3 % of its width
NOISE = 6  # of 255; an edge goes on until brightness turns back by more
FEWEST = 8  # edges of one direction that say something
SAMPLED = 4  # one pixel of so many in each direction is looked at for white and black

PHOTO_UNSHARP, PHOTO_CLIPPED = "photo-unsharp", "photo-clipped"
WARN_BLUR = 150  # hundredths of a pixel, as of a photo that is measured
WARN_WHITE, WARN_BLACK = 1_000, 2_500  # hundredths of a percent; common practice, no source

_PART = 256  # parts of a pixel
_WIDTHS = 2_563  # from a tenth to nine tenths of a Gaussian edge, in thousandths of its standard deviation


@dataclass(frozen=True)
class Clearness:
    """What was found.

    Attributes:
        blur: standard deviation of the blur at the strongest edges, hundredths of a pixel at full size; about 50 in a
            sharp picture, None where there are too few edges.
        white: share of pixels at full scale, hundredths of a percent.
        black: share of pixels at zero, likewise.
    """

    blur: int | None
    white: int
    black: int

    def fields(self) -> dict[str, str]:
        """As the item has it: decimal strings, pixels and percent."""
        found = {"blur": self.blur, "white": self.white, "black": self.black}
        return {
            name: f"{value // 100}.{value % 100:02d}" for name, value in found.items() if value is not None
        }

    def warnings(self) -> list[str]:
        """Codes of what a person should look at."""
        soft = [PHOTO_UNSHARP] if self.blur is not None and self.blur > WARN_BLUR else []
        clipped = self.white > WARN_WHITE or self.black > WARN_BLACK
        return soft + ([PHOTO_CLIPPED] if clipped else [])


def clearness(grey: Image.Image, small: Image.Image) -> Clearness:
    """Look at a picture.

    Args:
        grey: mode ``L``, full size, as stored.
        small: the same, reduced by ``SHRUNK``.
    """
    white, black = _clipped(grey)
    directions = [sorted(_widths(grey, small, lying=lying)) for lying in (False, True)]
    told = [widths[len(widths) // 4] for widths in directions if len(widths) >= FEWEST]
    return Clearness(max(told, default=None), white, black)


def _clipped(grey: Image.Image) -> tuple[int, int]:
    """Shares of pixels at full scale and at zero, hundredths of a percent."""
    columns, rows = grey.width // SAMPLED, grey.height // SAMPLED
    if columns and rows:
        # an exact multiple, so that no rounding decides which pixel is taken
        whole = (0, 0, columns * SAMPLED, rows * SAMPLED)
        grey = grey.resize((columns, rows), Image.Resampling.NEAREST, box=whole)
    counts, pixels = grey.histogram(), grey.width * grey.height
    return counts[-1] * 10_000 // pixels, counts[0] * 10_000 // pixels


def _widths(grey: Image.Image, small: Image.Image, *, lying: bool) -> list[int]:
    """Blur of the strongest edge in each cell, hundredths of a pixel."""
    found = []
    for x, y in _spots(small, lying=lying):
        across, size = (y, grey.height) if lying else (x, grey.width)
        first, last = across - REACH, across + REACH + 1
        if first < 0 or last > size:
            continue
        box = (x, first, x + 1, last) if lying else (first, y, last, y + 1)
        width = edge_width(grey.crop(box).tobytes())
        if width is not None:
            found.append(width)
    return found


def _spots(small: Image.Image, *, lying: bool) -> list[tuple[int, int]]:
    """The strongest place of each cell that has an edge of this direction, in pixels of the full picture."""
    width, height = small.size
    if min(width, height) <= max(CELLS):
        return []
    sideways = ImageChops.difference(
        small.crop((2, 1, width, height - 1)), small.crop((0, 1, width - 2, height - 1))
    )
    downwards = ImageChops.difference(
        small.crop((1, 2, width - 1, height)), small.crop((1, 0, width - 1, height - 2))
    )
    across, along = (downwards, sideways) if lying else (sideways, downwards)
    strong = ImageChops.subtract(across, along.point([min(255, code * ALONG) for code in range(256)]))
    columns, rows = CELLS if width >= height else CELLS[::-1]
    spots: list[tuple[int, int]] = []
    for row in range(rows):
        for column in range(columns):
            left, right = (strong.width * each // columns for each in (column, column + 1))
            top, bottom = (strong.height * each // rows for each in (row, row + 1))
            cell = strong.crop((left, top, right, bottom))
            most = cell.getextrema()[1]
            if isinstance(most, int) and most >= LEAST_CHANGE:
                down, aside = divmod(cell.tobytes().index(most), right - left)
                spots.append((_full(left + aside), _full(top + down)))
    return spots


def _full(place: int) -> int:
    # the differences begin one pixel in; the middle of what a small pixel stands for
    return SHRUNK * (place + 1) + SHRUNK // 2


def edge_width(profile: bytes) -> int | None:
    """Blur of the steepest edge in a line of pixels, hundredths of a pixel; None where it is too weak.

    From a tenth to nine tenths of its light, which is taken as the square of the code: near enough to sRGB, and whole.

    Args:
        profile: 8-bit codes across the edge, ``2 * REACH + 1`` of them.
    """
    steps = [abs(profile[at + 1] - profile[at]) for at in range(REACH - MIDDLE, REACH + MIDDLE)]
    at = REACH - MIDDLE + steps.index(max(steps))
    if profile[at] > profile[at + 1]:
        profile, at = profile[::-1], len(profile) - 2 - at
    high = _end(profile[at + 1 :])
    low = 255 - _end(bytes(255 - code for code in profile[at::-1]))
    if high - low < LEAST_CHANGE:
        return None
    light = [code * code for code in profile]
    tenth = (high * high - low * low) // 10
    left = _crossing(light, at, low * low + tenth, -1)
    right = _crossing(light, at + 1, high * high - tenth, 1)
    return (right - left) * 100_000 // (_PART * _WIDTHS)


def _end(codes: bytes) -> int:
    """The highest code before brightness turns back by more than noise."""
    most = codes[0]
    for code in codes:
        if code < most - NOISE:
            break
        most = max(most, code)
    return most


def _crossing(light: list[int], at: int, level: int, step: int) -> int:
    """Where light passes a level, going up with the direction or down against it, in parts of a pixel."""
    beyond = at
    while 0 < beyond < len(light) - 1 and (light[beyond] - level) * step < 0:
        beyond += step
    here, before = light[beyond], light[beyond - step]
    if here == before:
        return beyond * _PART
    return beyond * _PART - step * _PART * (here - level) // (here - before)
