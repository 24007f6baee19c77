"""A confirmation put into the criterion that it confirms."""

from collections.abc import Iterable
from typing import Any

from evidence.model.criterion import Covers, Criterion
from evidence.model.names import Mark
from evidence.model.pack import Confirmation, Replacement


def replaced(replacement: Replacement) -> dict[str, Any]:
    """What a confirmation replaces, as a file would say it, without what it takes away."""
    return {field: value for field, value in replacement.document().items() if field != "without"}


def taken_away(replacement: Replacement) -> tuple[str, ...]:
    """Limits that the user's copy does not give."""
    return tuple(replacement.without or ())


def fits(criterion: Criterion, field: str) -> bool:
    """Whether the criterion has such a limit at all."""
    if isinstance(criterion, Covers) and field == "allowed":
        return stated_claim(criterion) is not None
    return field in type(criterion).model_fields


def stated_claim(criterion: Covers) -> str | None:
    """The one claim whose values a ``covers`` lists; None where it lists none, or those of several claims."""
    claims = {row.claim.value for row in criterion.fields if row.how == "one-of"}
    return claims.pop() if len(claims) == 1 else None


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
    if isinstance(criterion, Covers) and changes:
        changes = {"fields": _rows(criterion, changes.get("fields"), changes.get("allowed"))}
    document = {**criterion.document(), **changes, **limit, "mark": mark.value}
    for field in taken_away(confirmation.replaces):
        document.pop(field, None)
    return type(criterion).read(document)


def _rows(
    criterion: Covers, claims: Iterable[str] | None, values: Iterable[str] | None
) -> list[dict[str, Any]]:
    """Rows of the coverage argument as confirmed; how a claim is compared stays the pack's own."""
    rows = [row.document() for row in criterion.fields]
    listed = [row for row in rows if row["how"] == "one-of"]
    compared = [row for row in rows if row["how"] != "one-of"]
    if claims is not None:
        known = {row["claim"]: row for row in reversed(compared)}
        named = {row["claim"] for row in listed}
        compared = [
            known.get(claim, {"claim": claim, "how": "stated"})
            for claim in dict.fromkeys(claims)
            if claim in known or claim not in named
        ]
    if values is not None:
        claim = stated_claim(criterion)
        listed = [_row_of(value, listed) or _row(claim, value) for value in values]
        listed = [row for index, row in enumerate(listed) if row not in listed[:index]]
    return [*compared, *listed]


def _row_of(value: str, rows: Iterable[dict[str, Any]]) -> dict[str, Any] | None:
    """The pack's row that takes the value, with the other spellings that it takes too."""
    wanted = value.casefold()
    return next((row for row in rows if wanted in {each.casefold() for each in row["values"]}), None)


def _row(claim: str | None, value: str) -> dict[str, Any]:
    return {"claim": claim, "how": "one-of", "values": [value]}
