"""Pictures: upright, scaled, masked, without metadata, and the same bytes each time."""

import io
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image, ImageChops, ImageCms, ImageOps, PngImagePlugin, TiffImagePlugin

from evidence import picture
from evidence.errors import InputError
from evidence.exhibits import photo
from evidence.picture import Mask
from tests.exhibits.files import (
    deep,
    exif,
    gradient,
    interlaced,
    jpeg,
    linear_profile,
    noise,
    png,
    png_header,
    told,
)

EXIFTOOL = shutil.which("exiftool")
PACKET = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">secret</x:xmpmeta>'


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def smooth(size: tuple[int, int]) -> Image.Image:
    """A picture without sharp detail, so that two scalings of it may be compared."""
    return noise((8, 6), 3).resize(size, Image.Resampling.BICUBIC)


def largest_difference(one: Image.Image, other: Image.Image) -> int:
    extrema: Any = ImageChops.difference(one.convert("RGB"), other.convert("RGB")).getextrema()
    return max(int(high) for _, high in extrema)


@pytest.mark.parametrize(
    ("size", "long_side", "expected"),
    [
        ((4000, 3000), 1600, (1600, 1200)),
        ((3000, 4000), 1000, (750, 1000)),
        ((4032, 3024), 1600, (1600, 1200)),
        ((4624, 3468), 1600, (1600, 1200)),
        ((1920, 1080), 1000, (1000, 563)),  # 562.5 rounds up
        ((800, 600), 1000, (800, 600)),
        ((3000, 2), 1000, (1000, 1)),
    ],
)
def test_longer_side_is_the_one_asked_for(
    size: tuple[int, int], long_side: int, expected: tuple[int, int]
) -> None:
    """The shape is kept and nothing is enlarged."""
    assert expected == opened(picture.scaled(jpeg(smooth(size)), long_side)).size


