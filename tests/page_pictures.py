"""Small pictures of every page of both demonstration dossiers, so that a change of the pages is seen and looked at.

``python -m tests.regenerate pages`` makes them again, after ``python -m tests.rebuild_demo``. They are drawn with
pdftoppm of poppler, a reader that shares nothing with what sets the pages.
"""

import io
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import numpy as np
from PIL import Image

from evidence import keys, pipeline
from tests import rebuild_demo as rebuild

FOLDER = Path(__file__).parent / "dossier" / "pages"
PPI = 20  # 165 by 234 pixels of a page of A4
FINER = 4  # times drawn, then made smaller: readers differ in edges and thin lines, which come to little then
GREYS = 16
CELL = 6  # pixels of a side; less than two lines of text
STEP = 12  # of 255: a cell that differs by more shows something else, not another reader's edges
SHARE = 0.004  # of the cells of a page may


def available() -> bool:
    """Whether the pages can be drawn here."""
    return shutil.which("pdftoppm") is not None


def demo_dossiers() -> dict[str, bytes]:
    """Dossier of each demonstration job, made from what is committed of it, by the job's id."""
    made = {}
    with tempfile.TemporaryDirectory(prefix="pages-") as name:
        for folder, job in sorted(rebuild.JOBS.items()):
            copy = Path(shutil.copytree(rebuild.DEMO / folder, Path(name) / folder))
            issued = rebuild.ISSUED if folder == "job" else datetime.fromisoformat(rebuild.INTAKE_AT[folder])
            order = pipeline.AssembleOrder(Path(name) / "out", issued, "option")
            bag = pipeline.assemble_job(copy, order, keys.derived(rebuild.KEY_SECRET)).written.path
            made[job] = (bag / "data" / "dossier.en.pdf").read_bytes()
    return made


def drawn(pdf: bytes) -> list[bytes]:
    """Each page as a PNG of sixteen greys."""
    with tempfile.TemporaryDirectory(prefix="pages-") as name:
        folder = Path(name)
        (folder / "in.pdf").write_bytes(pdf)
        command = ["pdftoppm", "-r", str(PPI * FINER), "-gray", str(folder / "in.pdf"), str(folder / "page")]
        subprocess.run(command, check=True, capture_output=True)
        return [_small(path.read_bytes()) for path in sorted(folder.glob("page-*.pgm"))]


def _small(page: bytes) -> bytes:
    with Image.open(io.BytesIO(page)) as picture:
        few = picture.convert("L").reduce(FINER).point([value // (256 // GREYS) * 17 for value in range(256)])
    out = io.BytesIO()
    few.quantize(GREYS, dither=Image.Dither.NONE).save(out, "PNG", optimize=True, bits=4)
    return out.getvalue()


def pictures(dossiers: Mapping[str, bytes]) -> dict[str, bytes]:
    """File name to picture, of all pages of all dossiers."""
    return {
        f"{job}-{number:02d}.png": picture
        for job, pdf in sorted(dossiers.items())
        for number, picture in enumerate(drawn(pdf), 1)
    }


def alike(one: bytes, other: bytes) -> bool:
    """Whether two pictures show the same page, whatever draws the edges of its letters."""
    left, right = _cells(one), _cells(other)
    return left.shape == right.shape and bool((np.abs(left - right) > STEP).mean() <= SHARE)


def _cells(picture: bytes) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Mean grey of each cell; what is left over at the edges is margin."""
    with Image.open(io.BytesIO(picture)) as read:
        grey = np.asarray(read.convert("L"), dtype=np.float64)
    high, wide = grey.shape[0] // CELL, grey.shape[1] // CELL
    means: np.ndarray[tuple[int, int], np.dtype[np.float64]] = (
        grey[: high * CELL, : wide * CELL].reshape(high, CELL, wide, CELL).mean(axis=(1, 3))
    )
    return means


def write(folder: Path = FOLDER) -> None:
    """Write all pictures, and nothing else there."""
    made = pictures(demo_dossiers())
    folder.mkdir(exist_ok=True)
    for stale in folder.glob("*.png"):
        stale.unlink()
    for name, picture in made.items():
        (folder / name).write_bytes(picture)
