"""Signs that a photo is no photo of the card itself: of a screen that shows it, of a scan, and light that was too much.

What is told here is a hint and never refuses a photo, because each sign has honest causes and can be avoided on
purpose.

A screen is told by its grid of pixels, or by the beat between that grid and the camera's own, as one sharp peak in
the spectrum that comes back all over the picture. It escapes where the grid is finer than about two pixels of the
photo and makes no beat, where the photo was made much smaller since, or is blurred. A perforated plate or a fabric
makes such peaks too, but not all over the picture.

A scan mode straightens a page and whitens it. It is told by the name of the program in the file; or, where the file
says nothing of a camera, by no perspective at all together with bleached paper or an odd shape of the picture. A
photo from exactly above that a messenger stripped shows the first of these and not the others. One that keeps the
camera's claims escapes.
"""

from itertools import product

import cv2
import numpy as np
from numpy.typing import NDArray

from evidence.gauge import geometry
from evidence.measure._base import Noticed, Picture
from evidence.measure.hook import View
from evidence.measure.tags import Grey

Floats = NDArray[np.float32]

WINDOW = 256  # pixels, both ways
ACROSS, DOWN = 4, 3  # windows
LEAST_FLICKER = 0.6  # sRGB steps, standard deviation; a window without any shows no grid and is no witness
LONGEST, SHORTEST = 24.0, 2.1  # pixels a period that is looked for
PEAK = 40.0  # power over that of the frequencies around it
AROUND, DRIFT = 15, 9  # frequencies, both ways
SHARE = 0.7  # of the windows that must show one
FEWEST = 5  # windows that must be witnesses
BLOCK = 8  # pixels; JPEG codes in blocks of it, whose edges make peaks of their own
BESIDE = 5  # frequencies next to JPEG's own, as far as a peak may drift
CLIPPED = 254  # brightness from which on light is lost
MOST_CLIPPED = 0.10  # share of the card; common practice, no source
BLEACHED = 0.25  # share of the card: most of its paper, for a good half of the card is black
DARK = 70  # brightness of the card's paper below which tags carry little; common practice, no source
FLAT = 0.002  # relative change of scale over half the card: a camera held within half a degree
SHAPES = (1.0, 4 / 3, 3 / 2, 16 / 9)  # of cameras' pictures; longer by shorter side
PAGES = (297 / 210, 11 / 8.5)  # of what is scanned
MOST_OFF = 0.015  # relative
SCANNING = "scan"  # in the name of a program


def noticed(picture: Picture, view: View) -> list[Noticed]:
    """Everything of this module about one photo."""
    clipped, paper = exposure(picture.grey, view)
    found = []
    if clipped > MOST_CLIPPED:
        found.append(Noticed("card-clipped", {"found": f"{100 * clipped:.0f}"}))
    if paper < DARK:
        found.append(Noticed("card-dark", {"found": f"{paper:.0f}", "limit": str(DARK)}))
    if screen_peak(picture.grey) > PEAK:
        found.append(Noticed("photo-of-screen"))
    if scanned(picture, view, clipped):
        found.append(Noticed("photo-scan-mode"))
    if picture.cropped:
        found.append(Noticed("photo-cropped"))
    return found


def exposure(grey: Grey, view: View) -> tuple[float, float]:
    """Share of the card whose light is clipped, and how bright its paper is, 0 to 255."""
    corners = np.concatenate([each for tag, each in view.corners.items() if tag in geometry.tag_ids()])
    low = np.maximum(corners.min(axis=0).astype(int), 0)
    high = corners.max(axis=0).astype(int) + 1
    part = grey[low[1] : high[1] : 4, low[0] : high[0] : 4]
    hull = cv2.convexHull(((corners - low) / 4).astype(np.int32))
    mask = np.zeros(part.shape, dtype=np.uint8)
    cv2.fillConvexPoly(mask, hull, 1)
    inside = part[mask == 1]
    if not inside.size:
        return 0.0, 255.0
    return float((inside >= CLIPPED).mean()), float(np.percentile(inside, 90))