def test_decoder_halves_where_it_may(monkeypatch: pytest.MonkeyPatch) -> None:
    """A 4:3 photo of 12 megapixels is decoded at half size, not in full: the box given has the photo's shape."""
    sizes = []
    original = Image.Image.resize

    def resize(self: Image.Image, *args: Any, **options: Any) -> Image.Image:
        sizes.append(self.size)
        return original(self, *args, **options)

    data = jpeg(smooth((4000, 3000)))
    monkeypatch.setattr(Image.Image, "resize", resize)
    picture.scaled(data, 1600)

    assert sizes == [(2000, 1500)]


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("long_side", [32, 640])
def test_result_is_upright(orientation: int, long_side: int) -> None:
    """All eight orientations come out as another implementation turns them (computed independently with ImageOps)."""
    data = jpeg(gradient((640, 480)), exif=exif({0x0112: orientation}))
    result = opened(picture.scaled(data, long_side))
    upright = ImageOps.exif_transpose(opened(data))
    assert upright is not None

    assert upright.size == tuple(side * 640 // long_side for side in result.size)
    corners = [(x, y) for x in (0.1, 0.9) for y in (0.1, 0.9)]
    for x, y in corners:
        ours = result.getpixel((int(result.width * x), int(result.height * y)))
        theirs = upright.getpixel((int(upright.width * x), int(upright.height * y)))
        assert isinstance(ours, tuple)
        assert isinstance(theirs, tuple)
        assert max(abs(a - b) for a, b in zip(ours, theirs, strict=True)) < 20


def test_scaling_keeps_the_picture() -> None:
    """The scaled picture is the photo, within what JPEG and scaling change."""
    photo_ = smooth((2000, 1500))
    result = opened(picture.scaled(jpeg(photo_), 1000, 95))

    assert largest_difference(result, photo_.resize((1000, 750), Image.Resampling.BICUBIC)) < 12


def test_same_input_same_bytes() -> None:
    """Twice the same call gives the same file."""
    data = jpeg(smooth((900, 700)), exif=exif({0x0112: 6}))

    assert picture.scaled(data, 500) == picture.scaled(data, 500)
    assert picture.redacted(data, [Mask(1, 2, 30, 40)]) == picture.redacted(data, [Mask(1, 2, 30, 40)])


def loaded_with_metadata() -> bytes:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    tags = exif({0x010F: "Maker", 0x0112: 3}, {0xA430: "Owner", 0xA431: "SER-1"}, position=True)
    options: dict[str, Any] = {
        "exif": tags,
        "icc_profile": profile,
        "comment": b"remark",
        "xmp": PACKET,
        "dpi": (72, 72),
    }
    return jpeg(gradient((320, 240)), **options) + b"trailing"


@pytest.mark.parametrize(
    "make", [lambda data: picture.scaled(data, 100), picture.redacted], ids=["scaled", "redacted"]
)
def test_no_metadata_is_left(make: Any) -> None:
    """EXIF, profile, comment, XMP and trailing bytes are gone; only the picture's own segments are there."""
    result = make(loaded_with_metadata())

    for secret in (b"Exif", b"Owner", b"SER-1", b"remark", b"secret", b"ICC_PROFILE", b"trailing", b"Maker"):
        assert secret in loaded_with_metadata()
        assert secret not in result
    assert result.endswith(b"\xff\xd9")
    assert set(opened(result).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not installed")
def test_exiftool_finds_no_metadata(tmp_path: Path) -> None:
    """Another program finds nothing but the coding (computed independently with exiftool)."""
    path = tmp_path / "a.jpg"
    path.write_bytes(picture.redacted(loaded_with_metadata()))
    out = subprocess.run(
        [str(EXIFTOOL), "-j", "-G", str(path)], check=True, capture_output=True, text=True
    ).stdout
    groups = {name.partition(":")[0] for name in json.loads(out)[0]}

    assert groups <= {"SourceFile", "ExifTool", "File", "JFIF", "Composite"}


def test_result_is_plain_baseline_rgb() -> None:
    """Three channels, baseline coding, so that every PDF writer takes it."""
    result = picture.scaled(jpeg(gradient((300, 200)).convert("L"), progressive=True), 100)

    assert opened(result).mode == "RGB"
    assert b"\xff\xc0" in result
    assert b"\xff\xc2" not in result


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_masks_are_black_in_the_upright_frame(orientation: int) -> None:
    """Masked pixels are black to the edge, and the others stay, whichever way the camera was held."""
    white = Image.new("RGB", (320, 240), (255, 255, 255))
    data = jpeg(white, exif=exif({0x0112: orientation}))
    mask = Mask(16, 32, 96, 80)
    result = opened(picture.redacted(data, [mask])).convert("L")

    inside = result.crop((mask.left, mask.top, mask.right, mask.bottom)).getextrema()
    assert inside == (0, 0)
    outside = result.copy()
    outside.paste(255, (mask.left - 8, mask.top - 8, mask.right + 8, mask.bottom + 8))
    low, _ = outside.getextrema()
    assert isinstance(low, int | float)
    assert low > 245


def test_mask_of_the_full_picture_covers_the_scaled_one() -> None:
    """In a scaled picture the mask grows outward: nothing under it shows at its edge."""
    secret = Image.new("RGB", (1600, 1200), (255, 255, 255))
    secret.paste((0, 0, 255), (403, 301, 597, 499))
    result = opened(picture.scaled(jpeg(secret), 400, 95, masks=[Mask(403, 301, 597, 499)]))

    colours = result.getcolors(maxcolors=1 << 20)
    assert colours is not None
    for _, colour in colours:
        assert isinstance(colour, tuple)
        assert max(colour) - min(colour) < 30


@pytest.mark.parametrize(
    "mask",
    [
        Mask(-1, 0, 5, 5),
        Mask(0, 0, 65, 5),
        Mask(5, 5, 5, 9),
        Mask(0, 9, 5, 5),
        Mask(0, 0, 5, 49),
        Mask(70, 50, 80, 60),
    ],
)
def test_mask_outside_is_refused(mask: Mask) -> None:
    """A mask that is not where somebody meant it must not pass silently."""
    with pytest.raises(InputError) as caught:
        picture.redacted(jpeg(gradient((64, 48))), [mask], where="photos/E001.jpg")

    (problem,) = caught.value.problems
    assert (problem.code, problem.where) == ("picture-mask-outside", "photos/E001.jpg")
    assert told(problem)


def test_mask_is_measured_upright() -> None:
    """A photo lying on its side has its sides exchanged for masks."""
    data = jpeg(gradient((64, 48)), exif=exif({0x0112: 6}))

    assert opened(picture.redacted(data, [Mask(0, 0, 48, 64)])).size == (48, 64)


def test_transparent_png_stands_on_white() -> None:
    """What is transparent prints as paper."""
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    clear.paste((200, 0, 0, 255), (0, 0, 20, 40))
    result = opened(picture.redacted(png(clear)))

    right, left = result.getpixel((32, 20)), result.getpixel((6, 20))
    assert isinstance(right, tuple)
    assert isinstance(left, tuple)
    assert min(right) > 250
    assert left[0] > 180
    assert max(left[1:]) < 20


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_png_mode_becomes_rgb(mode: str) -> None:
    """Palettes, grey, deep grey and alpha all print."""
    if mode == "I;16":
        grey = Image.new("I;16", (40, 40), 128 * 257)
    else:
        grey = Image.new("L", (40, 40), 128).convert(mode)
    result = opened(picture.redacted(png(grey))).convert("L")
    low, high = result.getextrema()

    assert isinstance(low, int)
    assert isinstance(high, int)
    if mode == "1":  # dithered to black and white
        assert (low, high) == (0, 255)
    else:
        assert 120 <= low <= high <= 136


def test_palette_with_one_transparent_colour_stands_on_white() -> None:
    """A transparent palette entry prints as paper."""
    palette = Image.new("P", (20, 20), 0)
    palette.putpalette([10, 10, 10, 200, 200, 200])
    pixel = opened(picture.redacted(png(palette, transparency=0))).getpixel((10, 10))

    assert isinstance(pixel, tuple)
    assert min(pixel) > 250


def test_cmyk_jpeg_becomes_rgb() -> None:
    """A four-colour JPEG, which the PDF standards refuse, comes out as three."""
    result = opened(picture.scaled(jpeg(Image.new("CMYK", (80, 60), (0, 255, 255, 0))), 40))
    pixel = result.getpixel((20, 15))

    assert isinstance(pixel, tuple)
    assert result.mode == "RGB"
    assert pixel[0] > 200
    assert max(pixel[1:]) < 60


@pytest.mark.parametrize("stored", [10, 64, 128, 200])
def test_embedded_profile_is_honoured(stored: int) -> None:
    """Linear light comes out on the scale of sRGB (computed independently with the transfer formula of sRGB)."""
    light = stored / 255
    expected = 255 * (12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055)
    grey = Image.new("RGB", (64, 48), (stored,) * 3)
    result = opened(picture.redacted(jpeg(grey, icc_profile=linear_profile()))).convert("L")
    extrema: Any = result.getextrema()

    assert abs(expected - stored) > 20
    assert list(extrema) == pytest.approx([expected, expected], abs=3)


@pytest.mark.parametrize(
    "profile", [b"garbage" * 40, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()]
)
def test_profile_that_does_not_fit_is_ignored(profile: bytes) -> None:
    """A broken profile, or one for another kind of picture, costs nothing."""
    plain = smooth((64, 48))

    assert picture.redacted(jpeg(plain)) == picture.redacted(jpeg(plain, icc_profile=profile))


def test_sideways_remark_outside_exif_does_not_turn() -> None:
    """Only the camera's own tag turns a picture, so that every reader of this program agrees on its frame."""
    packet = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf tiff:Orientation="6"/></x:xmpmeta>'
    data = jpeg(gradient((64, 48)), xmp=packet)

    assert opened(picture.redacted(data)).size == (64, 48)
    assert photo.answer(data, "x.jpg").value["photo"]["width"] == 64


def test_photo_and_picture_agree_on_the_frame() -> None:
    """The size in the item is the size that masks are measured in."""
    for orientation in range(1, 9):
        for make in (jpeg, png):
            data = make(exif=exif({0x0112: orientation}))
            fields = photo.answer(data, "x").value["photo"]
            assert (fields["width"], fields["height"]) == opened(picture.redacted(data)).size


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (jpeg(gradient((200, 200)))[:900], "exhibit-truncated"),
        (png_header(20_000, 20_000), "exhibit-too-many-pixels"),
        (b"", "exhibit-damaged"),
        (b"GIF89a", "exhibit-damaged"),
    ],
)
def test_what_cannot_be_decoded_is_named(data: bytes, code: str) -> None:
    """The same codes as when the photo was read."""
    with pytest.raises(InputError) as caught:
        picture.scaled(data, 100, where="photos/E001.jpg")

    (problem,) = caught.value.problems
    assert (code, "photos/E001.jpg") == (problem.code, problem.where)


