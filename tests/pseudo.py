"""A made-up language, in which every letter of the catalogue is replaced: what keeps its letters came from elsewhere.

Its code is that of a language with a decimal comma and days like 12.05.2026, of which there is no catalogue.
"""

from string import Formatter

LANGUAGE = "fi"
_PLAIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
_ODD = "αβγδεζηθικλμνξοπρστυφχψωϊϋАБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩ"
_TABLE = str.maketrans(dict(zip(_PLAIN, _ODD, strict=True)))
LETTERS = frozenset(_ODD)


def pseudo(template: str) -> str:
    """A text of the catalogue with other letters; its fields stay."""
    made = ""
    for literal, field, spec, conversion in Formatter().parse(template):
        made += literal.translate(_TABLE).replace("{", "{{").replace("}", "}}")
        if field is not None:
            made += (
                "{" + field + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}"
            )
    return made
