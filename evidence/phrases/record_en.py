"""English words for problems of typed input: code to one sentence with named fields, and what to type instead."""

from evidence.phrases._record_sealed_en import SEALED
from evidence.phrases._record_tests_en import TESTS
from evidence.phrases._record_text_en import QUANTITY, TEXTS, YAML
from evidence.phrases._record_work_en import WORK

_SHAPE: dict[str, tuple[str, str]] = {
    "type-mismatch": (
        "A {expected} was expected here, not a {found}.",
        (
            "A text stands behind the colon; a list has a line with a hyphen for each entry, or stands in [ ]; "
            "a mapping has key: value lines, or stands in { }. {state: unknown} is not allowed everywhere; where it is "
            "refused, delete the line."
        ),
    ),
    "field-missing": ("'{key}' is missing.", "Add a line with this key and its value."),
    "field-unknown": (
        "'{found}' is not a key that can stand here; these can: {expected}.",
        "Delete it, or move it to where it belongs.",
    ),
    "field-misspelt": (
        "'{found}' is not a key that can stand here; '{meant}' can. All of them: {expected}.",
        "Correct the spelling.",
    ),
    "word-not-allowed": (
        "'{found}' is not one of the words that can stand here: {expected}.",
        "Type one of these words.",
    ),
    "word-misspelt": (
        "'{found}' is not one of the words that can stand here; '{meant}' is. All of them: {expected}.",
        "Correct the spelling.",
    ),
    "list-too-short": (
        "Entries that stand here: {found}; at least {limit} must be there.",
        "Add what is missing.",
    ),
    "list-too-long": (
        "Entries that stand here: {found}; at most {limit} are read.",
        "Take out what does not belong; no honest list is that long.",
    ),
    "value-not-accepted": (
        "'{found}' is not accepted here ({rule}).",
        "Compare the entry with the same one of a job that `sillmark start` made.",
    ),
    "problems-not-listed": (
        "Problems of this file that are not listed: {found} more.",
        "Correct those that are listed, then check again.",
    ),
    "format-missing": (
        "'format' is missing; '{expected}' was expected.",
        "Write it as the first line: format, a colon, a space and that name.",
    ),
    "format-unknown": (
        "'{found}' is not a format that belongs here; '{expected}' was expected.",
        "Check that this is the right file.",
    ),
    "format-newer": (
        "The file has format '{found}' and was made by a newer version; this one reads '{expected}'.",
        "Update the tool.",
    ),
}

_MODEL: dict[str, tuple[str, str]] = {
    "zero-check-of-other-instrument": (
        "A zero check stands with an instrument of the kind {found}; only a gauge card has one.",
        "Move it to the gauge card's entry, or correct the kind to gauge-card.",
    ),
    "vehicle-without-identity": (
        "Nothing here tells which vehicle this is.",
        "Add build, module_serial or vin.",
    ),
    "more-faultless-than-done": (
        "Cycles without fault are {found}, and that is more than the {limit} done.",
        "Correct one of the two numbers.",
    ),
    "document-exhibit-or-held": (
        "A document either is in the job folder or is held elsewhere.",
        "Give exhibit with its id, or held with who holds it; not both.",
    ),
    "criterion-without-limit": (
        "The criterion asks for nothing that could be compared.",
        "Give the limit, list or fact it is compared with, or limit: not-held where the number is not known.",
    ),
    "cycles-without-use": (
        "Cycles are asked for on the day that is judged, and no count can be read after that day.",
        "Write event: work, so that every use is held against the reading that came after it.",
    ),
    "fact-unknown": (
        "'{found}' is no fact that a rule can read.",
        "Use a fact of the record such as position.system-model, or document.<claim>.",
    ),
    "shows-without-window": (
        "Only a photo of a lock window can be asked to show '{found}', and only one of the role {expected}.",
        "Write that role under evidence_from, or leave shows out.",
    ),
    "neutral-empty": (
        "The neutral patches are named, and neither of them is given.",
        "Type the corners of the tile's field under grey or white, or leave neutral out.",
    ),
    "window-without-colours": (
        "A window that shows a colour needs the colours locked and open.",
        'Add locked: "#rrggbb" and open: "#rrggbb" from the manual, or shows: pin, lever or lamp.',
    ),
}