@pytest.mark.parametrize(("long_side", "quality"), [(0, 80), (100, 0), (100, 96)])
def test_impossible_settings_are_mistakes_of_the_program(long_side: int, quality: int) -> None:
    """Sizes and qualities out of range never reach the coder."""
    with pytest.raises(ValueError, match="quality"):
        picture.scaled(jpeg(), long_side, quality)


def test_png_remarks_are_dropped() -> None:
    """Text chunks of a PNG are metadata too."""
    remark = PngImagePlugin.PngInfo()
    remark.add_text("Author", "Somebody")

    assert b"Somebody" not in picture.redacted(png(pnginfo=remark))


def test_resolution_is_not_carried_over() -> None:
    """Even the claimed print size is gone."""
    tags = exif({0x011A: TiffImagePlugin.IFDRational(300, 1)})

    assert picture.redacted(jpeg(exif=tags, dpi=(300, 300))) == picture.redacted(jpeg())


INKS = [(0, 255, 255, 0), (255, 0, 255, 0), (255, 255, 0, 0), (0, 0, 0, 200), (60, 20, 120, 40), (0, 0, 0, 0)]


def stored_samples(ink: tuple[int, ...]) -> Image.Image:
    """A picture of four inks whose samples in the file are the given ones: the library inverts when it writes."""
    return Image.new("CMYK", (64, 48), tuple(255 - each for each in ink))


