"""Open findings as things to do: each said once, with every place and demand that it concerns."""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from evidence.model.check import ToldFinding
from evidence.model.finding import Part, Reason
from evidence.naming import Naming
from evidence.phrases import say

AGAIN = "reopened"
_SETTLED = ("met", "not applicable")
_COMPARED = 2  # steps that a part of an order is about


@dataclass(frozen=True)
class Item:
    """One demand that a point concerns.

    Attributes:
        title: what is asked.
        key: requirement, contradiction id, or place in the record.
        again: what has to be done again for it; empty where nothing was redone.
    """

    title: str
    key: str
    again: str = ""

    @property
    def label(self) -> str:
        """The title, with what has to be done again in brackets."""
        return f"{self.title} ({self.again})" if self.again else self.title


@dataclass(frozen=True)
class OpenPoint:
    """One thing to do.

    Attributes:
        outcome: of the finding; ``contradiction`` or ``to come`` where it is none.
        places: subjects: ``vehicle``, a position, a screw group ...
        items: at least one.
        text: why it is open; empty where the parts say it.
        parts: a line for each piece of a finding that asks several things.
        redone: what was done again, where that alone makes the point open.
    """

    outcome: str
    places: tuple[str, ...]
    items: tuple[Item, ...]
    text: str
    parts: tuple[str, ...] = ()
    redone: str = ""


def point_of(finding: ToldFinding, naming: Naming) -> OpenPoint:
    """What an open finding says, in words that name the record's entries."""
    bad = [part for part in finding.parts if part.outcome.value not in _SETTLED]
    steps = _steps_open(bad, naming.language)
    parts = _parts(bad, finding.subject, naming) if len(bad) > 1 and not steps else []
    text = steps or _why(finding.reason, naming)
    if any(line.text == text for line in parts):
        text = ""  # the parts say it, each with what it is about
    elif len(bad) == 1 and bad[0].name.rpartition(".")[2].isdigit():
        text = say("screw-alone", {"number": bad[0].name.rpartition(".")[2], "text": text}, naming.language)
    reopened = finding.reason.code == AGAIN and not parts
    again = str(finding.reason.parameters["step"]).replace("-", " ") if reopened else ""
    return OpenPoint(
        _outcome(finding, naming.language),
        (finding.subject,),
        (Item(finding.title, finding.requirement, again),),
        text,
        tuple(line.told for line in parts),
        str(finding.reason.parameters["redone"]) if reopened else "",
    )


def merged(points: Iterable[OpenPoint], language: str) -> list[OpenPoint]:
    """Points that say the same: of one demand at several places, and of several demands at one place.

    The order is that of the first of each.
    """
    by_place = _grouped(points, lambda each: (each.outcome, each.items, each.text, each.parts))
    joined = [
        replace(group[0], places=tuple(dict.fromkeys(place for each in group for place in each.places)))
        for group in by_place
    ]
    by_demand = _grouped(
        joined,
        lambda each: (each.outcome, each.places, each.redone or each.text, bool(each.redone), each.parts),
    )
    return [_together(group, language) for group in by_demand]


def _grouped(points: Iterable[OpenPoint], key: Callable[[OpenPoint], Hashable]) -> list[list[OpenPoint]]:
    groups: dict[Hashable, list[OpenPoint]] = {}
    for point in points:
        groups.setdefault(key(point), []).append(point)
    return list(groups.values())


def _together(group: Sequence[OpenPoint], language: str) -> OpenPoint:
    first = group[0]
    if len(group) == 1:
        # alone, its sentence names what has to be done again
        return replace(first, items=tuple(replace(item, again="") for item in first.items))
    items = tuple(dict.fromkeys(item for point in group for item in point.items))
    text = say("reopened-several", {"redone": first.redone}, language) if first.redone else first.text
    return replace(first, items=items, text=text)


def _outcome(finding: ToldFinding, language: str) -> str:
    """The outcome; where practice is only compared, with what the comparison would give."""
    shown = {"outcome": finding.outcome.value, "compared": finding.reason.parameters.get("compared", "")}
    told_why = _inner(finding.reason) is not None
    return say("practice-outcome", shown, language) if told_why else finding.outcome.value


def _why(reason: Reason, naming: Naming) -> str:
    """The sentence of a reason; where practice is only compared, of what the comparison found."""
    return naming.told(_inner(reason) or reason)


def _inner(reason: Reason) -> Reason | None:
    code = reason.parameters.get("compared_code")
    if reason.code != "practice-compared" or not isinstance(code, str):
        return None
    return Reason(code=code, parameters=reason.parameters)


@dataclass(frozen=True)
class _Line:
    names: tuple[str, ...]
    text: str

    @property
    def told(self) -> str:
        """Begins with a capital letter where it begins with words and not with an id."""
        names = ", ".join(self.names)
        if not names:
            return self.text
        return f"{names[:1].upper()}{names[1:]}: {self.text}" if " " in names else f"{names}: {self.text}"


def _parts(bad: Sequence[Part], subject: str, naming: Naming) -> list[_Line]:
    steps = {step.id: step.step for step in naming.record.steps}
    named: dict[str, list[str]] = {}
    for part in bad:
        called = _compared(part.name, steps, naming.language) or naming.part(part.name, subject)
        # what a paper says of a field is told with the field's name
        known = "claim" in part.reason.parameters
        named.setdefault(_why(part.reason, naming), []).append("" if known else called)
    return [
        _Line(tuple(name for name in dict.fromkeys(names) if name), text) for text, names in named.items()
    ]


def _steps_open(bad: Sequence[Part], language: str) -> str:
    """One sentence where all that is wrong is steps of one place that nobody recorded; else empty."""
    places = {str(part.reason.parameters.get("subject")) for part in bad}
    if (
        len(bad) < _COMPARED
        or len(places) != 1
        or {part.reason.code for part in bad} != {"step-not-recorded"}
    ):
        return ""
    names = [str(part.reason.parameters["step"]) for part in bad]
    return say("steps-not-recorded", {"step": list(dict.fromkeys(names)), "subject": places.pop()}, language)


def _compared(name: str, steps: Mapping[str, str], language: str) -> str:
    """A part by the names of the steps that it compares, its ids behind; empty where it compares none."""
    pieces = name.split("/")
    known = [steps[piece] for piece in pieces if piece in steps]
    if len(known) != _COMPARED:
        return ""
    code = "part-gap" if pieces[-1] == "gap" else "part-order"
    return say(code, {"before": known[0], "after": known[1], "ids": name.removesuffix("/gap")}, language)