_MEANING: dict[str, tuple[str, str]] = {
    "window-field-elsewhere": (
        "'{found}' belongs to a photo with one of the roles {expected}; this one shows {role}.",
        "Move it to the photo of the lock window, or correct the role.",
    ),
    "window-read-by-nobody": (
        "The indicator is said to show '{found}', and nobody is named who saw it.",
        "Add by: with the id of the person who looked.",
    ),
    "id-duplicate": (
        "'{found}' is used twice; the first is at {first}.",
        "Give one of the two another id, and change what refers to it.",
    ),
    "id-reserved": ("'{found}' cannot be an id: it means the vehicle itself.", "Choose another id."),
    "file-twice": (
        "The file {found} is named twice; the first is at {first}.",
        "Give each file one entry. Where one file shows two things, copy it under a second name.",
    ),
    "id-unknown": (
        "'{found}' names nothing in this record; expected: {expected}. There are: {known}.",
        "Correct the id, or add the entry that it should name.",
    ),
    "id-wrong-kind": (
        "'{found}' is the id of another kind of entry ({kind}); expected: {expected}.",
        "Name an entry of the right kind by its id.",
    ),
    "redo-of-other-step": (
        "This redo of step '{expected}' names {found}.",
        "Name the earlier entry of the same step.",
    ),
    "redo-of-itself": (
        "'{found}' redoes itself, through one or more others.",
        "Let redo_of name the earlier entry only.",
    ),
    "card-row-of-other-role": (
        "{found} is no work card, so no row of it can be named.",
        "Name the scan of the card, an exhibit of role work-card.",
    ),
    "card-row-from-one": (
        "Pages and rows of a card are counted from 1, not from {found}.",
        "Type the numbers that are printed on the card.",
    ),
    "ticket-twice": (
        "'{found}' has two tickets; the first is at {first}.",
        "Keep the one that was printed: its code stands on the paper below the picture.",
    ),
    "retyped-field-unknown": (
        "'{found}' is no field that is typed twice in such an entry ({kind}); there are: {expected}.",
        "Correct the field, or the id behind of.",
    ),
    "retyped-of-nothing": (
        "'{found}' has no {field} yet with which a second typing could be compared.",
        "Type the value in its own place first, or delete this entry.",
    ),
    "retyped-count": (
        "The second typing has a count of {found} values, the first one {expected}.",
        "Type as many values as there are, in the same order; more or fewer is a slip in one of the two.",
    ),
    "offsets-unsorted": (
        "The offset from {found} stands after the one from {expected}.",
        "List the offsets by date, each day once.",
    ),
    "offset-missing": (
        "'{found}' lies before {first}, the first day for which an offset from UTC is listed.",
        "Add an earlier entry to offsets, or write the time with its offset, such as 2026-03-04T10:40+01:00.",
    ),
    "exhibits-not-last": (
        "The list exhibits must be the last one in the file; '{found}' stands behind it.",
        "Move exhibits with all its lines to the end.",
    ),
    "profile-differs": (
        "The record names the profile {found}; the profile in the folder is {expected}.",
        "Name the revision that was in force on the day of fitting, and put that profile into the folder.",
    ),
    "step-unknown": (
        "The profile has no step '{found}'; it has: {expected}.",
        "Use the profile's own names of steps.",
    ),
    "screw-group-unknown": (
        "The profile has no screw group '{found}'; it has: {expected}.",
        "Use the profile's own names of groups.",
    ),
    "placeholder-value": (
        "'{found}' stands in place of a value and would be sealed as one.",
        (
            "Type the value. Where it is not known yet, write {state: to come} if the field allows it, as serials, lots "
            "and the VIN do; else delete the line."
        ),
    ),
    "personal-value-in-record": (
        "The value holds a {kind} that stands in people.yaml; the record and what is made from it hold none.",
        "Write the person's id instead, or move the text to notes in people.yaml.",
    ),
    "note-unknown": (
        "people.yaml has no note '{found}'.",
        "Add the note under notes in people.yaml, or delete the reference.",
    ),
    "note-without-people": (
        "The text of note '{found}' stands in people.yaml, and that file is not there.",
        "Restore people.yaml from a backup, or write it again with this note under notes.",
    ),
    "note-id-taken": (
        "The note's id '{found}' already names another entry of the record ({kind}).",
        "Give the note an id of its own, such as n1.",
    ),
    "profile-kind-unanswered": (
        "The profile says nothing about '{found}'.",
        "Add an item that answers it, or an entry under silent with the page where the manual would say it.",
    ),
    "profile-kind-answered-and-silent": (
        "'{found}' is answered by an item, yet the manual is said to be silent on it.",
        "Delete one of the two.",
    ),
    "profile-page-missing": (
        "'{found}' is marked as confirmed, but no page of the manual is given.",
        "Add page, or use the mark of the source it really comes from.",
    ),
    "vin-bound-without-vin": (
        "The VIN is said to have been bound to this vehicle, and no VIN is typed in.",
        "Type it under vin as the photo shows it, or delete vin_bound.",
    ),
    "clock-read-twice": (
        "The clock in photo {found} was read already.",
        "Keep the line that is right. A second photo of a clock ticket has an id of its own.",
    ),
    "clock-time-vague": (
        "'{found}' is no time that a clock shows.",
        "Type what the clock in the photo shows, as 2026-03-04T07:55 or 2026-03-04T07:55:10.",
    ),
    "exhibit-role-differs": (
        "{found} is filed as {role}; to show this, one of these is needed: {expected}.",
        "Name the right photo, or correct its role.",
    ),
    "yields-unknown": (
        "'{found}' is nothing that a step can yield; these are: {expected}.",
        "Use the name of a characteristic, a kind of cycles, a role of evidence, or torque.",
    ),
    "yields-misspelt": (
        "'{found}' is nothing that a step can yield; '{meant}' is. All of them: {expected}.",
        "Correct the spelling.",
    ),
    "yields-twice": (
        "'{found}' comes from two steps; the first is at {first}.",
        "Leave it where the value or evidence counts; only steps of different screw groups may both have it.",
    ),
    "step-loop": (
        "Step '{found}' must come after itself.",
        "Follow the lists after of the steps and take the one out that closes the loop.",
    ),
    "mark-not-allowed": (
        "The mark '{found}' cannot stand here.",
        (
            "Name where the demand comes from. Confirmed and invented come in through a confirmation pack or a "
            "manual; a practice pack holds practice only."
        ),
    ),
    "dates-reversed": (
        "This day, {found}, must not lie before {expected}, and it does.",
        "Correct one of the two dates.",
    ),
    "english-missing": (
        "The text is given in {found}, not in English.",
        "Add en: the other languages fall back on it.",
    ),
    "clause-number-malformed": (
        "'{found}' cannot stand in the name of a requirement.",
        "Use letters, digits, dots and hyphens, such as 4.4.11.",
    ),
    "pack-empty": (
        "A {found} pack needs {expected}; this one has none.",
        "Add them, or correct kind.",
    ),
    "pack-kind-differs": (
        "'{found}' cannot stand in a {kind} pack.",
        "Delete it, or put it into a pack of its own.",
    ),
    "pack-without-standard": (
        "A standard pack must say which edition it holds.",
        "Add standard with designation, title, issuer, mark and source.",
    ),
    "rule-criterion-unknown": (
        "The rule names '{found}', which is no criterion of this clause; it has: {expected}.",
        "Correct the name.",
    ),
    "criterion-not-in-rule": (
        "No part of the rule of clause {clause} names the criterion '{found}'.",
        "Add it to all or to a route, or delete it.",
    ),
    "claim-page-zero": (
        "There is no page 0.",
        "Count from the first sheet: the first is page 1. If the page is not known, leave page out.",
    ),
    "claim-read-without-page": (
        "{found} read this claim, but the page is missing.",
        "Write the page beside it, such as page: 2, so that others can look there.",
    ),
    "claim-crop-without-reader": (
        "A part of a page is given ({found}), but nobody is named who read it.",
        "Write who read it, such as read_by: w3, or leave crop out.",
    ),
    "slot-unknown": (
        "No exhibit has the id '{found}'.",
        "Check the id in the list exhibits.",
    ),
    "slot-filled": (
        "The exhibit '{found}' already has its file.",
        "Add the new file as an exhibit of its own.",
    ),
    "edit-not-possible": (
        "The file is laid out in a way that nothing can be added to it without rewriting it.",
        "Write exhibits as the last key, one line with a hyphen for each, or add the entry by hand.",
    ),
}

