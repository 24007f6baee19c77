"""English words of a verifier: code to one plain sentence and one hint.

Named fields: ``where`` is always there; ``detail`` is a short English phrase made of the parameters, see ``DETAILS``.
"""

VERDICTS: dict[str, tuple[str, str]] = {
    "TOO_LARGE": (
        "{where} is larger than anything an honest bundle holds{detail}.",
        "Nothing in it was read. Ask the sender what this file is.",
    ),
    "SYMLINK": (
        "{where} is a link, not a file.",
        "A bundle holds plain files only. Copy the bundle again from its source.",
    ),
    "NOT_REGULAR_FILE": (
        "{where} is neither a file nor a folder.",
        "A bundle holds plain files only. Copy the bundle again from its source.",
    ),
    "PATH_NOT_ALLOWED": (
        "{where} is a name that no bundle may use{detail}.",
        "Names use the letters A to Z, digits, dot, hyphen and underscore. The bundle was not made by this tool.",
    ),
    "PATH_COLLISION": (
        "{where} becomes one file with {other} on some computers.",
        "Do not unpack this bundle elsewhere. Ask the sender for the original.",
    ),
    "MANIFEST_SYNTAX": (
        "{where} does not follow the rules for a list of sums{detail}.",
        "The list was changed or made by another program. Ask the sender for the original.",
    ),
    "EXTRA_FILE": (
        "{where} is in the folder, but the sealed list does not name it.",
        "It is no part of the evidence. Move it out of the folder, or ask who put it there.",
    ),
    "FILE_MISSING": (
        "{where} belongs to the bundle, but is not there.",
        "Copy the bundle again from its source, or ask the sender for the whole of it: a bundle from which anything was taken out, names included, cannot be verified.",
    ),
    "DIGEST_MISMATCH": (
        "{where} is not the file that was sealed: its SHA-256 begins {found} instead of {expected}.",
        "The file was changed or damaged after sealing. Compare it with another copy of the bundle.",
    ),
    "SIGNATURE_MISSING": (
        "{where} is missing, so nobody vouches for this bundle.",
        "Ask the sender for the signed bundle.",
    ),
    "SIGNATURE_INVALID": (
        "{where} does not hold for the list of files{detail}.",
        "The list was changed after signing, or somebody else signed it. Do not rely on any part of the bundle.",
    ),
    "MALFORMED": (
        "{where} cannot be read{detail}.",
        "It was sealed like this. Ask the signer for a bundle made by an unchanged program.",
    ),
    "JSON_DUPLICATE_KEY": (
        "{where} names the same field twice{detail}, so two readers could read two things.",
        "It was sealed like this. Ask the signer for a bundle made by an unchanged program.",
    ),
    "TOO_DEEP": (
        "{where} nests its parts deeper than any honest document{detail}.",
        "It was sealed like this and was not read. Ask the signer what it is.",
    ),
    "NUMBER_NOT_ALLOWED": (
        "{where} holds a number that not every reader reads alike{detail}.",
        "It was sealed like this. Ask the signer for a bundle made by an unchanged program.",
    ),
    "NOT_CANONICAL": (
        "{where} is not written in the one canonical form (RFC 8785).",
        "It was sealed like this. Ask the signer for a bundle made by an unchanged program.",
    ),
    "UNSUPPORTED_SCHEME": (
        "{where} names a format or scheme that this version does not know: {found} instead of {expected}.",
        "Use a version that knows it; nothing was checked with a guess.",
    ),
    "SCHEMA_MISMATCH": (
        "{where} does not have the fields that its format demands{detail}.",
        "It was sealed like this. Ask the signer for a bundle made by an unchanged program.",
    ),
    "LEAF_SET_WRONG": (
        "{where} does not agree with the files of the bundle{detail}.",
        "It was sealed like this. Ask the signer why evidence is missing, added or listed as personal.",
    ),
    "UNTRUSTED": (
        "There is no trust file, so nothing says whose key {key} is.",
        "Get the signer's key id by another way, pin it, or name a trust file; the bytes alone are intact.",
    ),
    "UNKNOWN_KEY": (
        "The key {key} is not among the keys that you have pinned.",
        "Compare its whole id, which stands below, with the signer by another way before you pin it.",
    ),
    "REVOKED": (
        "The key {key} was withdrawn on {found}.",
        "Ask the signer for the successor key and for a bundle sealed with it.",
    ),
    "EXPIRED": (
        "The key {key} is not valid: {found} lies outside its term {expected}, and nothing proves the time of sealing.",
        "Ask the signer for a bundle sealed with a key in force.",
    ),
    "CHAIN_BROKEN": (
        "{where} does not give the place of a first bundle{detail}.",
        "This version checks a vehicle's first bundle only. Ask the signer for the whole chain.",
    ),
    "PDF_MANIFEST_DIFFERS": (
        "{where} does not carry the manifest of this bundle{detail}.",
        "Read data/manifest.json instead, and ask the signer which of the two is right.",
    ),
    "RECOMPUTE_DIFFERS": (
        "{where} holds a result that recomputing from the bundle does not give{detail}.",
        "Rely on neither result. Ask the signer how it came about.",
    ),
    "JUDGE_DIFFERS": (
        "The results were judged by rules of version {found}; this program has version {expected}.",
        "A recomputed result may differ for that reason alone. Recompute with the version that judged.",
    ),
    "ITEM_NOT_RECOMPUTED": (
        "{where} was not recomputed: {found} is an HEIC photo and the extra that reads those is not installed here.",
        "What is stored about it was taken on the signer's word. Install sillmark[heic] and verify again.",
    ),
    "ITEM_SEALED_UNREAD": (
        "{where} was not recomputed: {found} is an HEIC photo that was sealed unread, so nothing rests on it.",
        "Nothing is wrong with the seal. Look at the photo itself, or ask the builder for a bundle that reads it.",
    ),
    "ITEM_PERSONAL_WITHHELD": (
        "{where} was recomputed in part: names are withheld, so what {found} leaves out as personal is only signed.",
        "Look at the photo itself where its codes or its camera matter, or ask for the withheld names.",
    ),
    "ITEM_CODES_UNREAD": (
        "{where} was recomputed in part: the search for codes in {found} gave up, here or when it was sealed.",
        "What is stored about its codes was taken on the signer's word. Look at the photo, or verify again later.",
    ),
}

