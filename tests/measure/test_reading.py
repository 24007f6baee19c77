"""A photo's bytes as grey: turned as the picture library turns it, and what the file says of lens and origin."""

import io

import numpy as np
import pytest
from PIL import Image, ImageOps

from evidence.errors import InputError
from evidence.measure import reading
from evidence.measure._base import Unmeasurable

ORIENTATION, SOFTWARE, MODEL, CAMERA = 0x0112, 0x0131, 0x0110, 0x8769
FOCAL, WIDE, HIGH = 0xA405, 0xA002, 0xA003


def picture(size: tuple[int, int] = (480, 360)) -> Image.Image:
    """A picture that looks different each way it is held."""
    across, down = np.meshgrid(np.linspace(0, 255, size[0]), np.linspace(0, 120, size[1]))
    return Image.fromarray(np.stack([across, down, across / 2], axis=2).astype(np.uint8))


def saved(
    image: Image.Image, main: dict[int, object] | None = None, camera: dict[int, object] | None = None
) -> bytes:
    exif = Image.Exif()
    for tag, value in (main or {}).items():
        exif[tag] = value
    if camera:
        exif.get_ifd(CAMERA).update(camera)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=95, exif=exif)
    return out.getvalue()


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_turned_as_it_was_held(orientation: int) -> None:
    """Computed independently with ImageOps.exif_transpose of the picture library."""
    data = saved(picture(), {ORIENTATION: orientation})
    expected = np.asarray(ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("L"), dtype=int)
    grey = reading.read(data, "x.jpg").grey
    assert grey.shape == expected.shape
    assert np.abs(grey.astype(int) - expected).max() <= 2


@pytest.mark.parametrize("mode", ["L", "RGB", "RGBA", "P", "I;16"])
def test_png_of_any_kind_becomes_grey(mode: str) -> None:
    plain = picture().convert("L")
    stored = (
        Image.fromarray(np.asarray(plain, dtype=np.uint16) * 257) if mode == "I;16" else plain.convert(mode)
    )
    out = io.BytesIO()
    stored.save(out, "PNG")
    grey = reading.read(out.getvalue(), "x.png").grey
    assert np.abs(grey.astype(int) - np.asarray(plain, dtype=int)).max() <= 6


def test_what_the_file_says_is_taken_over() -> None:
    data = saved(picture(), {SOFTWARE: "Page scanner 3", MODEL: "Phone 1"}, {FOCAL: 24, WIDE: 960, HIGH: 720})
    read = reading.read(data, "x.jpg")
    assert (read.focal_35mm, read.software, read.camera, read.cropped) == (
        24.0,
        "Page scanner 3",
        True,
        False,
    )


def test_a_file_that_says_nothing() -> None:
    read = reading.read(saved(picture()), "x.jpg")
    assert (read.focal_35mm, read.software, read.camera, read.cropped) == (None, None, False, False)


@pytest.mark.parametrize(
    ("stated", "cropped"), [((480, 360), False), ((360, 480), False), ((4000, 2250), True)]
)
def test_a_cropped_photo_has_no_known_lens(stated: tuple[int, int], *, cropped: bool) -> None:
    data = saved(picture(), {MODEL: "Phone 1"}, {FOCAL: 24, WIDE: stated[0], HIGH: stated[1]})
    read = reading.read(data, "x.jpg")
    assert read.cropped is cropped
    assert read.focal_35mm == (None if cropped else 24.0)


@pytest.mark.parametrize("size", [(299, 4000), (60_000, 1), (16, 16)])
def test_a_tiny_or_thin_picture_is_refused(size: tuple[int, int]) -> None:
    with pytest.raises(Unmeasurable) as refused:
        reading.read(saved(Image.new("L", size)), "x.jpg")
    assert refused.value.code == "photo-too-small"
    assert refused.value.parameters == {"found": str(min(size)), "expected": "300"}


@pytest.mark.parametrize("end", [0.3, 0.9])
def test_a_cut_off_file_is_an_input_error(end: float) -> None:
    data = saved(picture())
    with pytest.raises(InputError) as refused:
        reading.read(data[: int(len(data) * end)], "x.jpg")
    assert refused.value.problems[0].code == "exhibit-truncated"
    assert refused.value.problems[0].where == "x.jpg"
