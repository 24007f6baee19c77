"""Ask for numbers twice on a terminal, or on any input, without showing what is expected."""

import sys
from typing import Any

import click

from evidence.cli._tell import to_stderr
from evidence.errors import InputError, Problem, SillmarkError, printable
from evidence.model.names import ClaimName
from evidence.phrases import hint, say
from evidence.register import asking
from evidence.register.asking import Question

MAX_TRIES = 3
MAX_LINE = 4096  # characters read of one line; what is longer is cut and then refused
_WORDS = "?"


def asked_twice(question: Question) -> Any:
    """The answer to a question, once two typings of it agree; None where the copy gives none.

    Raises:
        InputError: input-ended, or typed-too-often.
    """
    for _ in range(MAX_TRIES):
        first, second = _answer(question, "ask-first"), _answer(question, "ask-again")
        if asking.same(question, first, second):
            return first
        _complain(InputError.one("typed-differs", "entry"))
    raise InputError.one("typed-too-often", "entry")


def _answer(question: Question, frame: str) -> Any:
    for _ in range(MAX_TRIES):
        try:
            return _several(question, frame) if question.several else _one(question, frame, 1)
        except InputError as error:
            if error.problems[0].code in ("input-ended", "typed-too-often"):
                raise
            _complain(error)
    raise InputError.one("typed-too-often", "entry")


def _several(question: Question, frame: str) -> Any:
    entries: list[Any] = []
    while len(entries) < asking.MAX_ENTRIES:
        answer = _entry(question, frame, len(entries) + 1)
        if answer is None and not entries:
            return None
        if answer in (None, asking.END):
            asking.complete(question, entries)
            return entries
        entries.append(answer)
    raise InputError.one("typed-too-many", "entry", limit=str(asking.MAX_ENTRIES))


def _entry(question: Question, frame: str, number: int) -> Any:
    """One entry of a list: a slip in it is told at once and costs this entry alone."""
    for _ in range(MAX_TRIES):
        try:
            return _one(question, frame, number)
        except InputError as error:
            if error.problems[0].code == "input-ended":
                raise
            _complain(error)
    raise InputError.one("typed-too-often", "entry")


def _one(question: Question, frame: str, number: int) -> Any:
    text = _line(question, frame, number)
    while text == _WORDS and question.field == "fields":
        to_stderr("  " + ", ".join(sorted(ClaimName)))
        text = _line(question, frame, number)
    if text.casefold() == asking.NONE and question.optional:
        return None
    if text.casefold() == asking.END and question.several:
        return asking.END
    return asking.read_entry(question, text)


def _line(question: Question, frame: str, number: int) -> str:
    x_unit, y_unit = question.units
    parameters = {"number": str(number), "x_unit": x_unit, "y_unit": y_unit}
    parameters |= {"fact": question.of, "kind": question.of}
    words = say(f"ask-{question.field.replace('_', '-')}{'-next' if number > 1 else ''}", parameters)
    click.echo(printable(say(frame, {"question": words})), nl=False, err=True)
    try:
        text = sys.stdin.readline(MAX_LINE)
    except UnicodeDecodeError as error:
        raise InputError.one("typed-not-text", "entry") from error
    if not text:
        click.echo("", err=True)
        raise InputError.one("input-ended", "entry")
    return text.strip()


def _complain(error: SillmarkError) -> None:
    """Where it stands is plain: what was just typed."""
    problem: Problem = error.problems[0]
    for line in (say(problem.code, problem.parameters), hint(problem.code)):
        if line:
            to_stderr(f"  {line}")