def without_adobe_segment(data: bytes) -> bytes:
    at = data.index(b"\xff\xee")
    return data[:at] + data[at + 2 + int.from_bytes(data[at + 2 : at + 4]) :]


def mixed(ink: tuple[int, ...]) -> list[int]:
    # common practice, no source: without a profile each ink takes its share of the light away
    *colours, black = ink
    return [round((255 - each) * (255 - black) / 255) for each in colours]


def by_opencv(data: bytes, how: int) -> Any:
    """Pixels by another decoder; blue before red."""
    return cv2.imdecode(np.frombuffer(data, np.uint8), how)


@pytest.mark.parametrize("ink", INKS)
def test_inks_stored_inverted_come_out_right(ink: tuple[int, ...]) -> None:
    """Four inks as the common writers store them, inverted and marked by an Adobe segment."""
    data = jpeg(stored_samples(tuple(255 - each for each in ink)), quality=95)
    pixel = opened(picture.redacted(data)).getpixel((30, 20))

    assert b"Adobe" in data
    assert list(pixel if isinstance(pixel, tuple) else ()) == pytest.approx(mixed(ink), abs=6)


@pytest.mark.parametrize("ink", INKS)
def test_inks_stored_as_they_are_come_out_right(ink: tuple[int, ...]) -> None:
    """Without that segment the samples are the inks themselves."""
    data = without_adobe_segment(jpeg(stored_samples(ink), quality=95))
    pixel = opened(picture.redacted(data)).getpixel((30, 20))

    assert b"Adobe" not in data
    assert list(pixel if isinstance(pixel, tuple) else ()) == pytest.approx(mixed(ink), abs=6)


