"""What papers claim of a test beside what its channels give: pure, from the record and the stored numbers alone."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from evidence.labtests import apart, claim_names
from evidence.model.names import ClaimName
from evidence.model.record import Claim, Document, JobRecord, LabTest
from evidence.model.result import LabResult
from evidence.quantity import UNITS, Quantity, decimal_text

_DIGITS = 4  # significant ones of what may lie between, which nobody needs nearer


@dataclass(frozen=True)
class Agreement:
    """One claimed value beside one recomputed number; both are sizes, whichever way a channel points.

    Attributes:
        document: id of the paper.
        claim: name of the claim.
        number: its place among the paper's claims, from 1.
        page: where it stands.
        test: id of the test.
        result: the number; its value keeps the channel's sign and its own unit.
        claimed: as transcribed.
        state: ``agrees`` or ``differs``; ``doubtful`` where the number has doubts; ``not-computed``.
        away, allowed: how far the two lie apart, and how far they may, in the base unit of the claim's dimension.
        stated: whether the record states an uncertainty of the channel; else 2 % were allowed, which is common practice.
    """

    document: str
    claim: ClaimName
    number: int
    page: int | None
    test: str
    result: LabResult
    claimed: Quantity
    state: Literal["agrees", "differs", "doubtful", "not-computed"]
    away: Fraction = Fraction(0)
    allowed: Fraction = Fraction(0)
    stated: bool = False

    @property
    def recomputed(self) -> dict[str, str]:
        """The number as a size, in its own unit."""
        return {"unit": self.result.unit or "", "value": (self.result.value or "").removeprefix("-")}

    @property
    def allowed_in_unit(self) -> dict[str, str]:
        """How far the two may lie apart, in the claim's unit."""
        value = float(self.allowed / self.claimed.unit.factor)
        short = decimal_text(Fraction(f"{value:.{_DIGITS}g}"))
        return {"unit": self.claimed.unit.symbol, "value": short}


def agreements(record: JobRecord, results: Mapping[tuple[str, str], LabResult]) -> tuple[Agreement, ...]:
    """Every legible claim of a number of a test beside that number, by paper, place of the claim, and test.

    Args:
        record: tests and papers.
        results: by what asked and test, as ``Case.results``; of a manifest ``{(r.asked, r.test): r for r in results}``.
    """
    return tuple(
        _agreement(document, number, claim, result)
        for document in sorted(record.documents, key=lambda one: one.id)
        for number, claim in enumerate(document.claims, start=1)
        for test in about(document, claim.name, record)
        if claim.quantity is not None
        if (result := results.get((f"{document.id}/{claim.name.value}", test.id))) is not None
    )


def about(document: Document, name: ClaimName, record: JobRecord) -> tuple[LabTest, ...]:
    """Tests of a paper that a claim of that name can speak of, by id."""
    found = (test for test in record.tests if test.paper == document.id and name in claim_names(test))
    return tuple(sorted(found, key=lambda test: test.id))


def _agreement(document: Document, number: int, claim: Claim, result: LabResult) -> Agreement:
    claimed = claim.quantity
    if claimed is None:
        raise TypeError(document.id)
    place = (document.id, claim.name, number, claim.page, result.test, result, claimed)
    if result.state != "computed" or (result.unit or "", claimed.unit.dimension) not in UNITS:
        return Agreement(*place, "not-computed")
    away, allowed = apart(result, claimed)
    stated = result.expanded_uncertainty is not None
    if result.doubts:
        return Agreement(*place, "doubtful", away, allowed, stated)
    return Agreement(*place, "agrees" if away <= allowed else "differs", away, allowed, stated)
