"""Evidence files, bytes in and values out: one module per kind, named in ``KINDS``.

A kind is one file with a function ``answer(data, where) -> Answer`` and one entry here. Readers of hostile formats
are named, not imported: the program runs them in the guard's child process and takes only JSON and bytes back.
"""

from dataclasses import dataclass
from importlib import import_module
from typing import Any

from evidence.exhibits import sniff
from evidence.exhibits._answer import Answer, Reader

__all__ = [
    "GUARDED",
    "KINDS",
    "Answer",
    "Kind",
    "Reader",
    "call",
    "resolve",
]


@dataclass(frozen=True)
class Kind:
    """One kind of evidence.

    Attributes:
        name: of its reader.
        media_types: what content it is.
        target: ``module:function`` of its reader.
        guarded: whether the reader runs in the guard's child.
        item: kind of the item that it makes, as in ``Item.kind``, where that is another word than its name.
    """

    name: str
    media_types: tuple[str, ...]
    target: str
    guarded: bool
    item: str = ""

    @property
    def makes(self) -> str:
        """Kind of the item that it makes, as in ``Item.kind``."""
        return self.item or self.name


KINDS: tuple[Kind, ...] = (
    Kind("photo", (sniff.JPEG, sniff.PNG, sniff.HEIC), "evidence.exhibits.photo:answer", guarded=True),
    Kind("document", (sniff.PDF,), "evidence.exhibits.document:answer", guarded=True),
    Kind("table", (sniff.CSV,), "evidence.exhibits.table:answer", guarded=False),
    Kind(
        "workbook", (sniff.XLSX, sniff.ODS), "evidence.exhibits.workbook:answer", guarded=True, item="table"
    ),
    Kind("mme", (sniff.ZIP,), "evidence.exhibits.mme:answer", guarded=True, item="channels"),
)

GUARDED: dict[str, str] = {kind.name: kind.target for kind in KINDS if kind.guarded} | {
    "print-key": "evidence.picture:key_answer",
    "print-other": "evidence.picture:other_answer",
    "codes": "evidence.exhibits.codes:answer",
    "codes-expected": "evidence.exhibits.codes:expected_answer",
    "attachments": "evidence.exhibits.attachment:attachments_answer",
    "page-count": "evidence.exhibits.attachment:page_count_answer",
    "measure-view": "evidence.measure.answer:view_answer",
    "measure-position": "evidence.measure.answer:position_answer",
    "measure-found": "evidence.measure.answer:found_answer",
    "measure-overlay": "evidence.measure.answer:overlay_answer",
    "measure-window": "evidence.measure.indicator:answer",
}
"""Readers that the guard's child may run: name to ``module:function``."""


def call(name: str, data: bytes, where: str) -> Answer:
    """Run a reader by name in this process: for the guard's child, and for input that is trusted.

    Raises:
        InputError: what the reader found wrong with the bytes.
        KeyError: no reader of that name.
    """
    targets = GUARDED | {kind.name: kind.target for kind in KINDS}
    answer: Answer = resolve(targets[name])(data, where)
    return answer


def resolve(target: str) -> Any:
    """The function that ``module:function`` names."""
    module, _, function = target.partition(":")
    return getattr(import_module(module), function)
