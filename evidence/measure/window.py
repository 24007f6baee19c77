"""Lock window: which of two declared colours the indicator shows in a photo, at that moment and no other.

The whole frame is looked at, not its middle, because an indicator that stopped half-way shows both colours. Light is
balanced on a neutral patch; each small cell of the frame is then compared with both declared colours, darker and
brighter too, since a sunken window gets another share of the light than the patch. What surrounds the frame must show
neither colour: where it does, the light is coloured, something lies over the window, or the frame covers part of it.
Whatever is in doubt stays undecided, and a person looks instead.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from evidence.gauge import artwork
from evidence.measure import colour, edges, plane, tags
from evidence.measure._base import Noticed, Unmeasurable, refuse
from evidence.measure._cells import Cells, Corners, cells_of, changed, patch, sides, square, turns
from evidence.measure.colour import Floats, Pixels
from evidence.measure.tags import Grey

METHOD: Final = "lock-window-colour/1"
OWN_FRACTION, OTHER_FRACTION, UNKNOWN_FRACTION = 0.90, 0.02, 0.10
LEAST_APART: Final = 35.0  # CIEDE2000 between the declared colours
LEAST_SHADED_APART: Final = 25.0  # the same where one lies in shade and the other in light
LEAST_CHROMA: Final = 20.0  # of the locked colour; metal, paper and gloss have less
NEAR: Final = 8.0  # CIEDE2000 of a cell from the declared colour that most of the frame shows
REMOTE: Final = 17.0  # the same from a colour that should not be there: a doubtful trace of it counts
CLEARER: Final = 8.0  # by which the other colour must lie farther off
SHADES: Final = (0.4, 0.5, 0.63, 0.8, 1.0, 1.25, 1.6)  # light at the window by light at the patch
LEAST_SIDE: Final = 32.0  # pixels of the frame's shortest side
MOST_SIDES: Final = 3.0  # ratio of opposite sides; more is no window, or seen along its face
MOST_CLIPPED: Final = 0.10  # share of the frame
DARK_WINDOW: Final = 0.004  # linear light; below it noise has the colour
GLOSS: Final = 0.6  # of white in the least channel
BETWEEN: Final = 0.05  # fraction of either colour that shows it is there
MOST_GAIN: Final = 2.5  # ratio of the channels' gains: light that lacks a colour cannot be balanced
MOST_MIXED: Final = 8.0  # chroma left on a second neutral patch
MOST_AROUND: Final = 0.08  # share of the surroundings in a declared colour
MOST_BESIDE: Final = 0.20  # the same at one side of the frame
MOST_TINTED: Final = 0.25  # share of the surroundings in its hue, however dark they are
DIMMEST: Final = 0.002  # linear light by white; darker surroundings have no hue
PAPER: Final = 0.85  # reflectance of white paper; common practice, no source
MOST_SHAPE: Final = 1.5  # ratio of the frames' proportions in two photos of one window
MOST_CHANGED: Final = 14.0  # median difference of two surroundings in CIELAB, lightness by its mean

State = Literal["locked", "open", "undecided"]


@dataclass(frozen=True)
class Neutral:
    """A grey or white patch in the picture; reflectance is 1 for a perfect white."""

    corners: Corners
    reflectance: float = PAPER


@dataclass(frozen=True)
class Declared:
    """The colours that the maker's manual gives, as ``#rrggbb``."""

    locked: str
    open: str


@dataclass(frozen=True)
class Fractions:
    """Shares of the frame in the locked colour, the open one, and neither; they add up to one."""

    locked: float
    open: float
    unknown: float


@dataclass(frozen=True)
class Reading:
    """What one photo shows.

    Attributes:
        state: of the indicator.
        fractions: None where the photo was refused before it was looked at.
        why: reason of ``undecided``, else None.
        gains: of red, green and blue; None as above.
        shape: width of the frame by its height in the picture.
        surroundings: (GRID, GRID, 3) CIELAB of frame and surroundings, laid square; None as above.
    """

    state: State
    fractions: Fractions | None
    why: Noticed | None
    gains: tuple[float, float, float] | None
    shape: float
    surroundings: Floats | None


