"""Figures of one channel beside the limits of packs that ship: compared, and never more than that.

Limits that nobody has confirmed from their own copy decide nothing, and whether the test was the right one is not asked,
so no word of a verdict stands here.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from evidence import library
from evidence.errors import InputError, UsageError
from evidence.exhibits.channels import Channel
from evidence.jsondoc import Json
from evidence.labtests import asked_of, wanted
from evidence.measure import figures, pulse
from evidence.measure.figures import Asked, Found, kept
from evidence.model.criterion import Criterion, Inside, Processing, Within
from evidence.model.finding import Reason
from evidence.model.names import LabKind
from evidence.phrases import say
from evidence.quantity import UNITS
from evidence.register.packs import RequirementId, criteria_of

SHOWN = 6  # significant digits for people
Line = list[tuple[float, float]]


@dataclass(frozen=True)
class Against:
    """One channel beside one criterion.

    Attributes:
        requirement: id of the criterion.
        criterion: asks a figure of a dynamic test.
        channel, sign: what was looked at, and whether it was turned.
        curve: as processed for it; None where nothing was computed.
        found: the number; None where nothing was computed.
        reason: why not.
        doubts: codes of what leaves any comparison open.
        notices: codes of what to know.
    """

    requirement: str
    criterion: Inside | Within
    channel: str
    sign: str
    curve: pulse.Curve | None = None
    found: Found | None = None
    reason: Reason | None = None
    doubts: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()

    @property
    def inside(self) -> bool | None:
        """Whether the number lies inside the limits; None where there is none, or it is in doubt."""
        if self.found is None or self.doubts:
            return None
        value = Fraction(self.value)
        if isinstance(self.criterion, Inside):
            return value >= 0
        criterion = self.criterion
        low, high = criterion.bound(criterion.low), criterion.bound(criterion.high)
        bounds = [bound for bound in (low, high) if bound is not None]
        signed = any(bound.base < 0 for bound in bounds)
        base = (value if signed else abs(value)) * UNITS[self.found.unit, criterion.dimension].factor
        if not bounds:
            return None
        return (low is None or base >= low.base) and (high is None or base <= high.base)

    @property
    def value(self) -> str:
        """The number as it is kept."""
        return "" if self.found is None else kept(self.found.value, None, self.found.scale)

    def document(self) -> dict[str, Json]:
        """As ``pulse --json`` prints it."""
        found, criterion = self.found, self.criterion
        limits = {} if isinstance(criterion, Inside) else {"low": criterion.low, "high": criterion.high}
        quantity = "corridor" if isinstance(criterion, Inside) else criterion.quantity.partition(".")[2]
        return {
            "requirement": self.requirement,
            "quantity": quantity,
            "direction": criterion.direction.value if criterion.direction else None,
            "processing": (criterion.processing or Processing()).document(),
            "channel": self.channel,
            "sign": self.sign,
            **limits,
            "value": self.value if found is not None else None,
            "unit": found.unit if found is not None else None,
            "begin_s": pulse.moment(found.span.begin_s) if found is not None and found.span else None,
            "end_s": pulse.moment(found.span.end_s) if found is not None and found.span else None,
            "bound": found.bound if found is not None else None,
            "inside_limits": self.inside,
            "limits_confirmed": False,
            "mark": criterion.mark.value,
            "reason": self.reason.code if self.reason is not None else None,
            "doubts": list(self.doubts),
            "notices": list(self.notices),
        }

    def lines(self) -> list[str]:
        """For people; what leaves it open stands below it."""
        title = (self.criterion.title or {}).get("en", self.requirement)
        found = self.found
        if found is None:
            code = self.reason.code if self.reason is not None else "limit-not-held"
            parameters = self.reason.parameters if self.reason is not None else {}
            return [f"{title}: {say(code, parameters)}"]
        span = found.span
        number = {"value": pulse.decimal(found.value, SHOWN), "unit": found.unit, "begin": "", "end": ""}
        if span is not None:
            number |= {"begin": pulse.moment(span.begin_s), "end": pulse.moment(span.end_s)}
        lines = [f"{title}: {self._compared(number)}"]
        lines += [f"    {say('pulse-against-doubt', {'cause': code})}" for code in self.doubts]
        if figures.LEVEL_BELOW in self.notices:
            lines.append(f"    {say(figures.LEVEL_BELOW)}")
        return lines

    def _compared(self, number: dict[str, str]) -> str:
        told = {True: "in", False: "out", None: "open"}[self.inside]
        if isinstance(self.criterion, Inside):
            side = self.found.bound if self.found is not None and self.found.bound else "upper"
            return say(f"pulse-against-corridor-{told}", {**number, "side": say(f"pulse-side-{side}")})
        limits = [text for text in (self.criterion.low, self.criterion.high) if text is not None]
        return say(f"pulse-against-limits-{told}", {**number, "limits": " / ".join(limits)})


def against(references: Sequence[str], channel: Channel, sign: str) -> list[Against]:
    """The channel beside every figure of a dynamic test that the packs ask for, in their order.

    Raises:
        UsageError: pulse-pack-unknown, or pulse-pack-without-tests where a pack asks none.
    """
    found: list[Against] = []
    curves: dict[pulse.Recipe, pulse.Curve] = {}
    for reference in references:
        pack = library.shipped(reference)
        if pack is None:
            expected = ", ".join(library.shipped_references())
            raise UsageError.one("pulse-pack-unknown", "--against", found=reference, expected=expected)
        asked = list(_asked(criteria_of({reference: pack.text.pack})))
        if not asked:
            raise UsageError.one("pulse-pack-without-tests", "--against", found=reference)
        found += [
            _one(str(requirement), criterion, channel, sign, curves) for requirement, criterion in asked
        ]
    return found


def _asked(
    criteria: Iterator[tuple[RequirementId, object, Criterion]],
) -> Iterator[tuple[RequirementId, Inside | Within]]:
    for requirement, _, criterion in criteria:
        asks = wanted(criterion)
        if asks is not None and asks.kind == LabKind.DYNAMIC and isinstance(criterion, Inside | Within):
            yield requirement, criterion


def _one(
    requirement: str,
    criterion: Inside | Within,
    channel: Channel,
    sign: str,
    curves: dict[pulse.Recipe, pulse.Curve],
) -> Against:
    bare = (requirement, criterion, channel.name, sign)
    asked = asked_of(criterion)
    if asked is None or criterion.limit == "not-held":
        return Against(*bare)
    try:
        curve, found = _figure(channel, sign, asked, curves)
    except InputError as error:
        problem = error.problems[0]
        return Against(*bare, reason=Reason(code=problem.code, parameters=dict(problem.parameters)))
    near = {"figure-near-end"} if found.near_end else set()
    doubts = tuple(sorted({*curve.doubts, *found.doubts, *near}))
    notices = tuple(sorted({*curve.notices, *found.notices} - set(doubts)))
    return Against(*bare, curve, found, doubts=doubts, notices=notices)


def _figure(
    channel: Channel, sign: str, asked: Asked, curves: dict[pulse.Recipe, pulse.Curve]
) -> tuple[pulse.Curve, Found]:
    recipe = figures.recipe_of(asked.processing)
    if recipe not in curves:
        curve = pulse.processed(channel, recipe)
        curves[recipe] = pulse.turned(curve) if sign == "reversed" else curve
    return curves[recipe], figures.figure(curves[recipe], asked)


def corridor(found: Sequence[Against]) -> tuple[pulse.Curve, Line, Line] | None:
    """The first corridor that a curve was held against: curve, upper and lower line in ms and the curve's unit."""
    for one in found:
        criterion, curve = one.criterion, one.curve
        if isinstance(criterion, Inside) and curve is not None and curve.dimension is not None:
            factor = UNITS[criterion.y_unit, curve.dimension].factor / curve.factor
            upper, lower = (
                [(float(Fraction(point.x) * 1000), float(Fraction(point.y) * factor)) for point in points]
                for points in (criterion.upper, criterion.lower)
            )
            return curve, upper, lower
    return None
