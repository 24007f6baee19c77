"""A confirmation put into the criterion that it confirms."""

from typing import Any

from evidence.model.criterion import Criterion
from evidence.model.names import Mark
from evidence.model.pack import Confirmation, Replacement

NUMBERS = ("low", "high", "nominal", "at_least", "allowed", "upper", "lower")
"""Fields of a criterion that hold a limit; all but ``nominal`` can be replaced."""


def replaced(replacement: Replacement) -> dict[str, Any]:
    """What a confirmation replaces, as a file would say it."""
    return replacement.document()


def fits(criterion: Criterion, field: str) -> bool:
    """Whether the criterion has such a limit at all."""
    return field in type(criterion).model_fields


def confirmed(criterion: Criterion, confirmation: Confirmation, *, invented: bool) -> Criterion:
    """The criterion with the confirmed limits and the mark that then holds.

    Args:
        criterion: as its pack has it.
        confirmation: what a person read in their own copy, or invented for a demonstration.
        invented: the confirmation pack calls itself invented.

    Raises:
        pydantic.ValidationError: a replaced limit does not fit the criterion (unit, number).
    """
    mark = Mark.INVENTED if invented else Mark.CONFIRMED
    changes = replaced(confirmation.replaces)
    limit = {"limit": "held"} if changes else {}
    return type(criterion).read({**criterion.document(), **changes, **limit, "mark": mark.value})
