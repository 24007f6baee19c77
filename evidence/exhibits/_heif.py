"""HEIC pictures, which only an optional library decodes."""

from collections.abc import Callable
from io import BytesIO

from PIL import Image

from evidence.errors import MissingToolError, Problem


def heif_image(data: bytes, where: str) -> Image.Image:
    """Open an HEIC file at its primary picture; its own turn is applied by the decoder, so EXIF says upright.

    Raises:
        MissingToolError: heic-extra-missing.
    """
    try:
        from pillow_heif import HeifImageFile  # noqa: PLC0415 - an extra that need not be there
    except ImportError as error:
        raise MissingToolError((Problem("heic-extra-missing", where),)) from error
    opener: Callable[[BytesIO], Image.Image] = HeifImageFile
    return opener(BytesIO(data))
