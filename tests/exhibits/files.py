"""Evidence files made on the spot: small pictures with chosen camera data, PDFs written object by object."""

import hashlib
import io
import struct
import zlib
from collections.abc import Sequence
from typing import Any

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from evidence.errors import Problem
from evidence.phrases.exhibits_en import EXHIBITS

EXIF_IFD, GPS_IFD = 0x8769, 0x8825
FONT = b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>"
CATALOG = b"<</Type/Catalog/Pages 2 0 R>>"
PAGE = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 600 800]/Contents 4 0 R/Resources<</Font<</F1 5 0 R>>>>>>"


def gradient(size: tuple[int, int] = (64, 48)) -> Image.Image:
    """A picture whose four corners differ, so that a wrong turn shows."""
    picture = Image.new("RGB", size)
    width, height = size
    for box, colour in (
        ((0, 0, width // 2, height // 2), (220, 30, 30)),
        ((width // 2, 0, width, height // 2), (30, 200, 30)),
        ((0, height // 2, width // 2, height), (30, 30, 220)),
        ((width // 2, height // 2, width, height), (230, 230, 40)),
    ):
        picture.paste(colour, box)
    return picture


def noise(size: tuple[int, int], seed: int = 1) -> Image.Image:
    """A picture of noise, always the same for a seed; it compresses badly, so its files are long."""
    need = size[0] * size[1] * 3
    blocks = (hashlib.sha256(b"%d %d" % (seed, number)).digest() for number in range(need // 32 + 1))
    return Image.frombytes("RGB", size, b"".join(blocks)[:need])


def exif(
    main: dict[int, Any] | None = None, camera: dict[int, Any] | None = None, *, position: bool = False
) -> bytes:
    """EXIF bytes with the given tags; a position in the open sea when asked for."""
    tags = Image.Exif()
    tags.update(main or {})
    if camera:
        tags.get_ifd(EXIF_IFD).update(camera)
    if position:
        degrees = (IFDRational(54, 1), IFDRational(30, 1), IFDRational(0, 1))
        tags.get_ifd(GPS_IFD).update({1: "N", 2: degrees, 3: "E", 4: degrees})
    return tags.tobytes()


def jpeg(picture: Image.Image | None = None, **options: Any) -> bytes:
    """JPEG bytes of a picture."""
    out = io.BytesIO()
    (picture or gradient()).save(out, "JPEG", **{"quality": 92, **options})
    return out.getvalue()


def png(picture: Image.Image | None = None, **options: Any) -> bytes:
    """PNG bytes of a picture."""
    out = io.BytesIO()
    (picture or gradient()).save(out, "PNG", **options)
    return out.getvalue()


def png_chunk(name: bytes, data: bytes) -> bytes:
    """One PNG chunk with its check sum."""
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png_header(width: int, height: int) -> bytes:
    """A PNG that promises a size and holds almost nothing."""
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return (
        b"\x89PNG\r\n\x1a\n" + head + png_chunk(b"IDAT", zlib.compress(b"\0" * 100)) + png_chunk(b"IEND", b"")
    )


def interlaced() -> bytes:
    """A grey PNG in seven passes, written out by hand (from memory of W3C PNG, section 8)."""
    width, height = 20, 10
    passes = (
        (0, 0, 8, 8),
        (4, 0, 8, 8),
        (0, 4, 4, 8),
        (2, 0, 4, 4),
        (0, 2, 2, 4),
        (1, 0, 2, 2),
        (0, 1, 1, 2),
    )
    rows = b"".join(
        b"\0" + bytes(10 * y + x for x in range(left, width, across))
        for left, top, across, down in passes
        for y in range(top, height, down)
        if left < width
    )
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 1))
    body = png_chunk(b"IDAT", zlib.compress(rows))
    return b"\x89PNG\r\n\x1a\n" + head + body + png_chunk(b"IEND", b"")


def deep() -> bytes:
    """A PNG of three channels with 16 bits each, which the picture library cannot write."""
    rows = b"".join(b"\0" + struct.pack(">3H", 51_400, 12_850, 257) * 20 for _ in range(10))
    head = png_chunk(b"IHDR", struct.pack(">IIBBBBB", 20, 10, 16, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + png_chunk(b"IDAT", zlib.compress(rows)) + png_chunk(b"IEND", b"")


def linear_profile() -> bytes:
    """A colour profile with the primaries of sRGB and a linear scale (from memory of ICC.1, matrix profiles)."""

    def fixed(*numbers: float) -> bytes:
        return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)

    name = b"linear\0"
    curve = b"curv" + bytes(8)
    tags = {
        b"desc": b"desc" + bytes(4) + struct.pack(">I", len(name)) + name + bytes(79),
        b"cprt": b"text" + bytes(4) + b"none\0",
        b"wtpt": b"XYZ " + bytes(4) + fixed(0.9642, 1.0, 0.8249),
        b"rXYZ": b"XYZ " + bytes(4) + fixed(0.4361, 0.2225, 0.0139),
        b"gXYZ": b"XYZ " + bytes(4) + fixed(0.3851, 0.7169, 0.0971),
        b"bXYZ": b"XYZ " + bytes(4) + fixed(0.1431, 0.0606, 0.7139),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for tag, data in tags.items():
        padded = data + bytes(-len(data) % 4)
        table += tag + struct.pack(">II", start + len(body), len(data))
        body += padded
    head = struct.pack(">I4sI4s4s4s", start + len(body), b"none", 0x02100000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H4s", 2026, 1, 1, 0, 0, 0, b"acsp") + bytes(28) + fixed(0.9642, 1.0, 0.8249)
    return head.ljust(128, b"\0") + table + body


def box(name: bytes, data: bytes) -> bytes:
    """One box of an ISO media file."""
    return struct.pack(">I", len(data) + 8) + name + data


def film() -> bytes:
    """The boxes of a film, without a picture in it (from memory of ISO/IEC 14496-12)."""
    handler = box(b"hdlr", bytes(8) + b"vide" + bytes(13))
    return box(b"ftyp", b"mp42\0\0\0\0mp42isom") + box(b"moov", handler) + box(b"mdat", bytes(1000))


def pdf(objects: Sequence[bytes]) -> bytes:
    """A PDF of numbered objects; the first is the catalogue."""
    out = bytearray(b"%PDF-1.7\n")
    offsets = []
    for number, body in enumerate(objects, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n" % number + body + b"\nendobj\n"
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
    return bytes(out) + b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (
        len(objects) + 1,
        table,
    )


def stream(data: bytes, entries: bytes = b"") -> bytes:
    """A stream object."""
    return b"<</Length %d%s>>stream\n" % (len(data), entries) + data + b"\nendstream"


def page_tree(count: int = 1) -> bytes:
    """A page tree whose pages are all object 3."""
    return b"<</Type/Pages/Kids[%s]/Count %d>>" % (b"3 0 R " * count, count)


def text_pdf(text: bytes = b"Certificate 4711", pages: int = 1) -> bytes:
    """A PDF whose pages all carry one line of text."""
    content = b"BT /F1 12 Tf 72 700 Td (" + text + b") Tj ET"
    return pdf([CATALOG, page_tree(pages), PAGE, stream(content), FONT])


def inflating_pdf(raw: bytes, pages: int = 1) -> bytes:
    """A PDF whose pages share one compressed content stream."""
    packed = stream(zlib.compress(raw, 9), b"/Filter/FlateDecode")
    return pdf([CATALOG, page_tree(pages), PAGE, packed, FONT])


def told(problem: Problem) -> str:
    """The sentence of a problem with its parameters put in, as a person reads it."""
    sentence, advice = EXHIBITS[problem.code]
    assert advice.endswith(".")
    return sentence.format_map(dict(problem.parameters))