def screen_peak(grey: Grey) -> float:
    """How far one sharp peak of the same period stands out all over the picture; 0 where too little can tell.

    Power over that of the surrounding frequencies, in the ``SHARE`` of windows that show the peak best.
    """
    rows, columns = grey.shape
    if min(rows, columns) < WINDOW:
        return 0.0
    told = []
    for across, down in product(np.linspace(0, 1, ACROSS), np.linspace(0, 1, DOWN)):
        top, left = round(float(down) * (rows - WINDOW)), round(float(across) * (columns - WINDOW))
        part = grey[top : top + WINDOW, left : left + WINDOW].astype(np.float32)
        if part.std() > LEAST_FLICKER:
            told.append(_peaks(part))
    if len(told) < FEWEST:
        return 0.0
    shown_by_most = np.sort(np.stack(told), axis=0)[int(len(told) * (1 - SHARE))]
    return float(shown_by_most[_LOOKED_AT].max())


def _peaks(part: Floats) -> Floats:
    """How far each frequency of a window stands above its surroundings, (half the frequencies down, all across)."""
    wave = cv2.dft((part - part.mean()) * _HANN, flags=cv2.DFT_COMPLEX_OUTPUT)
    half = wave[: WINDOW // 2]
    spectrum = half[..., 0] ** 2 + half[..., 1] ** 2
    # a peak lifts its own surroundings, so these are taken as their geometric mean
    level = cv2.exp(cv2.blur(cv2.log(spectrum + 1e-3), (AROUND, AROUND), borderType=cv2.BORDER_REFLECT))
    ratio = cv2.blur(spectrum, (3, 3)) / level
    # perspective moves a peak a little from window to window
    return np.asarray(cv2.dilate(ratio, np.ones((DRIFT, DRIFT), dtype=np.uint8)), dtype=np.float32)


def _looked_at() -> NDArray[np.bool_]:
    """Bins of the half spectrum with a period that is looked for, away from the axes and JPEG's own."""
    down = np.arange(WINDOW // 2)[:, None] + np.zeros((1, WINDOW))
    across = np.abs(np.fft.fftfreq(WINDOW, 1 / WINDOW))[None, :] + np.zeros((WINDOW // 2, 1))
    frequency = np.hypot(down, across) / WINDOW
    near = (frequency > 1 / LONGEST) & (frequency < 1 / SHORTEST)
    step = WINDOW // BLOCK
    by_block = [(np.minimum(each % step, step - each % step) <= BESIDE) for each in (down, across)]
    looked: NDArray[np.bool_] = near & ~(by_block[0] & by_block[1])
    return looked


_HANN = np.outer(np.hanning(WINDOW), np.hanning(WINDOW)).astype(np.float32)
_LOOKED_AT = _looked_at()


def scanned(picture: Picture, view: View, clipped: float) -> bool:
    """Whether a program that scans pages made the file."""
    if picture.software and SCANNING in picture.software.lower():
        return True
    if picture.camera or _perspective(view) > FLAT:
        return False
    longer, shorter = max(picture.grey.shape), min(picture.grey.shape)
    shape = longer / shorter
    odd = all(abs(shape / usual - 1) > MOST_OFF for usual in SHAPES) or any(
        abs(shape / page - 1) < MOST_OFF / 3 for page in PAGES
    )
    return odd or clipped > BLEACHED


def _perspective(view: View) -> float:
    """How much the scale changes from the card's middle to its end, relative."""
    ids = [tag for tag in sorted(view.corners) if tag in geometry.tag_ids()]
    places = np.array([corner for tag in ids for corner in geometry.square(geometry.tag_corner(tag))])
    seen = np.concatenate([view.corners[tag] for tag in ids])
    middle, half = np.array(geometry.STRIP) / 2, geometry.STRIP[0] / 2
    matrix, _ = cv2.findHomography((places - middle) / half, seen)
    if matrix is None:
        return float("inf")
    return float(np.hypot(matrix[2, 0], matrix[2, 1]))
