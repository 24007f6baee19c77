"""Words for what a verifier found: as a document for machines, as lines for people."""

from dataclasses import dataclass, field

from evidence.errors import decodable, printable
from evidence.model.verdict import VERDICT_FORMAT, Verdict, VerdictProblem, VerdictStep
from evidence.phrases import inside, knows, path_in_words, say, verdicts_en
from evidence.seal.verdicts import VerdictCode, VerdictFinding
from evidence.seal.verify import VerifyReport

MAX_LIKE = 5  # findings of one code that a step prints for people; the machine form has them all
KEY_SHOWN = 12  # digits of a key's id in a sentence, as many as of a digest


@dataclass(frozen=True)
class Catalogue:
    """The words of one language; each table is keyed by code."""

    verdicts: dict[str, tuple[str, str]] = field(default_factory=lambda: verdicts_en.VERDICTS)
    bottom_lines: dict[str, str] = field(default_factory=lambda: verdicts_en.BOTTOM_LINES)
    steps: dict[str, str] = field(default_factory=lambda: verdicts_en.STEPS)
    states: dict[str, str] = field(default_factory=lambda: verdicts_en.STATES)
    details: dict[str, str] = field(default_factory=lambda: verdicts_en.DETAILS | verdicts_en.MORE_DETAILS)
    rules: dict[str, str] = field(default_factory=lambda: verdicts_en.RULES)
    labels: dict[str, str] = field(default_factory=lambda: verdicts_en.LABELS)
    recomputed: dict[str, str] = field(default_factory=lambda: verdicts_en.RECOMPUTED)
    field_at: str = verdicts_en.FIELD
    no_document: str = verdicts_en.NO_DOCUMENT
    whole: str = verdicts_en.WHOLE
    more: str = verdicts_en.MORE

    def sentence(self, finding: VerdictFinding) -> str:
        """The plain sentence of a finding."""
        names = {"other": "", "key": "", "found": "", "expected": "", **finding.parameters}
        where = self.whole if finding.where == "." else finding.where
        names |= {"where": where, "detail": self._detail(finding)}
        names["key"] = _begin(names["key"])
        return printable(self.verdicts[finding.code][0].format(**names))

    def hint(self, finding: VerdictFinding) -> str:
        """What to do next."""
        return self.verdicts[finding.code][1]

    def _detail(self, finding: VerdictFinding) -> str:
        """Why and where exactly, as the tail of a sentence: `` (…)``, or nothing."""
        given = finding.parameters
        parts = [self.field_at.format(path=path_in_words(finding.pointer))] if finding.pointer else []
        if "reason" in given:
            parts.append(self.details.get(given["reason"]) or given["reason"].replace("-", " "))
        if "rule" in given:
            parts.append(self.rules.get(given["rule"]) or self.rules["sillmark"])
        if finding.code == VerdictCode.MALFORMED and "found" in given:
            # what a decoder of JSON says of it means nothing to a reader; the machine form has it
            parts.append(self.no_document)
        elif _says_more(finding):
            parts.append(_inside(say(given["problem"], given)).rstrip("."))
        else:
            parts += self._quoted(finding)
        return f" ({'; '.join(parts)})" if parts else ""

    def _quoted(self, finding: VerdictFinding) -> list[str]:
        """What was found and what was expected, each by its label; a field that differs is named once."""
        given, named = finding.parameters, finding.pointer.rpartition("/")[2]
        held = finding.code == VerdictCode.RECOMPUTE_DIFFERS and "expected" in given
        labels = self.recomputed if held else self.labels
        return [
            f"{label}: {given[name]}"
            for name, label in labels.items()
            if given.get(name) not in (None, "", named)
        ]


def _says_more(finding: VerdictFinding) -> bool:
    """Whether the sentence of the problem behind a finding says more than labels with values would."""
    told_otherwise = {
        VerdictCode.SCHEMA_MISMATCH: {"rule", "reason"},
        VerdictCode.RECOMPUTE_DIFFERS: {"reason", "expected"},
    }.get(finding.code)
    if told_otherwise is None or told_otherwise & finding.parameters.keys():
        return False
    return knows(finding.parameters.get("problem", ""))


def _inside(sentence: str) -> str:
    """A sentence in brackets behind another one; an id that it begins with stays as it is."""
    return inside(sentence) if sentence[1:2].islower() else sentence


def _begin(key: str) -> str:
    """The first digits of a key's id; the whole of it stands once, above the bottom line."""
    return f"{key[:KEY_SHOWN]}…" if len(key) > KEY_SHOWN else key


ENGLISH = Catalogue()


def document(report: VerifyReport, bundle: str, words: Catalogue = ENGLISH) -> Verdict:
    """The answer of ``verify --json``.

    Args:
        report: what was found.
        bundle: the folder as the caller named it.
        words: sentences and hints.
    """
    return Verdict(
        format=VERDICT_FORMAT,
        bundle=decodable(bundle),
        steps=tuple(
            VerdictStep(
                n=step.number,
                name=step.name,
                state=step.state,
                problems=tuple(_problem(finding, words) for finding in step.findings),
            )
            for step in report.steps
        ),
        key=report.key,
        bottom_line=report.bottom_line.value,
        exit=int(report.exit_code),
    )


def _problem(finding: VerdictFinding, words: Catalogue) -> VerdictProblem:
    return VerdictProblem(
        code=finding.code.value,
        severity="notice" if finding.notice else "problem",
        where=finding.where,
        pointer=finding.pointer,
        parameters=dict(sorted(finding.parameters.items())),
        text=words.sentence(finding),
        hint=words.hint(finding),
    )


def lines(report: VerifyReport, bundle: str, words: Catalogue = ENGLISH) -> tuple[str, ...]:
    """The answer for people: the bundle, one line per step, findings of a code with their hint, the bottom line."""
    out = [printable(bundle)]
    for step in report.steps:
        out.append(f"{step.number:3d}  {words.steps[step.name]}: {words.states[step.state]}")
        for code in dict.fromkeys(finding.code for finding in step.findings):
            out += _like([finding for finding in step.findings if finding.code == code], words)
    if report.key:
        out.append(f"Key {report.key}")
    out.append(words.bottom_lines[report.bottom_line.value])
    return tuple(out)


def _like(findings: list[VerdictFinding], words: Catalogue) -> list[str]:
    """Findings of one code: the first of them, how many more, and once what to do."""
    told = [f"       {each.code.value}: {words.sentence(each)}" for each in findings[:MAX_LIKE]]
    if len(findings) > MAX_LIKE:
        told.append(f"       {words.more.format(count=len(findings) - MAX_LIKE)}")
    return [*told, f"         → {words.hint(findings[0])}"]
