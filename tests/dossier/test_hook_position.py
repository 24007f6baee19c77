"""The hook position on paper: drawn over its photo, beside the recorded value, in every state that there is."""

import io
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from evidence import phrases
from evidence.dossier import Data, DossierInput, build
from evidence.dossier._measured import percentage
from evidence.model.finding import Reason
from evidence.model.manifest import ManifestMeasurement
from evidence.model.measurement import Marks
from evidence.model.profile import Profile
from evidence.phrases.dossier_en import DOSSIER
from evidence.phrases.dossier_measured_en import MEASURED_PAGE
from evidence.phrases.dossier_windows_en import WINDOWS_PAGE
from evidence.phrases.measuring_en import MEASURING_WORDS
from evidence.typeset import Typesetter
from tests.dossier import builders, judged, records
from tests.dossier.test_build import FORBIDDEN_ON_PAPER, parts, texts

HOOK = {
    "from": "outer-sill-face", "to": "sill-side-back", "contact_height": "6 mm",
    "contact_height_uncertainty": "1 mm", "offset_to_functional_face": "0 mm", "page": "17",
}  # fmt: skip
VIEW = {
    "exhibit": "E001", "tags": 12, "obliqueness": "-6.2", "camera_height": "596", "focal": "stated",
    "scale_disagreement": "1.024", "turn": "-0.02", "residual": "0.070", "blur": "0.95", "sharpness": "5.07",
}  # fmt: skip
MEASURED = {
    "state": "measured", "value": "120.412", "unit": "mm", "expanded_uncertainty": "0.583", "coverage": "95 %",
    "method": "gauge-card-plane/1", "contact_height": "6.00", "plane_margin": "0.173", "decides": True,
    "exhibits": ["E001"], "views": [VIEW],
    "terms": [
        {"name": "plane-height", "standard": "0.260", "kind": "B"},
        {"name": "picture", "standard": "0.140", "kind": "A"},
        {"name": "focal-length", "standard": "0.013", "kind": "B"},
        {"name": "cut", "standard": "0.0002", "kind": "B"},
        {"name": "gap", "standard": "0", "kind": "B"},
    ],
}  # fmt: skip
UNMEASURABLE = {
    "state": "unmeasurable", "method": "gauge-card-plane/1", "exhibits": ["E001"],
    "reason": {"code": "slider-not-seen", "parameters": {}, "exhibit": "E001"},
}  # fmt: skip
MARKS = Marks.read(
    {
        "exhibit": "E001", "width": 800, "height": 600,
        "tags": [[["350", "200"], ["380", "200"], ["380", "230"], ["350", "230"]]],
        "datum": [["400", "420"], ["440", "420"]], "front": [["400", "220"], ["440", "220"]],
        "limits": {"low": [["400", "224"], ["440", "224"]], "high": [["400", "217"], ["440", "217"]]},
    }
)  # fmt: skip
AGREES = {
    "code": "photo-agrees",
    "parameters": {
        "exhibits": ["E001"], "value": {"value": "120.412", "unit": "mm"}, "en": "0.18",
        "expanded_uncertainty": {"value": "0.583", "unit": "mm"},
    },
}  # fmt: skip
PLANE = "characteristic.hook-position"


def speak(code: str, parameters: Mapping[str, object]) -> str:
    """The real catalogue, except for the few reasons that the invented findings have words of their own for."""
    return builders.say(code, parameters) if code in DOSSIER else _said(code, parameters)


def _said(code: str, parameters: Mapping[str, object]) -> str:
    return builders.say(code, parameters) if code in builders._REASONS else phrases.say(code, parameters)


