"""What the dossier says of the vehicle itself: its bound VIN, its builders, its stretchers, the manual in force."""

import io
import re
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier import build
from evidence.dossier._input import Data
from evidence.typeset import Typesetter
from tests.dossier import builders, judged, records
from tests.dossier.test_build import parts, texts

STAGED: list[dict[str, Any]] = [
    {"id": "b1", "function": "base-builder", "name": "Base Vehicles", "part": ["body-shell"],
     "finished": "2026-01-15", "exhibit": "E004"},
    {"id": "b2", "function": "builder", "name": "Brackwater Coachworks", "part": ["module", "floor-plate"],
     "finished": {"state": "to come", "from": "builder", "by": "2020-02-01"}},
    {"function": "fitting-company", "name": "Slipway Fitters"},
    {"function": "agency", "name": "Tarn Valley Ambulance Trust"},
]  # fmt: skip


def made(**changes: Any) -> Data:
    record = records.finished_record()
    record |= changes
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    return build(builders.source_from(record, manifest), builders.say)


def section(data: Data, name: str) -> Data:
    return next(one for one in data["sections"] if one["id"] == name)


def words(data: Any) -> str:
    return re.sub(r"\s+", " ", " ".join(part["t"] for part in parts(data) if "t" in part))


def stretchers(*entries: dict[str, Any]) -> list[dict[str, Any]]:
    tested = [{"model": "Heron Carrier", "serial": "HC-0100"}]
    return [{**records.POSITION, "stretchers": {"tested_with": tested, "delivered_with": list(entries)}}]


def test_who_bound_the_vin_when_and_by_which_photo() -> None:
    vehicle = {
        "build": "BW-2231",
        "vin": "1M8GDM9AXKP042788",
        "vin_bound": {"at": "2026-03-06", "by": "w3", "exhibit": "E003"},
    }
    data = made(vehicle=vehicle)
    identity = section(data, "front")["hero"]["identity"]
    bound = next(row["value"] for row in identity if row["label"] == "VIN from the plate")

    assert bound[0]["t"] == "on 2026-03-06 by w3 Cleo Signs (signatory), see "
    assert (bound[1]["t"], bound[1]["to"]) == ("E003", "item-E003")
    assert [row["label"] for row in identity][:2] == ["VIN", "VIN from the plate"]
    assert "on 2026-03-06 by w3" in words(section(data, "installation"))


def test_a_vin_that_was_there_from_the_start_was_not_bound() -> None:
    assert "VIN from the plate" not in texts(made()["sections"])


def test_builders_with_part_day_and_paper_and_what_is_not_stated() -> None:
    first, *others = list[Any](records.PEOPLE)
    people = [{**first, "party": "b2"}, *others]
    data = made(parties=STAGED, people=people)
    table = next(
        block
        for block in section(data, "installation")["blocks"]
        if block["kind"] == "table" and block["columns"][0]["head"] == "Company"
    )
    rows = [[words(cell) for cell in row["cells"]] for row in table["rows"]]

    assert rows == [
        ["Base Vehicles Base vehicle", "body shell", "2026-01-15", "E004"],
        [
            "Brackwater Coachworks Builder people: w1",
            "module, floor plate",
            "to come from builder, by 2020-02-01",
            "not stated",
        ],
        ["Slipway Fitters Fitting company", "not stated", "not stated", "not stated"],
        ["Tarn Valley Ambulance Trust Agency", "\u2013", "\u2013", "\u2013"],
    ]
    front = words(section(data, "front"))
    assert "Base Vehicles" in front
    assert "Slipway Fitters" in front
    assert (
        "Brackwater Coachworks: day on which its part was finished to come from builder, by 2020-02-01 (overdue)"
        in front.replace("\u00a0", " ")
    )


def test_a_company_without_an_id_is_named_by_its_number() -> None:
    parties = [{key: one for key, one in party.items() if key != "id"} for party in STAGED]

    assert "Company no. 2: day on which its part was finished" in words(
        section(made(parties=parties), "open")
    )


@pytest.mark.parametrize(
    ("entries", "front", "installation"),
    [
        ([], "delivered without a stretcher", "delivered without a stretcher"),
        (
            [{"model": "Heron Carrier", "serial": "P-7", "holding": "pool"}],
            "delivered with Heron Carrier P-7 (from a pool) ; no stretcher of its own",
            "from a pool",
        ),
        (
            [
                {"model": "Heron Carrier", "serial": "HC-1"},
                {"model": "Heron Carrier", "holding": "loaner", "until": "2026-05-01"},
            ],
            "delivered with Heron Carrier HC-1 , Heron Carrier (on loan until 2026-05-01) tested with",
            "on loan until 2026-05-01",
        ),
    ],
)
def test_what_stands_on_the_latch_in_plain_words(
    entries: list[dict[str, Any]], front: str, installation: str
) -> None:
    data = made(positions=stretchers(*entries))

    assert front in words(section(data, "front"))
    assert installation in words(section(data, "installation"))


def test_a_loaner_kept_too_long_stands_among_what_is_open() -> None:
    lent = {"model": "Heron Carrier", "holding": "loaner", "until": "2020-05-01"}
    told = words(section(made(positions=stretchers(lent)), "open")).replace("\u00a0", " ")

    assert "Position p1: stretcher on loan was to go back by 2020-05-01 (overdue)" in told


def test_the_days_on_which_the_manual_is_in_force() -> None:
    data = made()
    for name in ("front", "register"):
        assert "in force from 2024-07-01, no end stated" in words(section(data, name))
    manual = {**records.PROFILE["manual"], "valid_until": "2027-06-30"}
    record = records.finished_record()
    manifest = builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    source = builders.source_from(record, manifest)
    ended = source.profile.model_copy(update={"manual": source.profile.manual.read(manual)})
    object.__setattr__(source, "profile", ended)

    assert "in force from 2024-07-01 to 2027-06-30" in words(section(build(source, builders.say), "register"))


def test_a_builder_alone_hands_nothing_on() -> None:
    table = words(section(made(parties=[STAGED[2], STAGED[3]]), "installation"))

    assert "Who built what" not in table
    assert "Slipway Fitters" in table
    assert "\u2013 \u2013 \u2013" not in table.split("Positions")[0]


def test_the_front_sheet_stays_one_page_whatever_stands_on_it(typesetter: Typesetter) -> None:
    """Four places with many stretchers each, four companies, a bound VIN and more open fields than fit, on Letter."""
    record = records.open_record()
    lent = {"model": "Heron Carrier", "serial": "HC-10001", "holding": "loaner", "until": "2020-05-01"}
    first = {
        **records.POSITION,
        "stretchers": {"tested_with": [lent], "delivered_with": [lent, {**lent, "holding": "pool"}, lent]},
    }
    record["positions"] = [{**first, "id": f"p{number}"} for number in range(1, 7)]
    record["parties"] = STAGED
    record["vehicle"] |= {
        "vin": "1M8GDM9AXKP042788",
        "vin_bound": {"at": "2026-03-06", "by": "w3", "exhibit": "E003"},
    }
    manifest = builders.manifest_for(
        record, judged.open_findings(), judged.CONTRADICTIONS, builders.AMERICAN_PACKS
    )
    source = builders.source_from(record, manifest)
    pdf = typesetter.typeset(*builders.ready(source), builders.ISSUED)
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages[:2]]

    assert "does not certify" in pages[0]
    assert "Contents" in pages[1]