def frame_corners(per_mille: Sequence[float], size: tuple[int, int]) -> Corners:
    """Corners in pixels from eight numbers x1, y1 ... y4, in per mille of the upright picture's width and height.

    Args:
        per_mille: corners one after the other around the frame, from the upper left one.
        size: columns and rows.

    Raises:
        Unmeasurable: window-frame-wrong.
    """
    places = np.array(per_mille, dtype=np.float64)
    if places.shape != (8,) or not ((places >= 0) & (places <= 1000)).all():  # noqa: PLR2004 - four corners, per mille
        refuse("window-frame-wrong")
    corners: Corners = places.reshape(4, 2) / 1000 * np.array(size) - 0.5
    _require_convex(corners)
    return corners


def card_neutrals(grey: Grey) -> tuple[Neutral, ...]:
    """The grey and the white patch of a gauge strip that lies in the picture.

    Raises:
        Unmeasurable: card-not-seen, card-not-flat.
    """
    card = plane.fit(edges.fit(grey, tags.find(grey)).tags, (grey.shape[1], grey.shape[0]))
    shares = (float(colour.LINEAR[artwork.GREY]), 1.0)
    return tuple(
        Neutral(
            card.pixels(np.array([[left, top], [right, top], [right, bottom], [left, bottom]])), PAPER * share
        )
        for (left, top, right, bottom), share in zip(artwork.PATCHES, shares, strict=True)
    )


def read(picture: Pixels, frame: Corners, neutrals: Sequence[Neutral], manual: Declared) -> Reading:
    """Read one photo; a photo that cannot be read is ``undecided`` with its reason.

    Args:
        picture: (rows, columns, 3) 8-bit sRGB, upright, any colour profile applied.
        frame: corners of the whole window frame.
        neutrals: neutral patches; the brightest that is usable balances, a second one is held against it.
        manual: the declared colours.
    """
    shape = _shape(frame)
    try:
        locked, opened = _shades(manual)
        _require_frame(frame, picture)
        gains = _balance(picture, neutrals)
        cells = cells_of(picture, frame)
        fractions, why = _looked(cells, gains, locked, opened)
    except Unmeasurable as stopped:
        return Reading("undecided", None, Noticed(stopped.code, stopped.parameters), None, shape, None)
    state: State = "undecided" if why else "locked" if fractions.locked > fractions.open else "open"
    around = square(cells, gains)
    return Reading(state, fractions, why, (float(gains[0]), float(gains[1]), float(gains[2])), shape, around)


def conclude(locked: Reading, opened: Reading | None) -> Reading:
    """The locked photo's reading, held against an open-state photo of the same window.

    Only together do they show that the indicator moves, and that the frame was set on it.

    Args:
        locked: of the photo that is to show the locked colour.
        opened: of the photo of the same window in the open state, None where there is none.
    """
    if locked.state != "locked":
        return locked
    if opened is None:
        return _undecided(locked, Noticed("window-open-photo-missing"))
    if opened.state != "open":
        return _undecided(locked, Noticed("window-open-photo-unclear"))
    why = difference(locked, opened)
    return locked if why is None else _undecided(locked, why)


def difference(one: Reading, other: Reading) -> Noticed | None:
    """Why two readings are not of one window as far as shape and surroundings tell; None where they may be.

    Two windows of the same make look alike: only the vehicle's ticket or label tells those apart.
    """
    if one.surroundings is None or other.surroundings is None:
        return Noticed("window-surroundings-differ")
    kept = []
    for turn in range(4):  # corners may begin at another one where the phone was held otherwise
        ratio = one.shape * other.shape if turn % 2 else one.shape / other.shape
        if max(ratio, 1 / ratio) <= MOST_SHAPE:
            kept.append(changed(one.surroundings, np.rot90(other.surroundings, turn)))
    if not kept:
        return Noticed("window-shape-differs")
    return None if min(kept) <= MOST_CHANGED else Noticed("window-surroundings-differ")


