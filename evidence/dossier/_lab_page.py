"""What the pages of sled runs and of static pulls share: channels, values, what asks for a number, and remarks."""

from collections.abc import Iterator, Mapping, Sequence

from evidence import uncertainty
from evidence.dossier._blocks import Inline, joined, link, muted, new_line, plain, strong
from evidence.dossier._index import Index, finding_anchor, finding_label
from evidence.dossier._input import DossierInput
from evidence.dossier._titles import requirement_title
from evidence.dossier._words import Teller, capital, text
from evidence.model.criterion import Within
from evidence.model.finding import Finding, Reason
from evidence.model.record import LabChannel, LabTest
from evidence.model.result import LabResult

MINUS = "\u2212"
DIGITS = 4  # significant ones of a number that no uncertainty rules


class LabPage:
    """One test with its numbers."""

    def __init__(self, source: DossierInput, index: Index, tell: Teller, test: LabTest) -> None:
        self.source = source
        self.index = index
        self.tell = tell
        self.test = test
        self.results = [each for each in source.manifest.results if each.test == test.id]

    def channel(self, channel: LabChannel, named: str, more: Sequence[str] = ()) -> Inline:
        """Its name in the file, its sign, and what is known of its uncertainty.

        Args:
            channel: of the test.
            named: how the page calls it.
            more: what else stands between name and sign.
        """
        tell = self.tell
        turned = channel.sign == "reversed"
        sign = tell("pull-reversed" if turned else "pull-as-recorded")
        sure = tell("pull-uncertainty-none")
        if channel.uncertainty is not None:
            sure = tell("pull-uncertainty", share=short(float(channel.uncertainty.base) * 100))
        told = [plain("; ".join([named, *more]) + "; ")]
        return [*told, strong(sign) if turned else plain(sign), plain(f"; {sure}")]

    def value(self, result: LabResult) -> str:
        """The number with its uncertainty and unit, or that there is none."""
        value, spread = printed(result)
        if not value:
            return self.tell("pull-none")
        code = "pull-value-uncertain" if spread else "pull-value"
        return kept(self.tell(code, value=minus(value), spread=spread, unit=result.unit))

    def judged(self, result: LabResult) -> Inline:
        """What asks for the number, each with its outcome and a link to where it is judged."""
        index, tell = self.index, self.tell
        demand = index.demands[result.asked]
        found = [pair for pair in enumerate(index.findings) if self._uses(pair[1], result)]
        told = [
            [link(finding_anchor(number), f"{finding_label(number)} {requirement_title(finding, index, tell)}"),
             new_line(), *tell.outcome(finding.outcome)]
            for number, finding in found
        ]  # fmt: skip
        return joined(told, "\n") or text(tell.title(demand.criterion.title or demand.title))

    def _uses(self, finding: Finding, result: LabResult) -> bool:
        return finding.requirement == result.asked and self.test.id in finding.records

    def limits(self, criterion: Within) -> str:
        """The limits of a demand in words."""
        low, high = (
            None if bound is None else kept(str(bound))
            for bound in map(criterion.bound, (criterion.low, criterion.high))
        )
        if low is not None and high is not None:
            return self.tell("measured-limits-both", low=low, high=high)
        if low is not None:
            return self.tell("measured-limit-low", low=low)
        return self.tell("measured-limit-high", high=high) if high is not None else ""

    def remarks(
        self, names: Mapping[str, str] | None = None, known: frozenset[str] = frozenset()
    ) -> Iterator[Inline]:
        """Every reason, doubt and notice once, the worst first.

        Args:
            names: id of a result to what the page calls it, where a remark is to say which numbers it is of.
            known: codes of notices that the page tells elsewhere.
        """
        about: dict[str, list[str]] = {}
        told: dict[str, tuple[bool, Reason]] = {}
        for doubt, reason, result in self._reasons():
            if reason.code in known and not doubt:
                continue
            sentence = self.sentence(reason, result)
            told.setdefault(sentence, (doubt, reason))
            about.setdefault(sentence, []).append((names or {}).get(result.id, ""))
        for sentence, (doubt, reason) in told.items():
            lead = [strong(self.tell("pull-doubt") + " ")] if doubt else []
            advice = self.tell.advice(reason.code)
            of = ", ".join(dict.fromkeys(name for name in about[sentence] if name))
            whose = [muted(" " + self.tell("pulse-remark-of", names=of))] if of else []
            yield [*lead, plain(sentence), *([muted(f" {advice}")] if advice else []), *whose]

    def sentence(self, reason: Reason, result: LabResult) -> str:
        """A reason in words; of one that came without its particulars, what kind of thing it is."""
        known = {"exhibit": result.exhibit, "test": result.test, **reason.parameters}
        for code in (reason.code, f"cause-{reason.code}"):
            try:
                said = capital(self.tell.notice(code, known))
            except KeyError:  # no such sentence, or one that needs a particular
                continue
            return said if said.endswith(".") else f"{said}."
        return reason.code

    def _reasons(self) -> Iterator[tuple[bool, Reason, LabResult]]:
        for each in self.results:
            if each.reason is not None:
                yield True, each.reason, each
        for each in self.results:
            yield from ((True, doubt, each) for doubt in each.doubts)
        for each in self.results:
            yield from ((False, notice, each) for notice in each.notices)


def short(value: float) -> str:
    """A number with the digits that a reader can use."""
    digits = f"{value:.{DIGITS}g}"
    return f"{float(digits):f}".rstrip("0").rstrip(".") if "e" in digits else digits


def printed(result: LabResult) -> tuple[str, str]:
    """Value and expanded uncertainty as the page writes them; empty where there is no number, or no uncertainty."""
    if result.value is None:
        return "", ""
    if result.expanded_uncertainty is None or float(result.expanded_uncertainty) <= 0:
        return short(float(result.value)), ""
    return uncertainty.printed(float(result.value), float(result.expanded_uncertainty))


def minus(value: str) -> str:
    """A number with the sign that printers use, which no line ends at."""
    return value.replace("-", MINUS)


def kept(value: str) -> str:
    """A value whose unit stays on its line."""
    return value.replace(" ", "\u00a0")
