"""GS1 data: published examples, the predefined lengths, dates, and every way to be wrong."""

from datetime import date

import pytest

from evidence import gs1
from evidence.gs1 import Gs1Error, check_digit, day, elements, is_gtin, link_elements

GTIN = "09506000134352"  # from memory of GS1 examples; prefix 950 is kept for these. Its check digit is tested below
FNC1 = "\x1d"


def values(text: str) -> dict[str, str]:
    return {part.identifier: part.value for part in elements(text)}


@pytest.mark.parametrize(
    ("digits", "expected"),
    [
        # published: How is the check digit calculated, GS1 Hong Kong, example for 13 digits
        ("629104150021", "3"),
        # published: How to calculate the check digit, GS1 India, example 890 4000 21003 7
        ("890400021003", "7"),
        # published: UDI formats by FDA-accredited issuing agency, version 1.3, FDA, 27 January 2017: the example's item
        ("5102222223333", "6"),
        # from memory of GS1 General Specifications: SSCC of the usual example
        ("10614141123456789", "7"),
    ],
)
def test_check_digit(digits: str, expected: str) -> None:
    assert check_digit(digits) == expected
    wrong = str((int(expected) + 1) % 10)
    if len(digits) < 14:
        assert is_gtin(digits + expected)
        assert not is_gtin(digits + wrong)


def test_trade_item_numbers_have_four_lengths() -> None:
    """Computed by hand: 9638507 weighs 3*(9+3+5+7)+(6+8+0) = 86, so 4."""
    assert is_gtin("96385074")
    assert not is_gtin("963850740")
    assert not is_gtin("9638507٤")


def test_example_of_a_device_identifier() -> None:
    """published: UDI formats by FDA-accredited issuing agency, version 1.3, FDA, 27 January 2017."""
    text = "(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234"

    assert values(text) == {
        "01": "51022222233336", "11": "141231", "17": "150707", "10": "A213B1", "21": "1234",
    }  # fmt: skip
    machine = f"]d2015102222223333611141231171507071{'0A213B1'}{FNC1}211234"
    assert values(machine) == values(text)
    assert gs1.bracketed(elements(machine)) == text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (f"]C101{GTIN}21{'0012'}", {"01": GTIN, "21": "0012"}),
        (f"]Q301{GTIN}21{'0012'}{FNC1}10AB-1", {"01": GTIN, "21": "0012", "10": "AB-1"}),
        (f"{FNC1}01{GTIN}10X{FNC1}17260800", {"01": GTIN, "10": "X", "17": "260800"}),
        # a separator behind a value of predefined length is passed over
        (f"]d201{GTIN}{FNC1}11260304{FNC1}21A", {"01": GTIN, "11": "260304", "21": "A"}),
        (f"]e0310300170010{'L'}", {"3103": "001700", "10": "L"}),
        (f"]C1414{'6291041500213'}254X", {"414": "6291041500213", "254": "X"}),
        (f"]C1420LA1 4YW{FNC1}".replace(" ", ""), {"420": "LA14YW"}),
        (f"]C1422826{FNC1}7003{'2612311200'}", {"422": "826", "7003": "2612311200"}),
        (f"]C1800826030410{FNC1}8005001234", {"8008": "26030410", "8005": "001234"}),
        (f"]C18018{'106141411234567897'}{FNC1}8020REF{FNC1}8012V1.2", {"8018": "106141411234567897", "8020": "REF", "8012": "V1.2"}),
        (f"]C18003{'0' + '6291041500213'}A1{FNC1}8004ASSET{FNC1}99any", {"8003": "06291041500213A1", "8004": "ASSET", "99": "any"}),
        (f"(01){GTIN} (21)0012", {"01": GTIN, "21": "0012"}),
    ],
)  # fmt: skip
def test_element_strings(text: str, expected: dict[str, str]) -> None:
    assert values(text) == expected