@pytest.mark.parametrize("ink", INKS)
def test_inks_as_brightness_and_colour_come_out_right(ink: tuple[int, ...]) -> None:
    """The form that turns three of the four inks into brightness and colour (from memory of JFIF and Adobe TN 5116)."""
    red, green, blue = ink[:3]  # what is stored is the light that the inverted inks leave
    brightness = 0.299 * red + 0.587 * green + 0.114 * blue
    samples = (brightness, (blue - brightness) / 1.772 + 128, (red - brightness) / 1.402 + 128, 255 - ink[3])
    data = bytearray(jpeg(stored_samples(tuple(min(255, round(each)) for each in samples)), quality=95))
    at = data.index(b"Adobe")
    data[at + 11] = 2  # its last byte says how the colours are coded
    pixel = opened(picture.redacted(bytes(data))).getpixel((30, 20))

    assert list(pixel if isinstance(pixel, tuple) else ()) == pytest.approx(mixed(ink), abs=6)


@pytest.mark.parametrize("adobe", [True, False])
def test_inks_as_another_decoder_sees_them(*, adobe: bool) -> None:
    """Blended inks against a second decoder (computed independently with opencv, which takes all for Adobe's)."""
    inks = Image.merge("CMYK", [noise((8, 6), seed).convert("L").resize((320, 240)) for seed in range(4)])
    data = jpeg(inks, quality=95)
    theirs = by_opencv(data, cv2.IMREAD_COLOR)[:, :, ::-1]
    # without the segment the very same inks are stored uninverted
    stored = data if adobe else without_adobe_segment(jpeg(ImageChops.invert(inks), quality=95))
    ours = np.asarray(opened(picture.redacted(stored)))

    assert np.abs(ours.astype(int) - theirs.astype(int)).mean() < 3


@pytest.mark.parametrize("grey", [0, 257 * 37, 257 * 128, 65_535])
def test_deep_grey_png_against_another_decoder(grey: int) -> None:
    """Sixteen bits become eight (computed independently with opencv)."""
    data = png(Image.new("I;16", (40, 30), grey))
    theirs = int(by_opencv(data, cv2.IMREAD_GRAYSCALE)[10, 10])

    assert opened(picture.redacted(data)).convert("L").getpixel((10, 10)) == pytest.approx(theirs, abs=2)


def test_deep_colour_png_keeps_its_colour() -> None:
    """Three channels of sixteen bits keep their high bytes."""
    pixel = opened(picture.redacted(deep())).getpixel((10, 5))

    assert list(pixel if isinstance(pixel, tuple) else ()) == pytest.approx([200, 50, 1], abs=4)


def test_interlaced_png_is_put_in_order() -> None:
    """Seven passes make one picture."""
    grey = opened(picture.redacted(interlaced())).convert("L")

    for x, y in ((0, 0), (7, 3), (19, 9), (4, 8)):
        assert grey.getpixel((x, y)) == pytest.approx(10 * y + x, abs=8)


def test_one_transparent_grey_of_a_deep_png() -> None:
    """A deep grey that is to be transparent prints as paper; the other stays."""
    deep_grey = Image.new("I;16", (40, 40), 40_000)
    deep_grey.paste(1000, (0, 0, 20, 40))
    result = opened(picture.redacted(png(deep_grey, transparency=1000))).convert("L")

    assert result.getpixel((30, 20)) == pytest.approx(156, abs=3)
    assert result.getpixel((8, 20)) == 255
