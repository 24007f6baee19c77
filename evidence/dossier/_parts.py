"""The parts of a finding as the matrix lists them: those that say the same stand together."""

from dataclasses import dataclass

from evidence.dossier._blocks import Inline, muted, plain, strong
from evidence.dossier._words import Teller, capital
from evidence.model.finding import Finding, Part
from evidence.model.names import Outcome


@dataclass(frozen=True)
class Told:
    """Parts of one outcome with one sentence.

    Attributes:
        outcome: of each of them.
        sentence: what holds of each of them.
        names: what they are called, in the order of the finding; empty where the sentence names them.
        screws: the names are numbers of screws.
    """

    outcome: Outcome
    sentence: str
    names: tuple[str, ...]
    screws: bool

    def inline(self, tell: Teller) -> Inline:
        """The sentence with its names: numbers of screws before it, ids of the record after it."""
        if self.screws:
            lead = tell.count("parts-screws", len(self.names), numbers=_runs(self.names))
            return [strong(capital(lead) + " "), plain(self.sentence)]
        behind = [muted(f" ({', '.join(self.names)})")] if self.names else []
        return [plain(self.sentence), *behind]


def told_parts(finding: Finding, tell: Teller) -> tuple[Told, ...]:
    """The parts of a finding, one entry for each outcome and sentence."""
    found: dict[tuple[Outcome, str, bool], list[str]] = {}
    for part in finding.parts:
        name, screws = _name(part, finding)
        names = found.setdefault((part.outcome, tell.reason(part.reason), screws), [])
        names += [name] if name and name not in names else []
    return tuple(
        Told(outcome, sentence, tuple(names), screws) for (outcome, sentence, screws), names in found.items()
    )


def _name(part: Part, finding: Finding) -> tuple[str, bool]:
    """``6`` of ``g2.6``, ``g1: s6, s7`` of ``g1/s6/s7``, ``s10`` of ``i3.s10``; nothing of what the sentence names."""
    if part.name in part.reason.parameters.values():
        return "", False
    holder, _, rest = part.name.partition(".")
    if rest and holder == finding.subject:
        return rest.split(".")[0], finding.type == "within" and rest.isdecimal()
    group, *steps = part.name.removesuffix("/gap").split("/")
    return (f"{group}: {', '.join(steps)}" if steps else part.name), False


def _runs(numbers: tuple[str, ...]) -> str:
    """``1, 3-5`` with a longer dash of ``1, 3, 4, 5``; anything but whole numbers as it is."""
    if not all(number.isdecimal() for number in numbers):
        return ", ".join(numbers)
    runs: list[list[int]] = []
    for number in sorted(map(int, numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}\u2013{run[-1]}" for run in runs)