_REGISTER: dict[str, tuple[str, str]] = {
    "requirement-malformed": (
        "'{found}' is no requirement.",
        "A requirement is pack@version/clause/criterion, such as en-1789-2020@1/5.3/test-deceleration.",
    ),
    "pack-unknown": (
        "There is no pack '{found}'; there are: {expected}.",
        "Correct the name, or put the pack into the folder packs of the job.",
    ),
    "pack-misspelt": (
        "There is no pack '{found}'; '{meant}' is there. All of them: {expected}.",
        "Correct the name, or put the pack into the folder packs of the job.",
    ),
    "pack-twice": (
        "Two files call themselves pack {found}.",
        "Delete one, or give it another id or version.",
    ),
    "route-unknown": (
        "No pack of this basis has the clause and route '{found}'; there are: {expected}.",
        "Correct clause or route.",
    ),
    "confirmation-unknown": (
        "'{found}' names no criterion of any pack.",
        "Copy the name from `sillmark register check JOB`, which lists what waits for a confirmation; its form is pack@version/clause/criterion.",
    ),
    "confirmation-twice": (
        "'{found}' is confirmed twice; the first is at {first}.",
        "Keep one of the two.",
    ),
    "confirmation-without-number": (
        "'{found}' has no number in its pack, and this confirmation gives none.",
        "Add replaces with the number from your own copy.",
    ),
    "confirmation-does-not-fit": (
        "A criterion of type {type} has no '{found}' to replace.",
        "Delete it, or confirm the criterion that was meant.",
    ),
    "confirmation-given-and-not": (
        "'{found}' is given and stands under without too.",
        "Keep the number, or keep it under without where your own copy gives none.",
    ),
    "edition-unknown": (
        "No edition has the id '{found}'.",
        "Correct the id, or add the edition.",
    ),
    "edition-date-unreadable": (
        "'{found}' is no year, month or day.",
        "Type 2016, 2016-11 or 2016-11-15, as the source gives it.",
    ),
}

RECORD: dict[str, tuple[str, str]] = {
    **QUANTITY,
    **TEXTS,
    **YAML,
    **_SHAPE,
    **_MODEL,
    **WORK,
    **TESTS,
    **_MEANING,
    **_REGISTER,
    **SEALED,
}
"""Every problem of quantities, times, JSON and YAML text, models, record and register."""
