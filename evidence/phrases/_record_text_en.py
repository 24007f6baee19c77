"""English words for problems of quantities, texts and YAML: code to a sentence with named fields, and what to type."""

QUANTITY: dict[str, tuple[str, str]] = {
    "quantity-unreadable": (
        "'{found}' is no value that can be read as {dimension}.",
        "Type a number, a space and a unit, such as 120.3 mm, 18 N·m or 4 3/8 in.",
    ),
    "quantity-too-long": (
        "'{found}' has {length} characters; a value has at most {limit}.",
        "Type the number as it was read, without digits that nobody measured.",
    ),
    "quantity-cut-by-comma": (
        "The comma in '{found}' parts it into two entries, so the first has no unit.",
        "Type a decimal point, or put the whole value in quotation marks.",
    ),
    "quantity-comma-ambiguous": (
        "'{found}' can be read as {decimal} or as {grouped}.",
        "Type a point as decimal mark, or leave the thousands mark out.",
    ),
    "quantity-fraction": (
        "'{found}' is no fraction that a rule is divided by.",
        "Type halves, quarters, eighths and so on, such as 4 3/8 in, or a decimal number.",
    ),
    "quantity-unit-missing": (
        "'{found}' has no unit; one of these was expected: {expected}.",
        "Put the unit behind the number, with a space between them.",
    ),
    "quantity-unit": (
        "'{found}' is not a unit for this value; one of these was expected: {expected}.",
        "Type the value in one of these units, or check whether it belongs in another field.",
    ),
    "covers-no-quantity": (
        "{found} compares quantities, and {claim} with {fact} are not two of one kind.",
        "Write how: same, or name a claim and a fact that are both masses or both lengths.",
    ),
    "quantity-unknown": (
        "'{found}' names no quantity that can have limits.",
        "Write characteristic. or document. and one of their names that holds a number, such as characteristic.hook-position, or screws.torque.",
    ),
}

TEXTS: dict[str, tuple[str, str]] = {
    "time-unreadable": (
        "'{found}' is no time in a form that can be read.",
        "Type 2026-03-04, 2026-03-04 am, 2026-03-04 before 14:00 or 2026-03-04T10:40.",
    ),
    "time-without-t": (
        "'{found}' needs a T between day and time: {expected}.",
        "Type it like that.",
    ),
    "day-unknown": ("There is no day {found} in the calendar.", "Correct the day or the month."),
    "months-out-of-range": (
        "'{found}' is no number of months that can be meant; 1 to {limit} were expected.",
        "Type the interval in months, such as 12.",
    ),
    "date-unreadable": ("'{found}' is no date.", "Type year-month-day, such as 2026-03-04."),
    "offset-unreadable": (
        "'{found}' is no offset from UTC.",
        'Type "+01:00", "-05:00" or Z, in quotation marks.',
    ),
    "text-expected": ("Text is expected here, and something else stands there.", "Put one value here."),
    "count-unreadable": (
        "'{found}' is no count.",
        "Type a whole number from 0 to 999999 without sign, comma or unit.",
    ),
    "crop-malformed": (
        "'{found}' is no part of a page.",
        "Type left, top, right and bottom in whole percent of the page from its top left corner, such as 10 20 90 35.",
    ),
    "frame-malformed": (
        "'{found}' is not four corners.",
        (
            "Type x and y of each corner, one after the other around it, in per mille of the upright picture from its upper "
            'left corner, such as "372,404,496,415,491,467,362,455".'
        ),
    ),
    "frame-crossed": (
        "The four corners '{found}' make no frame: its sides cross, or two corners lie in one place or line.",
        "Go once around it: upper left, upper right, lower right, lower left.",
    ),
    "nonce-malformed": (
        "'{found}' is not the secret of a ticket: 6 to 16 small letters and digits.",
        "Take it from the printed ticket, or print card and tickets again with `sillmark start JOB --reprint`.",
    ),
    "yes-no-expected": ("'{found}' is neither yes nor no.", "Type yes or no."),
    "vin-malformed": (
        "'{found}' is not a VIN.",
        (
            "A VIN has 17 capital letters and digits, without I, O and Q. "
            "If it is not known yet, leave --vin out, or type {state: to come} in job.yaml."
        ),
    ),
    "pack-reference-malformed": (
        "'{found}' names no pack.",
        "Type the pack's id, @ and its version, such as en-1789-2020@1.",
    ),
    "profile-reference-malformed": (
        "'{found}' names no fitting profile.",
        "Type the profile's id, @ and its revision, such as heron-2@C.",
    ),
    "job-path-malformed": (
        "'{found}' is no file of a job folder.",
        "Name a file in photos, documents or tests, such as photos/E001.jpg; no other folder, no spaces.",
    ),
    "id-malformed": (
        "'{found}' cannot be an id.",
        (
            "An id has up to 40 letters A to Z, digits, dots, hyphens and underscores, and begins with a letter or digit. "
            "For a person the id stands here, such as w1; the name stands in people.yaml."
        ),
    ),
    "slug-malformed": (
        "'{found}' cannot be a name of this kind.",
        "Type small letters, digits and hyphens only, such as floor-plate.",
    ),
    "digest-malformed": (
        "'{found}' is no SHA-256 sum.",
        "Type the 64 digits and letters a to f that sha256sum prints.",
    ),
    "text-control-character": (
        "A character that does not print is in this text: {found}.",
        "Delete it and type the text again; text copied from another program can hold such characters.",
    ),
    "text-empty": ("The text is empty.", "Type the value, or {state: unknown} where that is allowed."),
    "text-too-long": (
        "The text has {found} characters; at most {limit} fit.",
        "Shorten it, or put the rest into a note in people.yaml.",
    ),
    "prose-too-long": (
        "The text has {found} characters; at most {limit} fit.",
        "Shorten it, or split it into two entries, each with an id of its own.",
    ),
    "text-form": (
        "'{found}' does not have the form of {example}.",
        "Type it like the example; where it begins with #, quotation marks are needed around it.",
    ),
    "text-not-ascii": (
        "'{found}' holds characters that do not fit here.",
        "Use plain letters, digits and signs without accents.",
    ),
}