def source(
    measurement: Mapping[str, Any] | None = MEASURED,
    said: Mapping[str, Any] | None = AGREES,
    *,
    hook: Mapping[str, Any] | None = HOOK,
    make: Callable[..., DossierInput] = builders.finished,
    place: str = "p1",
    **options: Any,
) -> DossierInput:
    """A dossier input whose place has a measurement, and a finding that says what it means."""
    plain = make(**options)
    key = f"hook-position.{place}"
    findings = tuple(
        finding.model_copy(
            update={"measurement": key, "corroboration": None if said is None else Reason.read(dict(said))}
        )
        if measurement is not None
        and finding.requirement.endswith("/hook-position")
        and finding.subject == place
        else finding
        for finding in plain.manifest.findings
    )
    entry = {"id": key, "quantity": PLANE, "subject": place, "measurement": measurement}
    measurements = () if measurement is None else (ManifestMeasurement.read(entry),)
    manifest = plain.manifest.model_copy(update={"findings": findings, "measurements": measurements})
    profile = plain.profile if hook is None else Profile.read({**records.PROFILE, "hook": dict(hook)})
    marks = {} if measurement is None or "value" not in measurement else {"E001": MARKS}
    return replace(plain, manifest=manifest, profile=profile, marks=marks)


def recorded(*values: dict[str, Any], exhibits: bool = True, **options: Any) -> DossierInput:
    """The finished vehicle with other values of the hook position, with or without its photo."""
    record = records.finished_record()
    record["characteristics"] = list(values)
    if not exhibits:
        record["exhibits"] = record["exhibits"][1:]
    findings = judged.finished_findings()
    for finding in findings:
        finding["exhibits"] = [name for name in finding.get("exhibits", []) if exhibits or name != "E001"]
        finding["records"] = [name for name in finding.get("records", []) if name != "v1" or values]
    manifest = builders.manifest_for(record, findings, [], builders.EUROPEAN_PACKS)
    return source(make=lambda: builders.source_from(record, manifest), **options)


def section(given: DossierInput) -> Data:
    data = build(given, speak)
    return next(one for one in data["sections"] if one["id"] == "hook_position")


def words(given: Any) -> str:
    """Everything that a section says, in a row."""
    said = [
        str(part[key])
        for part in parts(given)
        for key in ("t", "text", "label", "head")
        if isinstance(part.get(key), str)
    ]
    return re.sub(r"\s+", " ", " ".join(said))


def block(given: Data, kind: str) -> Data:
    return next(part for part in parts(given) if part.get("kind") == kind)


def test_the_distance_is_drawn_over_its_photo() -> None:
    data = build(source(), speak)
    drawn = block(data, "measured")
    assert drawn["picture"] == "E001"
    assert drawn["alt"] == (
        "Part of photo E001 with the measured distance drawn over it: 120.41 mm ± 0.58 mm from the datum line to "
        "the hook; lower limit 118.0 mm, upper limit 122.0 mm"
    )
    assert drawn["anchors"] == ["measured-p1"]
    svg = data["svg"][drawn["svg"]]
    assert re.findall(r">([^<]+)</text>", svg) == ["0", "122.0 mm", "118.0 mm", "120.41 mm ± 0.58 mm"]
    left, top, right, bottom = drawn["box"]
    assert drawn["width"] / drawn["height"] == pytest.approx(
        (right - left) * 800 / ((bottom - top) * 600), abs=0.01
    )


def test_both_values_stand_on_one_bar() -> None:
    data = build(source(), speak)
    bar = block(data, "compared")
    assert bar["alt"] == (
        "Limit bar: recorded 120.3 mm ± 0.2 mm; photo 120.41 mm ± 0.58 mm; lower limit 118.0 mm, upper limit "
        "122.0 mm; guard band 0.2 mm inside each limit"
    )
    assert [lane["label"] for lane in bar["lanes"]] == ["Recorded, v1", "From the photo"]
    assert "photo and caliper agree within their uncertainty" in bar["said"][0]["t"]
    assert "120.41 mm ± 0.58 mm" in bar["said"][0]["t"]


def test_rule_probability_limits_and_method_are_named() -> None:
    said = words(section(source()))
    for expected in (
        "guarded acceptance (JCGM 106:2012)",
        ">99.9 % that the position lies within the limits",
        "118.0 mm to 122.0 mm (demo; confirmed",
        "gauge-card-plane/1",
        "6.2° along the measured direction; camera 596 mm above the card",
        "12 of 12 tags; corners fit within 0.070 px",
        "5.07 px/mm; edges 0.95 px wide",
        "turned 0.02°; size 1.024 % off the card's",
        "the outer face of the sill to the hook's back towards the sill",
        "by up to 0.173 mm",
    ):
        assert expected in said, expected