BOTTOM_LINES: dict[str, str] = {
    "VALID": "Unchanged since sealing and signed by a key that you have pinned; the time of sealing is the signer's own word.",
    "INTACT": "Unchanged since sealing; who signed was not asked.",
    "INTACT_SIGNER_UNKNOWN": "Unchanged since sealing, but who signed it is unknown.",
    "INTACT_KEY_NOT_VALID": "Unchanged since sealing, but the signer's key is not valid.",
    "NOT_VERIFIED": "Not verified: do not rely on this bundle.",
}

STEPS: dict[str, str] = {
    "size": "Size",
    "listing": "List of files and their names",
    "sums": "Check sums",
    "signature": "Signature over the list",
    "parse": "Strict reading",
    "schema": "Fields of every document",
    "leaves": "Evidence and personal lists",
    "trust": "Whose key",
    "chain": "Place in the chain",
    "dossier": "Manifest inside the dossier",
    "recompute": "Results recomputed",
}

MORE = "… and {count} more like it"
FIELD = "field {path}"
WHOLE = "This bundle"
NO_DOCUMENT = "what stands in it is no document of its format"
LABELS: dict[str, str] = {
    "requirement": "requirement",
    "subject": "asked of",
    "found": "found",
    "expected": "expected",
    "limit": "limit",
}
"""Parameters that a sentence quotes, in this order, each by its label."""
RECOMPUTED: dict[str, str] = {
    "requirement": "requirement",
    "subject": "asked of",
    "found": "sealed",
    "expected": "recomputed",
}
"""The same where a sealed result is held against the recomputed one."""

