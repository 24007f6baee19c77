"""``verify --json``: what a verifier found, step by step, and its one bottom line."""

from typing import Annotated, Any, Final, Literal

from pydantic import Field, StringConstraints

from evidence.model._base import Model, Sha256, Slug, text_of

VERDICT_FORMAT: Final = "sillmark-verdict/0"
MAX_FINDINGS = 100_000  # problems of one step; every file of a bag can have a few

_Code = Annotated[str, *text_of(r"[A-Z][A-Z0-9_]{1,39}", "verdict-code")]
_Text = Annotated[str, StringConstraints(max_length=10_000)]


class VerdictProblem(Model):
    """One thing that a step found.

    Attributes:
        code: the verdict's constant.
        severity: a notice does not make the bundle wrong.
        where: file inside the bundle, or empty for the bundle itself.
        pointer: JSON pointer of the field, or empty.
        parameters: what the sentence names.
        text: the plain sentence.
        hint: what to do next.
    """

    code: _Code
    severity: Literal["problem", "notice"]
    where: _Text
    pointer: _Text
    parameters: dict[str, _Text]
    text: _Text
    hint: _Text


class VerdictStep(Model):
    """One numbered step of the procedure."""

    n: Annotated[int, Field(ge=1, le=99)]
    name: Slug
    state: Literal["passed", "failed", "skipped", "not asked"]
    problems: Annotated[tuple[VerdictProblem, ...], Field(max_length=MAX_FINDINGS)] = ()


class Verdict(Model):
    """The whole answer for one bundle.

    Attributes:
        bundle: the folder as the caller named it.
        steps: all steps in order, also those that were not reached.
        key: id of the key that the bundle carries, where it could be read.
        bottom_line: one constant.
        exit: exit code that this bundle alone would give.
    """

    format: Literal["sillmark-verdict/0"]
    bundle: _Text
    steps: Annotated[tuple[VerdictStep, ...], Field(min_length=1, max_length=99)]
    key: Sha256 | None
    bottom_line: _Code
    exit: Annotated[int, Field(ge=0, le=5)]

    def document(self, *, nulls: bool = True) -> dict[str, Any]:
        """The answer as JSON values; an unread key stands there as null."""
        return super().document(nulls=nulls)
