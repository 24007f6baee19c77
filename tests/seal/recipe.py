"""Runs VERIFY.txt as a person would: types each command line as it stands and looks at what is printed."""

import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

TOOLS = ("bash", "openssl", "sha256sum", "find", "grep", "cmp", "pdfdetach")
MISSING = ", ".join(tool for tool in TOOLS if shutil.which(tool) is None)
REASON = f"not installed: {MISSING}"
TIME_LIMIT = 20  # seconds for one line; a FIFO would wait for ever


@dataclass(frozen=True)
class Line:
    """A command line with what the text above it promises."""

    command: str
    promise: str


def lines(text: str) -> tuple[Line, ...]:
    """The command lines of a recipe, each with the nearest promise above it."""
    found: list[Line] = []
    promise = ""
    for paragraph in text.split("\n\n"):
        if paragraph.startswith("    "):
            found.append(Line(paragraph.strip(), promise))
        elif "rints" in paragraph:
            promise = " ".join(paragraph.split())
    return tuple(found)


def _kept(line: Line, printed: str, key: str) -> bool:
    if "what this line prints" in line.promise:
        return printed.split()[:1] == [key]
    word = re.search(r'Prints (?:"([^"]+)"|([0-9]+)):', line.promise)
    if word is not None:
        return printed.strip() == (word[1] or word[2])
    assert "rints nothing" in line.promise, line
    return printed == ""


def first_failure(folder: Path, text: str, key: str) -> str | None:
    """The first line that does not print what is promised, with its output; None where all do.

    Args:
        folder: the bundle.
        text: the recipe, from a copy that the reader has from elsewhere.
        key: the signer's key id, which the reader has by another way.
    """
    for line in lines(text):
        done = subprocess.run(
            ["bash", "-c", line.command],
            cwd=folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            timeout=TIME_LIMIT,
            check=False,
            env={"PATH": os.environ["PATH"], "LC_ALL": "C"},
        )
        printed = done.stdout.decode("utf-8", "replace")
        if not _kept(line, printed, key):
            return f"{line.command}\n{printed}"
    return None