def _undecided(reading: Reading, why: Noticed) -> Reading:
    return Reading("undecided", reading.fractions, why, reading.gains, reading.shape, reading.surroundings)


def _shape(corners: Corners) -> float:
    top, right, bottom, left = sides(corners)
    return float((top + bottom) / max(right + left, 1e-9))


def _shades(manual: Declared) -> tuple[Floats, Floats]:
    """CIELAB (shades, 3) of both declared colours in every share of light."""
    shares = np.array(SHADES)[:, None]
    bright = colour.declared(manual.locked), colour.declared(manual.open)
    locked, opened = (colour.lab(light * shares) for light in bright)
    plain = colour.lab(bright[0]), colour.lab(bright[1])
    apart = float(colour.ciede2000(*plain))
    shaded = float(colour.ciede2000(locked[:, None], opened[None]).min())
    if apart < LEAST_APART or shaded < LEAST_SHADED_APART:
        refuse("colours-too-close", found=f"{min(apart, shaded):.0f}", expected=f"{LEAST_APART:.0f}")
    if colour.chroma(plain[0]) < LEAST_CHROMA:
        refuse("colour-without-hue", found=manual.locked)
    return locked, opened


def _require_convex(frame: Corners) -> None:
    bends = turns(frame)
    if not ((bends > 0).all() or (bends < 0).all()):
        refuse("window-frame-wrong")


def _require_frame(frame: Corners, picture: Pixels) -> None:
    size = np.array([picture.shape[1], picture.shape[0]])
    places = frame + 0.5
    if (places < 0).any() or (places > size).any():
        refuse("window-frame-wrong")
    _require_convex(frame)
    lengths = sides(frame)
    if lengths.min() < LEAST_SIDE:
        refuse("window-too-small", found=f"{lengths.min():.0f}", expected=f"{LEAST_SIDE:.0f}")
    opposite = lengths[:2] / lengths[2:]
    if max(opposite.max(), (1 / opposite).max()) > MOST_SIDES:
        refuse("window-frame-wrong")


def _balance(picture: Pixels, neutrals: Sequence[Neutral]) -> Floats:
    """Gains from the brightest usable patch; its fellow must come out grey under them."""
    found: list[tuple[float, Floats]] = []
    stopped: Unmeasurable | None = None
    for neutral in sorted(neutrals, key=lambda one: -one.reflectance):
        try:
            found.append((neutral.reflectance, patch(picture, neutral.corners)))
        except Unmeasurable as fault:
            stopped = stopped or fault
    if not found:
        raise stopped or Unmeasurable("neutral-missing", {})
    gains = colour.gains(found[0][1], found[0][0])
    ratio = float(gains.max() / gains.min())
    if ratio > MOST_GAIN:
        refuse("light-coloured", found=f"{ratio:.1f}", expected=f"{MOST_GAIN:.1f}")
    for reflectance, light in found[1:]:
        # what is left of colour, at the brightness the patch should have
        level = light * gains
        left = float(colour.chroma(colour.lab(level * reflectance / max(float(level.mean()), 1e-9))))
        if left > MOST_MIXED:
            refuse("light-mixed", found=f"{left:.0f}", expected=f"{MOST_MIXED:.0f}")
    return gains


