"""Labels: tickets, GS1 data, vehicle numbers and serials as codes and typed labels give them; never a guess."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence import labels
from evidence.labels import Label, LabelError, read, same_serial, same_vin, vin_in
from evidence.phrases import say

# published: 49 CFR 565, worked example of the check digit, and the sample of its older text
VIN, OTHER_VIN = "1M8GDM9AXKP042788", "1G4AH59H45G118341"
# published: UDI formats by FDA-accredited issuing agency, version 1.3, FDA, 27 January 2017
UDI = "(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234"


def fields(text: str) -> dict[str, object]:
    """What a label says, without what it does not say."""
    return {name: value for name, value in vars(read(text)).items() if value is not None and name != "text"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("sillmark:AMB-0417:p1:7k4q2m", {"kind": "ticket", "job": "AMB-0417", "subject": "p1", "nonce": "7k4q2m"}),
        ("sillmark:A.1:vehicle:000000\n", {"kind": "ticket", "job": "A.1", "subject": "vehicle", "nonce": "000000"}),
        ("sillmark-clock:AMB-0417:5t9d3w", {"kind": "clock", "job": "AMB-0417", "nonce": "5t9d3w"}),
        (
            UDI,
            {
                "kind": "gs1", "gtin": "51022222233336", "made_on": date(2014, 12, 31),
                "use_by": date(2015, 7, 7), "lot": "A213B1", "serial": "1234",
            },
        ),
        ("https://example.com/01/09521234543213/21/0012", {"kind": "gs1", "gtin": "09521234543213", "serial": "0012"}),
        ("HERON 2 SN 0012", {"kind": "serial", "model": "HERON 2", "serial": "0012"}),
        ("Heron Carrier, S/N: HC-0889", {"kind": "serial", "model": "Heron Carrier", "serial": "HC-0889"}),
        ("SN:0012", {"kind": "serial", "serial": "0012"}),
        ("s/n 0012", {"kind": "serial", "serial": "0012"}),
        ("SERIAL: 0012", {"kind": "serial", "serial": "0012"}),
        ("Serial No. 0012", {"kind": "serial", "serial": "0012"}),
        ("Serial number 0012", {"kind": "serial", "serial": "0012"}),
        ("BW-2231", {"kind": "plain"}),
        ("SN0012", {"kind": "plain"}),  # the letters may belong to the number
        (f"VIN {VIN} BUILD BW-2231", {"kind": "vin", "vin": VIN, "build": "BW-2231"}),
        (f"VIN {VIN}; Build no. BW-2231", {"kind": "vin", "vin": VIN, "build": "BW-2231"}),
    ],
)  # fmt: skip
def test_what_labels_say(text: str, expected: dict[str, object]) -> None:
    assert fields(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        VIN, VIN.lower(), f"*{VIN}*", f"I{VIN}", f"*I{VIN}*", f"VIN{VIN}", f"VIN: {VIN}", f"VIN NO. {VIN}",
        f"vin no {VIN}", f"VIN-{VIN}", "1M8 GDM9AX KP042788", "1M8-GDM9AX-KP042788", f"{VIN},BLUE,2019",
        f"{VIN};K7;4.2 t", f"{VIN} WHITE 9016", f"VIN:{VIN}|AXLE 1900|AXLE 2100", f"{VIN}\n{VIN}",
        f"*{VIN}*, TYPE B",
    ],
)  # fmt: skip
def test_vehicle_numbers_as_door_labels_give_them(text: str) -> None:
    assert vin_in(text) == VIN
    assert fields(text) == {"kind": "vin", "vin": VIN}
    assert read(text).text == f"VIN {VIN}"


@pytest.mark.parametrize(
    "text",
    [
        f"{VIN} {OTHER_VIN}",
        f"{VIN};{OTHER_VIN}",
        f"VIN {VIN} VIN {OTHER_VIN}",
        VIN[:-1],
        VIN + "1",
        VIN.replace("8", "O", 1),
        VIN.replace("8", "Q", 1),
        f"A{VIN}",
        f"ORDER 5 {VIN}",
        "1M8GDM9AXKP04278A",
        "",
    ],
)
def test_what_is_not_certainly_one_vehicle_number_gives_none(text: str) -> None:
    assert vin_in(text) is None


@pytest.mark.parametrize(
    ("text", "reason", "position"),
    [
        ("https://example.com/x", "label-unknown", 0),
        ("WIFI:S:workshop;P:secret;;", "label-unknown", 0),
        ("mailto:someone@example.com", "label-unknown", 0),
        ("BEGIN:VCARD\nFN:A Fitter\nEND:VCARD", "label-unknown", 0),
        ("", "label-unknown", 0),
        ("x" * 65, "label-unknown", 0),
        ("sillmark:AMB-0417:p1", "ticket-malformed", 9),
        ("sillmark:AMB-0417:p1:SHORT", "ticket-malformed", 9),
        ("sillmark-clock:AMB-0417", "ticket-malformed", 15),
        ("(01)09506000134353", "check-digit", 17),
        ("https://example.com/01/09521234543214", "check-digit", 36),
        ("]d291" + "A" * 90 + "\x1d92" + "B" * 90 + "\x1d93" + "C" * 90, "label-too-long", 200),
        ("]d210A(21)B", "label-ambiguous", 0),
    ],
)
def test_what_is_no_label_is_refused(text: str, reason: str, position: int) -> None:
    with pytest.raises(LabelError) as caught:
        read(text)

    assert (caught.value.reason, caught.value.position) == (reason, position)
    assert str(caught.value) == f"{reason} at character {position + 1}"


def test_two_digit_years_get_the_century_nearest_to_the_year_asked_for() -> None:
    assert read("(17)500101", year=2099).use_by == date(2050, 1, 1)
    assert read("(17)490101", year=2099).use_by == date(2149, 1, 1)


@pytest.mark.parametrize(
    ("recorded", "found", "same"),
    [
        ("0012", "0012", True),
        ("0012", "12", False),
        ("0012", "00012", False),
        ("hc-0889", "HC-0889", True),
        ("HC-0889", "HC0889", False),
        ("0012", "HERON 2 SN 0012", True),
        ("1234", UDI, True),
        (UDI, "1234", True),
        (UDI, "(01)51022222233336(21)1234", True),
        (UDI, "(01)09521234543213(21)1234", False),
        (UDI, "0123", False),
        (UDI, "]d20151022222233336211234", True),
        ("no label: #7", "NO LABEL: #7", True),
        ("0012", "(01)51022222233336(10)0012", False),
        ("", "", False),
    ],
)
def test_serial_numbers_are_compared_whole(recorded: str, found: str, *, same: bool) -> None:
    assert same_serial(recorded, found) is same
    assert same_serial(found, recorded) is same


def test_vehicle_numbers_are_compared_whole() -> None:
    assert same_vin(VIN, f"*I{VIN.lower()}*")
    assert not same_vin(VIN, OTHER_VIN)
    assert not same_vin("unknown", "unknown")


LABELS = st.one_of(
    st.from_regex(re.compile(r"sillmark:[A-Za-z0-9]{1,9}:p[1-9]:[a-z0-9]{6,16}", re.ASCII), fullmatch=True),
    st.from_regex(re.compile(r"([A-Z0-9 ]{1,20} )?(SN|S/N|SERIAL)[: ][A-Z0-9-]{1,20}", re.ASCII), fullmatch=True),
    st.from_regex(re.compile(r"\]d2(11260304|17260800)?10[A-Z0-9()/]{1,12}\x1d21[A-Za-z0-9().]{1,20}", re.ASCII), fullmatch=True),
    st.from_regex(re.compile(r"(VIN:? ?)?[A-HJ-NPR-Z0-9]{13}[0-9]{4}[ ,;]?([A-Z0-9 ]{0,12})", re.ASCII), fullmatch=True),
    st.from_regex(re.compile(r"[A-Za-z0-9 ./_-]{1,64}", re.ASCII), fullmatch=True),
    st.text(max_size=80),
)  # fmt: skip


@given(text=LABELS)
def test_reading_what_was_kept_gives_the_same_label(text: str) -> None:
    try:
        label = read(text)
    except LabelError:
        return
    assert read(label.text) == label
    assert label.text.isprintable()
    assert len(label.text) <= labels.MAX_TEXT


@pytest.mark.parametrize(
    ("label", "words"),
    [
        (read("sillmark:AMB-0417:p1:7k4q2m"), "ticket of AMB-0417, p1"),
        (read("sillmark-clock:AMB-0417:5t9d3w"), "clock ticket of AMB-0417"),
        (read(f"VIN {VIN}"), f"label code: VIN {VIN}"),
        (read(f"VIN {VIN} BUILD BW-2231"), f"label code: VIN {VIN}, build number BW-2231"),
        (read("SN 0012"), "label code: serial 0012"),
        (read("HERON 2 SN 0012"), "label code: HERON 2, serial 0012"),
        (read("(10)A"), "label code: (10)A"),
        (read("BW-2231"), "code: BW-2231"),
    ],
)
def test_labels_have_words(label: Label, words: str) -> None:
    code, parameters = labels.described(label)

    assert say(f"dossier-{code}", parameters) == words
