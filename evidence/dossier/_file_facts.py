"""Facts of a photo's file that more than one section prints."""

from evidence.dossier._blocks import Inline, muted, plain
from evidence.dossier._words import Teller, text
from evidence.model.exhibit import Photo

_MIB = 1024 * 1024
_KIB = 1024


def file_size(count: int) -> str:
    """A number of bytes as a person reads it."""
    return f"{count / _MIB:.1f} MiB" if count >= _MIB else f"{-(-count // _KIB)} KiB"


def taken(photo: Photo, tell: Teller) -> Inline:
    """The camera's time with its offset from UTC, each as far as the file states it."""
    if photo.taken is None:
        return text(tell("photo-no-time"))
    offset = photo.taken_offset or tell("photo-no-offset")
    return [plain(photo.taken.replace("T", " ")), muted(f" {offset}")]
