"""What can go wrong, as few classes and many codes.

SillmarkError
├── UsageError        exit 2   the command was asked for something it does not do
├── InputError        exit 3   input cannot be read; carries every Problem found
│   └── HostileInputError      a reader gave up on a file that behaves like an attack
├── IntegrityError    exit 4   sealed bytes are not what was sealed
│   └── NoBundleError          there is nothing that was sealed
└── MissingToolError  exit 5   a needed program or optional extra is absent

A requirement that is not met is a result, never an exception.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import IntEnum


class ExitCode(IntEnum):
    """What the process tells its caller."""

    CLEAR = 0
    OPEN = 1
    USAGE = 2
    UNREADABLE = 3
    NOT_VERIFIED = 4
    TOOL_MISSING = 5
    INTERRUPTED = 130  # 128 and the number of the interrupt signal, as shells say it


def decodable(text: str) -> str:
    r"""Text without half characters: a byte of a file name that is no UTF-8 becomes ``\xff``."""
    try:
        raw = text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:  # halves that no file name left behind
        raw = text.encode("utf-8", "backslashreplace")
    return raw.decode("utf-8", "backslashreplace")


def printable(text: str) -> str:
    """Foreign text for one line of a terminal: commands hidden in it are shown, not obeyed."""
    return "".join(
        each if each.isprintable() else each.encode("unicode_escape").decode() for each in decodable(text)
    )


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input, as a code and its parameters; phrases turn it into words.

    Attributes:
        code: lower-kebab code, listed in ``phrases``.
        where: the place a person can open: ``job.yaml:41:7``, ``photos/E003.jpg``, ``document.pdf p. 3``.
        pointer: JSON pointer of the field, or empty.
        parameters: text values for the sentence; never a sentence.
    """

    code: str
    where: str
    pointer: str = ""
    parameters: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Names of files may hold bytes that are no text; a Problem holds text only."""
        object.__setattr__(self, "where", printable(self.where))
        object.__setattr__(self, "parameters", {name: _text(each) for name, each in self.parameters.items()})

    def order(self) -> tuple[str, list[tuple[int, str]], str, str]:
        """Sort key: file first, then line and column as numbers."""
        parts = self.where.split(":")
        numbers = [(int(part), "") if part.isascii() and part.isdigit() else (0, part) for part in parts[1:]]
        return parts[0], numbers, self.pointer, self.code


def _text(value: str) -> str:
    return decodable(value) if isinstance(value, str) else value


class SillmarkError(Exception):
    """Root of every error that the package raises on purpose.

    Attributes:
        exit_code: what the command exits with.
        hint: key of the sentence that says what to do next.
    """

    exit_code = ExitCode.UNREADABLE
    hint = "hint-general"

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(problems, key=Problem.order))
        super().__init__("; ".join(f"{problem.where}: {problem.code}" for problem in self.problems))

    def __reduce__(self) -> tuple[type["SillmarkError"], tuple[tuple[Problem, ...]]]:
        """Errors travel between processes with their problems, not with their message."""
        return type(self), (self.problems,)

    @classmethod
    def one(cls, code: str, where: str, pointer: str = "", **parameters: str) -> "SillmarkError":
        """Build the error around a single problem."""
        return cls((Problem(code, where, pointer, parameters),))


class UsageError(SillmarkError):
    """The command was asked for something it does not do."""

    exit_code = ExitCode.USAGE
    hint = "hint-usage"


class InputError(SillmarkError):
    """Input cannot be read; every problem found so far is in ``problems``."""

    exit_code = ExitCode.UNREADABLE
    hint = "hint-input"


class HostileInputError(InputError):
    """A reader gave up: the file asks for more time, memory or depth than any honest one."""

    hint = "hint-hostile"


class IntegrityError(SillmarkError):
    """Sealed bytes are not what was sealed."""

    exit_code = ExitCode.NOT_VERIFIED
    hint = "hint-integrity"


class NoBundleError(IntegrityError):
    """There is nothing here that could be verified."""

    hint = "hint-no-bundle"


class MissingToolError(SillmarkError):
    """A needed program or optional extra is absent."""

    exit_code = ExitCode.TOOL_MISSING
    hint = "hint-tool"