def test_terms_are_told_in_plain_words_with_their_share() -> None:
    tables = [part for part in parts(section(source())) if part.get("kind") == "table"]
    rows = [[words(cell) for cell in entry["cells"]] for entry in tables[1]["rows"]]
    # computed independently with a pocket calculator: 0.26² / (0.26² + 0.14² + 0.013² + 0.0002²) = 0.774
    assert rows[0] == [
        "How high the slider lies above the card", "0.260 mm", "77 %", "what is known of card and fitting",
    ]  # fmt: skip
    assert rows[1][1:] == ["0.140 mm", "22 %", "scatter in the picture"]
    assert [entry[1:3] for entry in rows[2:]] == [
        ["0.013 mm", "<1 %"],
        ["<0.001 mm", "<1 %"],
        ["0.000 mm", "0 %"],
    ]


def test_requirement_photo_and_measurement_lead_to_each_other() -> None:
    data = build(source(), speak)
    to = {one["id"]: {part["to"] for part in parts(one) if "to" in part} for one in data["sections"]}
    numbers = [name for name in to["hook_position"] if name.startswith("finding-")]
    assert len(numbers) == 1
    assert "measured-p1" in to["matrix"]
    assert "measured-p1" in to["photos"]
    assert {"item-E001", "record-v1", "record-i1"} <= to["hook_position"]


def test_an_unmeasurable_photo_tells_why_and_what_to_do() -> None:
    given = section(
        source(UNMEASURABLE, {"code": "photo-unmeasurable", "parameters": {"cause": "slider-not-seen"}})
    )
    said = words(given)
    assert "The photo says nothing about the recorded value, because it could not be measured." in said
    assert (
        "The slider's tag was not found. Lay the slider against the hook, its tag up and in full view."
        in said
    )
    assert "slider-not-seen" not in said
    assert "--" not in said
    drawn = block(given, "measured")
    assert drawn["picture"] is None
    assert not [part for part in parts(given) if part.get("kind") == "table"]
    assert [lane["label"] for lane in block(given, "compared")["lanes"]] == ["Recorded, v1"]


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (recorded(measurement=None), "measured once the caliper's value is recorded"),
        (source(None, hook=None), "the fitting profile does not say where the hook is touched"),
        (source(None), "the file could not be read as a photo of the gauge card"),
        (
            recorded(records._value("v1", "p1", "120.3 mm", "2026-03-04T10:40"), exhibits=False, measurement=None),
            "No photo of the gauge card was filed for this place",
        ),
    ],
)  # fmt: skip
def test_what_was_not_measured_says_why(given: DossierInput, expected: str) -> None:
    assert expected in words(section(given))
    assert block(section(given), "measured")["picture"] is None


def test_nothing_is_said_of_a_place_without_any_hook() -> None:
    record = records.finished_record() | {"characteristics": []}
    record["exhibits"] = record["exhibits"][1:]
    findings = [one for one in judged.finished_findings() if not one["requirement"].endswith("hook-position")]
    for finding in findings:
        finding["exhibits"] = [name for name in finding.get("exhibits", []) if name != "E001"]
    manifest = builders.manifest_for(record, findings, [], builders.EUROPEAN_PACKS)
    data = build(builders.source_from(record, manifest), speak)
    assert "hook_position" not in [one["id"] for one in data["sections"]]


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("photo-too-coarse", "more than a quarter of the tolerance"),
        ("photo-differs", "differs from what was recorded by more than both uncertainties"),
        ("photo-without-tolerance", "there are not two limits"),
    ],
)
def test_what_the_photo_means_is_one_sentence(code: str, expected: str) -> None:
    said = words(section(source(said={**AGREES, "code": code})))
    assert expected in said
    assert "120.41 mm ± 0.58 mm" in said
    assert "120.412" not in said


