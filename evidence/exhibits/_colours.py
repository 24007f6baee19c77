"""Colours as sRGB: what a picture's own colour profile says is applied."""

from io import BytesIO

from PIL import Image, ImageCms

MAX_PROFILE = 4 * 1024 * 1024  # bytes of an embedded colour profile


def coloured(image: Image.Image, profile: object) -> Image.Image:
    """RGB of an opaque picture, by its profile where it has one that fits it.

    Args:
        image: as ``opaque`` gives it.
        profile: what the file holds as its colour profile, if anything.
    """
    if isinstance(profile, bytes) and 0 < len(profile) <= MAX_PROFILE:
        managed = _by_profile(image, profile)
        if managed is not None:
            return managed
    return image if image.mode == "RGB" else image.convert("RGB")


def _by_profile(image: Image.Image, profile: bytes) -> Image.Image | None:
    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile))
        if ImageCms.getProfileDescription(source).startswith("sRGB"):
            return None  # already there; most phones say so
        return ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
        return None  # a profile that does not fit its picture says nothing about colours