@pytest.mark.parametrize(
    ("first_two", "length"),
    [
        # from memory of GS1 General Specifications, element strings with predefined length; a public list that names its
        # figure 7.8.4-2 has the same; lengths with the identifier
        *((two, 16) for two in ("01", "02")), ("00", 20), ("20", 4), ("41", 16),
        *((str(two), 8) for two in (11, 12, 13, 15, 16, 17)), *((str(two), 10) for two in range(31, 37)),
    ],
)  # fmt: skip
def test_predefined_lengths(first_two: str, length: int) -> None:
    """A value of predefined length ends without a separator: what follows is read as the next element."""
    rest = "0" * (length - len(first_two))
    filled = {"11": "260101", "12": "260101", "13": "260101", "15": "260101", "16": "260101", "17": "260101"}

    found = elements(f"]C1{first_two}{filled.get(first_two, rest)}21X")

    assert [part.identifier for part in found][1:] == ["21"]
    assert len(found[0].identifier + found[0].value) == length


@pytest.mark.parametrize(
    ("text", "reason", "position"),
    [
        ("(01)09506000134353", "check-digit", 17),
        ("(01)0950600013435", "value-malformed", 4),
        ("]d20109506000134", "value-short", 16),
        ("]d2" + "77X", "identifier-unknown", 3),
        ("(77)X", "identifier-unknown", 4),
        ("(17)261301", "date-impossible", 4),
        ("(17)260230", "date-impossible", 4),
        ("(21)" + "A" * 21, "value-malformed", 4),
        ("(10)ä", "value-malformed", 4),
        ("(10)A(10)B", "repeated-differently", 9),
        ("]d2", "empty", 0),
        ("]d2" + "9" * 3000, "text-too-long", 2000),
        ("(8003)16291041500213", "value-malformed", 6),
    ],
)
def test_what_is_wrong_is_named_with_its_place(text: str, reason: str, position: int) -> None:
    with pytest.raises(Gs1Error) as caught:
        elements(text)

    assert (caught.value.reason, caught.value.position) == (reason, position)
    assert str(position + 1) in str(caught.value)


@pytest.mark.parametrize(
    ("text", "year", "expected"),
    [
        # from memory of GS1 General Specifications, determination of century in dates: 51 to 99 above the present year
        # is the century before, 50 to 99 below is the one after, everything else is the present one
        ("260304", 2026, date(2026, 3, 4)),
        ("760101", 2026, date(2076, 1, 1)),
        ("770101", 2026, date(1977, 1, 1)),
        ("500101", 2099, date(2050, 1, 1)),
        ("490101", 2099, date(2149, 1, 1)),
        ("000101", 1999, date(2000, 1, 1)),
        # from memory of GS1 General Specifications: day 00 is the last of the month; that two zeros stand for no stated day
        # is also what public reprints of its section on production dates say
        ("260200", 2026, date(2026, 2, 28)),
        ("280200", 2026, date(2028, 2, 29)),
    ],
)
def test_dates(text: str, year: int, expected: date) -> None:
    assert day(text, year) == expected


@pytest.mark.parametrize("text", ["260001", "261300", "260431", "260000"])
def test_impossible_dates(text: str) -> None:
    with pytest.raises(ValueError, match=r"month|day"):
        day(text)


@pytest.mark.parametrize(
    ("link", "expected"),
    [
        # published: GS1 Digital Link URIs, wiki of an open-source symbol library: batch, serial, expiry, own path, SSCC
        ("https://id.gs1.org/01/09521234543213/10/ABC123/21/12345", "(01)09521234543213(10)ABC123(21)12345"),
        (
            "https://id.gs1.org/01/09521234543213/10/ABC123?17=261231",
            "(01)09521234543213(10)ABC123(17)261231",
        ),
        ("https://id.gs1.org/00/106141411234567897", "(00)106141411234567897"),
        ("https://example.com/products/01/09521234543213", "(01)09521234543213"),
        ("HTTPS://EXAMPLE.COM/01/9521234543213?lang=en&10=A%2db#top", "(01)09521234543213(10)A-b"),
    ],
)
def test_links_are_taken_apart(link: str, expected: str) -> None:
    assert gs1.bracketed(link_elements(link)) == expected


@pytest.mark.parametrize(
    "text", ["https://example.com", "https://example.com/a/01", "ftp://example.com/01/09521234543213", "01/2"]
)
def test_other_addresses_carry_nothing(text: str) -> None:
    assert link_elements(text) == ()


def test_a_link_with_a_wrong_number_is_told() -> None:
    with pytest.raises(Gs1Error) as caught:
        link_elements("https://example.com/01/09521234543214")

    assert (caught.value.reason, caught.value.position) == ("check-digit", 36)