def test_a_slanting_photo_decides_nothing_and_says_what_to_do() -> None:
    warning = {"code": "view-oblique", "parameters": {"found": "31.0", "limit": "20"}, "exhibit": "E001"}
    given = {**MEASURED, "decides": False, "warnings": [warning]}
    said = words(section(source(given, {"code": "photo-oblique", "parameters": {"exhibits": ["E001"]}})))
    assert "The photo decides nothing yet." in said
    assert (
        "The photo was taken 31.0 degrees from straight above; above 20 it decides nothing by itself." in said
    )
    assert "Add a second photo of the same set-up from straight above" in said


def test_of_two_photos_the_one_from_straight_above_is_drawn() -> None:
    second = {**VIEW, "exhibit": "E002", "obliqueness": "48.3", "focal": "given"}
    both = {**MEASURED, "exhibits": ["E001", "E002"], "views": [second, VIEW]}
    given = section(source(both))
    assert block(given, "measured")["picture"] == "E001"
    said = words(given)
    assert "2 photos carry the value" in said
    assert "From 2 photos" in said
    assert "lens as given by hand" in said


def test_clicked_points_and_an_assumed_lens_are_told() -> None:
    view = {key: value for key, value in VIEW.items() if key != "scale_disagreement"} | {"focal": "assumed"}
    warning = {"code": "focal-not-stated", "parameters": {"assumed": "26"}, "exhibit": "E001"}
    term = {"name": "clicked-points", "standard": "0.3", "kind": "B"}
    given = {
        **MEASURED, "method": "gauge-card-points/1", "views": [view], "terms": [term], "warnings": [warning],
    }  # fmt: skip
    said = words(section(source(given)))
    assert "points set by hand, turned 0.02°" in said
    assert "usual lens assumed" in said
    assert "Use the photo as the phone wrote it, not cropped and not from a messenger." in said
    assert "--focal" not in said


def test_inches_stand_beside_mm_where_the_record_has_them() -> None:
    value = records._value("v1", "p1", "4 3/4 in", "2026-03-04T10:40")
    said = words(section(recorded(value)))
    # 1 in = 25.4 mm exactly; computed independently with a pocket calculator
    assert "120.65 mm ± 0.2 mm (4 3/4 in)" in said
    assert "120.41 mm ± 0.58 mm (4.741 in ± 0.023 in)" in said
    assert "118.0 mm (4.646 in) to 122.0 mm (4.803 in)" in said


def test_a_value_near_its_limit_has_its_probability() -> None:
    value = records._value("v1", "p1", "121.9 mm", "2026-03-04T10:40")
    # from memory of the table of the normal distribution: one standard uncertainty below the limit, 0.8413
    assert "84.1 % that the position lies within the limits, judged by v1" in words(section(recorded(value)))


def test_a_value_without_uncertainty_has_none() -> None:
    value = records._value("v1", "p1", "121.9 mm", "2026-03-04T10:40") | {"instrument": "none"}
    del value["uncertainty"]
    said = words(section(recorded(value)))
    assert "121.9 mm, uncertainty not stated" in said
    assert "not stated: no usable value with its uncertainty" in said


def test_several_values_stand_below_each_other() -> None:
    values = [
        records._value(name, "p1", f"{value} mm", "2026-03-04T10:40")
        for name, value in (("v1", "120.3"), ("v2", "121.0"))
    ]
    given = recorded(*values)
    findings = tuple(
        each.model_copy(update={"records": ("v1", "v2")}) if each.measurement else each
        for each in given.manifest.findings
    )
    given = replace(given, manifest=given.manifest.model_copy(update={"findings": findings}))
    assert [lane["label"] for lane in block(section(given), "compared")["lanes"]] == [
        "Recorded, v1", "Recorded, v2", "From the photo",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("probability", "expected"),
    [(1.0, ">99.9 %"), (0.9991, ">99.9 %"), (0.999, "99.9 %"), (0.8413, "84.1 %"), (0.001, "0.1 %"), (0.0, "<0.1 %")],
)  # fmt: skip
def test_probabilities_keep_one_decimal_and_claim_no_certainty(probability: float, expected: str) -> None:
    assert percentage(probability) == expected