STATES: dict[str, str] = {
    "passed": "ok",
    "failed": "FAILED",
    "skipped": "not reached",
    "not asked": "not asked",
}

DETAILS: dict[str, str] = {
    "attachment-differs": "the attached manifest has other bytes",
    "attachment-missing": "no manifest is attached",
    "character": "a character outside the allowed ones",
    "control-character": "a control character",
    "parent-folder": "it leads out of the folder",
    "absolute": "it starts at the root of the disk",
    "backslash": "a backslash",
    "drive-letter": "a drive letter",
    "hidden": "it is hidden",
    "trailing-dot": "it ends with a dot",
    "trailing-space": "it starts or ends with a space",
    "reserved-name": "a name that some systems keep for a device",
    "not-nfc": "letters in another Unicode form",
    "empty": "an empty part",
    "too-long": "it is too long",
    "wrong-class": "it is in the wrong one of the two lists",
    "not-listed": "it is in neither list",
    "not-in-bundle": "it is listed, but no file of the bundle",
    "derived-from-nothing": "a derived file that comes from no photo, document or page that somebody read",
    "no-twin-allowed": "a redacted copy of something that never has one",
    "count-differs": "the number of lines differs",
    "digest-differs": "the digest differs",
    "empty-list": "the list is empty",
    "key-differs": "another key signed than the one named",
    "not-der": "it is no signature in strict form",
    "wrong-key": "the public key beside it did not make it",
    "key-malformed": "the public key beside it cannot be read",
    "key-not-p256": "the public key beside it is of another algorithm",
    "predecessor-named": "a first bundle has no predecessor",
    "later-bundle": "it is a later bundle",
    "no-dossier": "there is no dossier",
    "oxum-differs": "size or number of files differs",
    "outside-payload": "it lies outside data/",
    "fixed-text": "it must hold exactly the agreed lines",
    "pdf-unreadable": "it cannot be read as a PDF",
    "pdf-attachment-twice": "two manifests are attached",
    "pdf-attachments-too-large": "more is attached than to any honest dossier",
    "reader-gave-up": "reading it took more time or memory than any honest file does",
    "not-a-public-key": "it holds no public key in PEM form",
    "not-a-private-key": "it holds no private key in PEM form, or one with a password",
}

MORE_DETAILS: dict[str, str] = {"shape": "its parts do not fit together"}
"""Reasons that only a verifier gives."""

RULES: dict[str, str] = {
    "additionalProperties": "a field that the format does not know",
    "bool_type": "yes or no (true or false) is asked here",
    "const": "another word or value is asked here",
    "enum": "another word is asked here",
    "extra_forbidden": "a field that the format does not know",
    "greater_than_equal": "the number is too small",
    "int_from_float": "a whole number is asked here",
    "int_type": "a whole number is asked here",
    "less_than_equal": "the number is too large",
    "literal_error": "another word is asked here",
    "maxItems": "the list has too many entries",
    "maxLength": "the text is too long",
    "maximum": "the number is too large",
    "minItems": "the list has too few entries",
    "minLength": "the text is too short",
    "minProperties": "nothing stands in it",
    "minimum": "the number is too small",
    "missing": "a field is missing",
    "pattern": "it is written otherwise than the format asks",
    "required": "a field is missing",
    "sillmark": "this value does not fit here",
    "string_pattern_mismatch": "it is written otherwise than the format asks",
    "string_too_long": "the text is too long",
    "string_too_short": "the text is too short",
    "string_type": "text is asked here",
    "string_unicode": "it holds a character that is none",
    "too_long": "the list has too many entries",
    "too_short": "the list has too few entries",
    "tuple_type": "a list is asked here",
    "type": "a value of another kind is asked here",
}
"""Rules of a format by the names that its checkers give them; a rule that is not here is told as ``sillmark``."""

REASON_WORDS: dict[str, str] = {
    **{f"reason-{code}": text for code, text in DETAILS.items()},
}
"""The same for the sentences of problems."""
RULE_WORDS: dict[str, str] = {f"kept-rule-{code}": text for code, text in RULES.items()}
"""Likewise; only a terminal tells them."""

