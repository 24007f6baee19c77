"""English words for problems of the documents that the program itself writes: code to a sentence and what to do."""

_COPY_AGAIN = "The file was not written by this tool, or was changed or cut off since. Take the original, or ask whoever sent it."

SEALED: dict[str, tuple[str, str]] = {
    "json-too-large": ("The document has {found} bytes; at most {limit} are read.", _COPY_AGAIN),
    "json-too-deep": ("Brackets stand inside brackets more than {limit} deep.", _COPY_AGAIN),
    "json-malformed": (
        "Line {line}, column {column} does not follow the rules of JSON, the form that this file must have.",
        _COPY_AGAIN,
    ),
    "json-duplicate-key": ("The name '{found}' stands twice in one place.", _COPY_AGAIN),
    "json-number-not-allowed": ("'{found}' is a number that cannot stand here.", _COPY_AGAIN),
    "json-not-canonical": ("The document is not in its one agreed form (RFC 8785).", _COPY_AGAIN),
    "schema-mismatch": ("'{found}' does not fit the form of this file ({rule}).", _COPY_AGAIN),
    "instant-malformed": (
        "'{found}' is no time to the minute or second with its offset from UTC.",
        _COPY_AGAIN,
    ),
    "time-malformed": ("'{found}' is no time as a camera writes it.", _COPY_AGAIN),
    "offset-malformed": ("'{found}' is no offset as a camera writes it.", _COPY_AGAIN),
    "decimal-malformed": ("'{found}' is no decimal number.", _COPY_AGAIN),
    "pages-malformed": ("'{found}' is no list of pages in their order.", _COPY_AGAIN),
    "salt-malformed": ("'{found}' is no salt of 32 digits and letters a to f.", _COPY_AGAIN),
    "likeness-malformed": ("'{found}' is no likeness of 64 digits and letters a to f.", _COPY_AGAIN),
    "language-malformed": ("'{found}' is no language of two letters.", _COPY_AGAIN),
    "parameter-name-malformed": ("'{found}' cannot be the name of a parameter.", _COPY_AGAIN),
    "verdict-code": ("'{found}' cannot be the name of a verdict.", _COPY_AGAIN),
    "person-empty": ("The entry of '{found}' says nothing.", _COPY_AGAIN),
    "item-part": ("An item of kind {expected} must hold that part alone; it holds: {found}.", _COPY_AGAIN),
}