def _looked(cells: Cells, gains: Floats, locked: Floats, opened: Floats) -> tuple[Fractions, Noticed | None]:
    """Fractions of the frame, and why they decide nothing."""
    bare = cells.light[cells.inside]
    if float(np.median(bare.max(axis=-1))) < DARK_WINDOW:
        refuse("window-dark")
    light = bare * gains
    fractions = _fractions(light, locked, opened)
    clipped = float((cells.clipped[cells.inside] > 0.5).mean())  # noqa: PLR2004 - most of the cell
    gloss = float((light.min(axis=-1) > GLOSS).mean())
    why = None
    if clipped > MOST_CLIPPED:
        why = Noticed("window-clipped", {"found": _percent(clipped)})
    elif not (_clear(fractions.locked, fractions) or _clear(fractions.open, fractions)):
        why = _doubt(fractions, gloss)
    elif (found := _around(cells, gains, locked, opened)) is not None:
        why = Noticed("window-surroundings-coloured", {"found": _percent(found)})
    return fractions, why


def _around(cells: Cells, gains: Floats, locked: Floats, opened: Floats) -> float | None:
    """Share of the surroundings, or of one side of them, that has a declared colour; None where that is little."""
    around = cells.beside >= 0
    light = cells.light[around] * gains
    shows = np.logical_or(*_shown(_off(light, locked, opened), REMOTE).T)
    side = cells.beside[around]
    beside = max(float(shows[side == one].mean()) for one in np.unique(side))
    tinted = max(_tinted(light, one) for one in (locked, opened))
    much = float(shows.mean()) > MOST_AROUND or beside > MOST_BESIDE or tinted > MOST_TINTED
    return max(beside, tinted) if much else None


def _tinted(light: Floats, shades: Floats) -> float:
    """Share of cells that have a declared colour once they are as bright as it; a colour without hue tints nothing.

    A coloured lamp at the window shows on a dark housing in this way only.
    """
    plain = shades[SHADES.index(1.0)]
    if colour.chroma(plain) < LEAST_CHROMA:
        return 0.0
    bright = colour.luminance(light)
    level = ((plain[0] + 16) / 116) ** 3
    raised = light * (level / np.maximum(bright, DIMMEST))[:, None]
    return float(((colour.ciede2000(colour.lab(raised), plain) <= REMOTE) & (bright > DIMMEST)).mean())


def _clear(own: float, fractions: Fractions) -> bool:
    other = fractions.locked + fractions.open - own
    return own >= OWN_FRACTION and other <= OTHER_FRACTION and fractions.unknown <= UNKNOWN_FRACTION


def _doubt(fractions: Fractions, gloss: float) -> Noticed:
    shares = {
        "locked": _percent(fractions.locked),
        "open": _percent(fractions.open),
        "unknown": _percent(fractions.unknown),
    }
    if min(fractions.locked, fractions.open) > OTHER_FRACTION or fractions.unknown <= UNKNOWN_FRACTION:
        return Noticed("window-between", shares)
    if gloss > BETWEEN:
        return Noticed("window-gloss", {"found": _percent(gloss)})
    return Noticed("window-unclear", shares)


def _percent(share: float) -> str:
    return f"{share * 100:.0f}"


def _fractions(light: Floats, locked: Floats, opened: Floats) -> Fractions:
    """Fractions of the frame; the colour that is seen less counts where it is only nearly seen."""
    off = _off(light, locked, opened)
    near, remote = _shown(off, NEAR).mean(axis=0), _shown(off, REMOTE).mean(axis=0)
    more = int(near.argmax())
    shares = [float(remote[0]), float(remote[1])]
    shares[more] = float(near[more])
    return Fractions(shares[0], shares[1], max(0.0, 1.0 - sum(shares)))


def _off(light: Floats, locked: Floats, opened: Floats) -> Floats:
    """(cells, 2): how far each cell is from the locked colour, and from the open one, in the light that fits best."""
    seen = colour.lab(light)[:, None]
    return np.stack([colour.ciede2000(seen, one[None]).min(axis=1) for one in (locked, opened)], axis=1)


def _shown(off: Floats, reach: float) -> NDArray[np.bool_]:
    """(cells, 2): whether each cell shows the locked colour, and the open one."""
    shown: NDArray[np.bool_] = (off <= reach) & (off[:, ::-1] - off >= CLEARER)
    return shown