def test_open_limits_and_another_rule_have_their_words() -> None:
    for bound, expected in (({"high": None}, "at least 118.0 mm"), ({"low": None}, "at most 122.0 mm")):
        given = source()
        changed = {**bound, "decision": "simple", "page": 17}
        demands = tuple(
            replace(each, criterion=each.criterion.model_copy(update=changed))
            if each.requirement.endswith("/hook-position")
            else each
            for each in given.demands.criteria
        )
        said = words(section(replace(given, demands=replace(given.demands, criteria=demands))))
        assert expected in said
        assert "simple acceptance" in said
        assert "(demo, p. 17; confirmed" in said


def test_a_value_that_no_requirement_asks_for_is_still_shown() -> None:
    given = source()
    findings = tuple(
        each for each in given.manifest.findings if not each.requirement.endswith("/hook-position")
    )
    said = words(section(replace(given, manifest=given.manifest.model_copy(update={"findings": findings}))))
    assert "No requirement compares this value with a limit." in said
    assert "120.41 mm ± 0.58 mm" in said


def test_the_redacted_copy_shows_the_same_without_names() -> None:
    whole, redacted = (section(source(redacted=state)) for state in (False, True))
    assert "Ada Fitter" in texts(whole)
    assert texts(whole).replace("w1 Ada Fitter", "w1") == texts(redacted)


def test_every_word_is_said_and_none_is_of_the_code() -> None:
    heard: set[str] = set()

    def listen(code: str, parameters: Mapping[str, object]) -> str:
        heard.add(code)
        return speak(code, parameters)

    two = {**MEASURED, "exhibits": ["E001", "E002"], "views": [VIEW, {**VIEW, "exhibit": "E002"}]}
    for given in (source(two), source(UNMEASURABLE), recorded(measurement=None), source(None, hook=None)):
        build(given, listen)
        assert not FORBIDDEN_ON_PAPER.search(words(section(given)))
    # said only in states that a test above makes each by itself, or by test_photo_quality.py, test_indicator.py or
    # test_matrix_tests.py
    elsewhere = re.compile(
        r"word-|advice-|quality-|matrix-(computed|dynamic|static-pull)|photo-(indicator|read)|measured-(limit-|source|rule-simple|conforms-not|not-|value-bare|lens-|points|undecided|"
        r"uncompared|notices)"
    )
    own = [code for code in MEASURED_PAGE if code not in WINDOWS_PAGE]  # those are in test_lock_window.py
    unsaid = [code for code in own if f"dossier-{code}" not in heard and not elsewhere.match(code)]
    assert unsaid == []


def test_every_term_has_plain_words() -> None:
    sources = Path(phrases.__file__).parents[1].glob("measure/*.py")
    named = {
        name for path in sources for name in re.findall(r'Term\(\s*"([a-z-]+)"', path.read_text("utf-8"))
    }
    named |= {
        code.removeprefix("measure-term-") for code in MEASURING_WORDS if code.startswith("measure-term-")
    }
    assert "picture" in named
    assert {name for name in named if f"word-measured-term-{name}" not in MEASURED_PAGE} == set()


def test_every_state_is_set_and_its_words_can_be_read(typesetter: Typesetter) -> None:
    warning = {"code": "view-slanting", "parameters": {"found": "12.0", "limit": "10"}, "exhibit": "E001"}
    for given, expected in (
        (source({**MEASURED, "warnings": [warning]}), "120.41 mm ± 0.58 mm"),
        (source(UNMEASURABLE), "could not be measured"),
        (source(make=builders.open_, redacted=True), "120.41 mm ± 0.58 mm"),
        (recorded(measurement=None), "measured once the caliper"),
    ):
        pdf = typesetter.typeset(*builders.ready(given, speak), builders.ISSUED)
        pages = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
        assert expected in re.sub(r"\s+", " ", pages)
