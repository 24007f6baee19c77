"""Page numbers of one document as text: ``1-3 5``, ascending, and an empty text for no page."""

from collections.abc import Iterable
from typing import Annotated

from pydantic import AfterValidator

from evidence.model._base import refuse, text_of

PAGES_PATTERN = r"(?:[1-9][0-9]{0,3}(?:-[1-9][0-9]{0,3})?(?: [1-9][0-9]{0,3}(?:-[1-9][0-9]{0,3})?){0,499})?"


def written(numbers: Iterable[int]) -> str:
    """Page numbers, each counted from 1, as text; the order and repeats of what is given do not matter."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return " ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)


def numbers(text: str) -> tuple[int, ...]:
    """The page numbers that a text names, ascending where the text has the one right form."""
    found: list[int] = []
    for run in text.split():
        first, _, last = run.partition("-")
        found += range(int(first), int(last or first) + 1)
    return tuple(found)


def _one_form(text: str) -> str:
    # one list of pages has one spelling, so that equal evidence gives equal bytes
    if written(numbers(text)) != text:
        raise refuse("pages-malformed", found=text[:60])
    return text


_MATCHES, _SCHEMA = text_of(PAGES_PATTERN, "pages-malformed")
PageNumbers = Annotated[str, _MATCHES, AfterValidator(_one_form), _SCHEMA]
"""Text of page numbers; see the module."""


def picture_name(exhibit: str, page: int) -> str:
    """What the picture of a page is called, without its ending; in a bundle it lies below ``data/derived/``."""
    return f"{exhibit}.page-{page}"


def annex_name(exhibit: str, page: int, *, redacted: bool = False) -> str:
    """The same for a whole page in the annex; of the redacted copy of a paper it is another picture."""
    return f"{exhibit}.redacted.annex-{page}" if redacted else f"{exhibit}.annex-{page}"
