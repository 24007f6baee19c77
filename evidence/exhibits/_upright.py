"""Pictures made plain: turned upright, eight bits a channel, nothing transparent."""

from PIL import Image, ImageChops

PAPER = (255, 255, 255)  # what shows through a transparent picture
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""EXIF orientation to the turn that puts the picture upright (CIPA DC-008, tag Orientation)."""


def opaque(image: Image.Image) -> Image.Image:
    """Eight bits a channel, no palette, no transparency; the image itself where it is like that already."""
    if image.mode == "CMYK" and "adobe" not in image.info:
        # the picture library takes every JPEG of four inks for one of Adobe's, which stores them inverted
        return ImageChops.invert(image)
    if image.mode.startswith("I;16") or image.mode == "I":
        image = image.convert("I").point(lambda value: value * (1 / 256) + 0).convert("L")
    if image.mode in ("1", "P", "PA", "LA", "La", "RGBa") or "transparency" in image.info:
        image = image.convert("RGBA")
    if image.mode == "RGBA":
        paper = Image.new("RGB", image.size, PAPER)
        paper.paste(image, mask=image.getchannel("A"))
        image = paper
    return image


def upright(image: Image.Image, orientation: int) -> Image.Image:
    """The picture as it was held; ``orientation`` is EXIF's, 1 to 8."""
    return image.transpose(TURNS[orientation]) if orientation in TURNS else image


def grey(image: Image.Image, orientation: int) -> Image.Image:
    """The picture upright, eight bits of grey."""
    plain = opaque(image)
    return upright(plain if plain.mode == "L" else plain.convert("L"), orientation)
