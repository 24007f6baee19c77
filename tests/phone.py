"""Small photos as a phone would give them, with printed codes in view, and the jobs that they belong to."""

import random
import re
import shutil
from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from pathlib import Path

import segno
from PIL import Image

from evidence.model.record import JobRecord

CAMERA = ("Demo", "Phone 1")
DAY = datetime(2026, 3, 6, 8, 0)  # noqa: DTZ001 - a camera's clock has no zone
CODE_EVERY = 230  # pixels between two codes of one picture


def record(number: int, positions: int = 1) -> JobRecord:
    """A record that knows what the vehicle is and which tickets were printed; nothing was done yet."""
    places = [f"p{index}" for index in range(1, positions + 1)]
    tickets = [{"subject": each, "nonce": nonce(number, each)} for each in ("vehicle", *places)]
    return JobRecord.read(
        {
            "format": "sillmark-job/0",
            "id": f"AMB-{number:04d}",
            "profile": "heron-2@C",
            "offsets": [{"from": "2026-01-01", "offset": "+01:00"}],
            "vehicle": {"build": build(number), "vin": vin(number)},
            "bases": [{"standard": "EN 1789:2020", "packs": ["en-1789-2020@1"], "stated_by": "w1"}],
            "people": [{"id": "w1", "functions": ["fitter"]}],
            "positions": [
                {
                    "id": each,
                    "system": {"model": "Heron 2", "serial": serial(number, each)},
                    "loading": "rear",
                    "stretchers": {
                        "delivered_with": [{"model": "Heron Carrier", "serial": f"HC-{number:04d}{each}"}]
                    },
                }
                for each in places
            ],
            "tickets": tickets,
        }
    )


def nonce(number: int, subject: str) -> str:
    """The secret of a ticket of that job."""
    return f"k{number:04d}{subject}"


def build(number: int) -> str:
    """The build number of that vehicle."""
    return f"BW-{number:04d}"


def vin(number: int) -> str:
    """The identification number of that vehicle."""
    return f"0BW2231TARN00{number:04d}"


def serial(number: int, position: str) -> str:
    """The serial number of the system at a position."""
    return f"{number:04d}{position}"


def ticket(number: int, subject: str = "p1") -> str:
    """The text of a ticket's code."""
    return f"sillmark:AMB-{number:04d}:{subject}:{nonce(number, subject)}"


def snap(
    path: Path,
    seed: int,
    codes: Sequence[str] = (),
    taken: datetime | None = None,
    camera: tuple[str, str] = CAMERA,
    *,
    large: bool = False,
) -> Path:
    """Write a JPEG of 960 x 480 pixels: patches of grey of their own, codes on white in a row, claims of a camera.

    With ``large`` it has 12 million pixels, as a phone's has.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    greys = random.Random(seed)  # noqa: S311 - a picture, no secret
    patches = Image.frombytes("L", (17, 16), bytes(greys.randrange(40, 216) for _ in range(17 * 16)))
    picture = patches.resize((960, 480), Image.Resampling.BICUBIC).convert("RGB")
    for index, text in enumerate(codes):
        drawn = BytesIO()
        segno.make(text, micro=False, error="m").save(drawn, kind="png", scale=5, border=4)
        picture.paste(Image.open(drawn).convert("RGB"), (20 + index * CODE_EVERY, 60))
    if large:
        picture = picture.resize((4000, 3000))
    picture.save(path, "JPEG", quality=88, exif=_claims(taken, camera) if taken else Image.Exif())
    return path


def stamped(jpeg: bytes, taken: datetime) -> bytes:
    """The same picture with claims of a camera in front, no pixel decoded."""
    claims = _claims(taken, CAMERA).tobytes()
    return jpeg[:2] + b"\xff\xe1" + (len(claims) + 2).to_bytes(2, "big") + claims + jpeg[2:]


def _claims(taken: datetime, camera: tuple[str, str]) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = camera
    exif.get_ifd(0x8769)[0x9003] = taken.strftime("%Y:%m:%d %H:%M:%S")
    return exif


def job_folder(started: Path, target: Path, number: int) -> Path:
    """A job folder as ``start`` makes it, with the numbers and tickets of ``record(number)``."""
    wanted = record(number)
    folder = Path(shutil.copytree(started, target / wanted.id))
    path = folder / "job.yaml"
    text = path.read_text(encoding="utf-8")
    for pattern, new in (
        (r"(?m)^id: .*", f"id: {wanted.id}"),
        (r"(?m)^  build: .*", f"  build: {build(number)}"),
        (r"(?m)^  vin: .*", f"  vin: {vin(number)}"),
        (r"(?m)^      serial: \{.*", f"      serial: {serial(number, 'p1')}"),
        (r"subject: vehicle, nonce: \S+}", f"subject: vehicle, nonce: {nonce(number, 'vehicle')}}}"),
        (r"subject: p1, nonce: \S+}", f"subject: p1, nonce: {nonce(number, 'p1')}}}"),
        (
            r"(?m)^      approved_models:.*",
            rf"\g<0>\n      delivered_with: [{{model: Heron Carrier, serial: HC-{number:04d}p1}}]",
        ),
    ):
        text, count = re.subn(pattern, new, text)
        assert count == 1, pattern
    path.write_text(text, encoding="utf-8")
    return folder
