"""Channel sets made on the spot, as a laboratory would write them, with one thing changed."""

import io
import math
import zipfile
from collections.abc import Mapping, Sequence

# published: example headers of public test houses name these keys; the values are made up
SLED = "S0SLED000000ACX0"
BELT = "S0SEBE0000B3FO00"
CLOCK = "S0TIRS000000TI00"
HEADER = {
    "Data format edition number": "1.6",
    "Laboratory name": "Demonstration laboratory",
    "Laboratory contact phone": "NOVALUE",
    "Title": "Side pulse, demonstration",
    "Type of the test": "Sled",
}


def sine(peak: float, samples: int = 1201, *, first: int = 200, width: int = 800) -> list[str]:
    """Half a sine as printed samples, quiet before and after."""
    inside = (peak * math.sin(math.pi * (at - first) / width) for at in range(first, first + width + 1))
    quiet = ["0.000000"] * first
    return [*quiet, *(f"{value:.6f}" for value in inside), *["0.000000"] * (samples - first - width - 1)]


def lines(fields: Mapping[str, str | None]) -> list[str]:
    """Header lines, keys padded to 28 characters."""
    return [f"{key:<28}:{value}" for key, value in fields.items() if value is not None]


def channel(
    samples: Sequence[str], *, unit: str | None = "m/(s*s)", code: str | None = SLED, **changed: str | None
) -> bytes:
    """A channel file; a key given as ``Sampling_interval`` is changed, with None left out."""
    numbers = [float(sample) for sample in samples if sample not in ("NOVALUE", "")]
    great, small, code = max(numbers), min(numbers), code or ""
    fields: dict[str, str | None] = {
        "Test object number": "1",
        "Name of the channel": "Sled acceleration",
        "Channel code": code,
        "Direction": code[14] if len(code) == 16 else "NOVALUE",
        "Channel frequency class": "NOVALUE",
        "Cut off frequency": "NOVALUE",
        "Reference channel": "implicit",
        "Sampling interval": "0.0001",
        "Unit": unit,
        "Time of first sample": "-0.02",
        "Number of samples": str(len(samples)),
        "First global maximum value": f"{great:.6E}",
        "Time of maximum value": f"{-0.02 + 0.0001 * numbers.index(great):.6E}",
        "First global minimum value": f"{small:.6E}",
        "Time of minimum value": f"{-0.02 + 0.0001 * numbers.index(small):.6E}",
        "Dimension": code[12:14],
    }
    fields |= {key.replace("_", " "): value for key, value in changed.items()}
    return ("\r\n".join([*lines(fields), *samples]) + "\r\n").encode("cp1252")


def listing(*codes: str, count: int | None = None) -> bytes:
    """The list of channels."""
    fields = {
        "Instrumentation standard": "SAE J211",
        "Number of channels": str(len(codes) if count is None else count),
    }
    fields |= {f"Name of channel {at:03d}": f"{code} / channel {at}" for at, code in enumerate(codes, 1)}
    return "\r\n".join(lines(fields)).encode("ascii")


def sled_set(*channels: bytes, codes: Sequence[str] | None = None) -> list[tuple[str, bytes]]:
    """A whole set; the first channel has the code ``SLED`` unless codes are given."""
    wanted = codes if codes is not None else [SLED, BELT, CLOCK][: len(channels)]
    return [
        ("T1/T1.mme", "\r\n".join(lines(HEADER)).encode("ascii")),
        ("T1/Channel/T1.chn", listing(*wanted)),
        *((f"T1/Channel/T1.{at:03d}", data) for at, data in enumerate(channels, 1)),
        ("T1/Movie/T1.avi", b"\x00film"),
        ("T1/Document/read me.txt", b"12.5"),
    ]


def zipped(members: Sequence[tuple[str, bytes]], *, stored: bool = False) -> bytes:
    """A zip of these files."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED) as archive:
        for name, data in members:
            archive.writestr(zipfile.ZipInfo(name), data, None if stored else zipfile.ZIP_DEFLATED)
    return target.getvalue()
