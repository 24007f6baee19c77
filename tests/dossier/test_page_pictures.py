"""Every page of both demonstration dossiers looks as it was last looked at."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from tests import page_pictures
from tests.test_demo import versions_differ

MAX_BYTES = 400_000

needs_pdftoppm = pytest.mark.skipif(
    not page_pictures.available(), reason="pages are drawn with pdftoppm of poppler"
)


def _png(picture: Image.Image) -> bytes:
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


@pytest.fixture(scope="module")
def page(pdfs: dict[str, bytes]) -> Image.Image:
    """A page full of text, as its small picture."""
    return Image.open(io.BytesIO(page_pictures.drawn(pdfs["finished"])[1])).convert("L")


@needs_pdftoppm
def test_both_demonstration_dossiers_look_as_they_did() -> None:
    if versions_differ():
        pytest.skip(f"not the pinned versions: {versions_differ()}; lines may break elsewhere")
    kept = {path.name: path.read_bytes() for path in sorted(page_pictures.FOLDER.glob("*.png"))}

    made = page_pictures.pictures(page_pictures.demo_dossiers())

    assert sorted(made) == sorted(kept), "after a wanted change: python -m tests.regenerate pages"
    assert [name for name in made if not page_pictures.alike(made[name], kept[name])] == []


def test_the_kept_pictures_are_small() -> None:
    sizes = [path.stat().st_size for path in page_pictures.FOLDER.glob("*.png")]

    assert 0 < sum(sizes) < MAX_BYTES


@needs_pdftoppm
def test_other_edges_of_the_same_letters_are_no_change(page: Image.Image) -> None:
    soft = page.filter(ImageFilter.GaussianBlur(0.6))

    assert soft.tobytes() != page.tobytes()
    assert page_pictures.alike(_png(page), _png(soft))


def _without_lines(page: Image.Image) -> Image.Image:
    changed = page.copy()
    ImageDraw.Draw(changed).rectangle((0, 60, page.width, 80), fill=255)
    return changed


def _with_a_box(page: Image.Image) -> Image.Image:
    changed = page.copy()
    ImageDraw.Draw(changed).rectangle((30, 190, 70, 205), fill=120)
    return changed


def _moved(page: Image.Image) -> Image.Image:
    return ImageChops.offset(page, 0, 5)


def _larger(page: Image.Image) -> Image.Image:
    return page.resize((page.width + 12, page.height + 12))


@needs_pdftoppm
@pytest.mark.parametrize("change", [_without_lines, _with_a_box, _moved, _larger])
def test_what_a_reader_would_see_is_a_change(
    page: Image.Image, change: Callable[[Image.Image], Image.Image]
) -> None:
    assert not page_pictures.alike(_png(page), _png(change(page)))


@needs_pdftoppm
def test_writing_leaves_no_page_of_before(
    tmp_path: Path, pdfs: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(page_pictures, "demo_dossiers", lambda: {"AMB-1": pdfs["finished"]})
    (tmp_path / "AMB-1-99.png").write_bytes(b"")

    page_pictures.write(tmp_path)

    names = sorted(path.name for path in tmp_path.iterdir())
    assert names[0] == "AMB-1-01.png"
    assert "AMB-1-99.png" not in names