YAML: dict[str, tuple[str, str]] = {
    "yaml-too-large": (
        "The file has {found} bytes; at most {limit} are read.",
        "Files like this are small texts. Check that it is the right file.",
    ),
    "yaml-not-utf8": (
        "The byte {found} is not UTF-8 text.",
        "Check that this is the right file; if it is, save it as UTF-8 in the text editor.",
    ),
    "yaml-byte-order-mark": (
        "A byte order mark ({found}) stands in the middle of the text.",
        "Delete it, or type the line again; texts joined from two files can hold one.",
    ),
    "comment-glued": (
        "What begins with {found} is not read: a # behind a space begins a comment.",
        "If it belongs to the value, quotation marks are needed around the whole value; a comment needs a space behind #.",
    ),
    "curly-quotes": (
        "{found} stands in curly quotation marks, which are read as part of the value.",
        'Type straight quotation marks ("), or none.',
    ),
    "yaml-nul": ("The text holds a NUL character ({found}).", "Save the file as plain UTF-8 text."),
    "yaml-control-character": (
        "The text holds a character that does not print ({found}).",
        "Delete it; text copied from another program can hold such characters.",
    ),
    "yaml-tab": ("A tab stands where spaces are expected.", "Indent with spaces."),
    "yaml-line-too-long": (
        "The line is longer than {limit} characters.",
        "Break it into several lines.",
    ),
    "yaml-directive": (
        "A line beginning with % stands before the first entry of the file.",
        "Delete that line.",
    ),
    "yaml-malformed": (
        "From here on the text cannot be read as YAML.",
        (
            "Look at this line and the one above: a missing space behind a colon, a bracket or quotation mark "
            "left open, a backslash in double quotation marks, or a line indented differently from its neighbours."
        ),
    ),
    "yaml-indented": (
        "This line does not go on with what began at line:column {first}: it is set in differently, or is of another sort.",
        (
            "Give it as many spaces in front as its neighbours have. An entry of a list begins with a hyphen and a space, "
            "a key ends with a colon and a space."
        ),
    ),
    "yaml-behind-quote": (
        "Text stands behind the quotation mark that closes this value.",
        (
            "Put quotation marks around the whole value, or none. Where the same mark stands inside, use the other one "
            "around it."
        ),
    ),
    "yaml-sign-first": (
        "A value cannot begin with '{found}' unless it stands in quotation marks.",
        "Put quotation marks around the whole value, or leave the sign out.",
    ),
    "yaml-colon-missing": (
        "This is no key with a value: a colon with a space behind it is missing.",
        "Write it as key: value, with a space behind the colon. An entry of a list begins with a hyphen and a space.",
    ),
    "yaml-bracket-open": (
        "The bracket or brace that was opened at line:column {first} is not closed before this, or a comma is missing.",
        "Close it at the end of its line, or put the comma in. Text behind a closing quotation mark must go inside the marks.",
    ),
    "yaml-colon-inside": (
        "The colon here stands inside a value.",
        (
            "Look at the line above as well: a space may be missing behind its colon, or this line is set in too far. "
            "Text with a colon in it needs quotation marks."
        ),
    ),
    "yaml-quote-open": (
        "The quotation mark at line:column {first} is not closed.",
        "Close it where the value ends.",
    ),
    "yaml-empty": (
        "The file holds nothing.",
        "Restore the file from a backup, or copy it from a job that `sillmark start` made.",
    ),
    "yaml-several-documents": (
        "Another text begins here, behind a line of --- or ...; a file holds one only.",
        "Delete the line that holds only --- or ..., and what stands behind it if it does not belong.",
    ),
    "yaml-too-deep": (
        "Lists and mappings are nested deeper than {limit}.",
        "Check the brackets; no honest record is that deep.",
    ),
    "yaml-too-many-values": (
        "The file holds more than {limit} values.",
        "Check that this is the right file; no honest record is that large.",
    ),
    "yaml-key-not-text": (
        "A key stands here that is no plain word.",
        (
            "Begin the line with one word and a colon. Text with a question mark or bracket in front needs "
            "quotation marks."
        ),
    ),
    "yaml-duplicate-key": (
        "'{found}' stands twice in the same place; the first is at line:column {first}.",
        "Keep one of the two.",
    ),
    "yaml-anchor": (
        "The anchor &{found} is not allowed here.",
        "Write the value out. Text that begins with & needs quotation marks.",
    ),
    "yaml-alias": (
        "The alias *{found} is not allowed here.",
        "Write the value out again. Text that begins with * needs quotation marks.",
    ),
    "yaml-tag": (
        "The tag {found} is not allowed here.",
        "Delete it. Text that begins with ! needs quotation marks.",
    ),
    "value-empty": (
        "'{key}' has no value.",
        (
            "Type the value, or {state: to come} or {state: unknown} where that is allowed, as for serials, lots and the "
            "VIN; else delete the line. Text with a comma inside braces needs quotation marks."
        ),
    ),
}