PROBLEMS: dict[str, tuple[str, str]] = {
    "bundle-missing": ("There is no bundle folder here.", "Name the folder that holds bagit.txt."),
    "bundle-packed": (
        "This is a packed file, not a bundle folder.",
        "Unpack it first, then name the folder.",
    ),
    "bundle-none": (
        "This is no bundle: it has neither bagit.txt nor manifest-sha256.txt.",
        "Name the folder that holds bagit.txt; if it was here, ask for a fresh copy.",
    ),
    "bundle-below": (
        "This is no bundle; bundles below it: {found}.",
        "Name one of them, or the folder of one vehicle.",
    ),
    "bundle-several": (
        "This folder holds several bundles of one vehicle: {found}.",
        "Name the one to be printed.",
    ),
    "copy-impossible": (
        "Nothing was printed: what is sealed here does not fit together.",
        "Ask whoever sealed it for a fresh bundle; the sealed dossier itself lies in data, its name begins with dossier.",
    ),
    "copy-not-verified": (
        "Nothing was printed: this bundle is not whole; the failed steps stand above.",
        "Ask whoever sealed it for a fresh bundle.",
    ),
    "changed-while-read": (
        "The file changed while it was read.",
        "Work on a copy that nobody else writes to, and start again.",
    ),
    "source-changed": (
        "The file changed after it was read for this bundle.",
        "Let all copying end, then assemble again.",
    ),
    "file-absent": ("There is no such file.", "Check the path."),
    "file-exists": (
        "A file with this name is there already.",
        "Choose another name, or move the old file away.",
    ),
    "file-not-regular": ("This is no plain file.", "Name a file, not a folder, pipe or device."),
    "file-symlink": ("This is a link, and links are not followed.", "Put the file itself there."),
    "file-vanished": (
        "This was there a moment ago and is gone.",
        "Let all copying end, then start again.",
    ),
    "file-read-only": (
        "This file is closed to writing, so it was left as it is.",
        "Allow writing (chmod u+w), or ask who closed it and why.",
    ),
    "file-too-large": (
        "The file has {found} bytes; at most {limit} are read.",
        "Check that it is the right file; a smaller export may be possible.",
    ),
    "file-unreadable": (
        "The system does not let this be read ({reason}).",
        "Check permissions and the disk.",
    ),
    "file-unwritable": (
        "The system does not let this be written ({reason}).",
        "Check permissions, free space and that the folder exists.",
    ),
    "folder-missing": ("There is no such folder.", "Check the path."),
    "tree-too-large": (
        "There are more files or deeper folders than are looked at (at most {limit} entries).",
        "Name the folder of one job or one bundle.",
    ),
    "path-not-allowed": (
        "This name cannot be used on every computer ({reason}).",
        "Rename it: letters, digits, dot, hyphen and underscore are safe.",
    ),
    "path-collision": (
        "This name and {other} are one file on some computers.",
        "Rename one of the two.",
    ),
    "key-unknown": ("No key with the id {found} is here.", "See `sillmark key list`."),
    "key-ambiguous": ("Several keys fit: {found}.", "Name one by more of the first digits of its id."),
    "key-permissions": (
        "Others than its owner can use this private key (mode {found}).",
        "Take their access away with chmod 600. If others may have read it, make a new key and say so.",
    ),
    "key-malformed": (
        "This is no key that can be read ({reason}).",
        "A key is a PEM file as `sillmark key export` prints it.",
    ),
    "key-not-p256": (
        "This key is not one for ECDSA on P-256.",
        "Only such keys are used; make one with this program.",
    ),
    "key-other-id": (
        "The key's id is {found}, but {expected} is written here.",
        "Do not use it until you know where it came from.",
    ),
    "trust-schema": (
        "This trust file does not follow its format here ({rule}).",
        "Compare it with trust.json, which `sillmark key pin` writes.",
    ),
}
