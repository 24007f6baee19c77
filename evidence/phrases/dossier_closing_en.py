"""English words of the dossier's last pages: how to verify, cautions, words used."""

_VERIFY = {
    "verify-lead": "This dossier is one file of a bundle. Anybody can check the bundle with common programs, without the tool that made it. "
    "Run these inside the bundle's folder; its VERIFY.txt says more.",
    "verify-sums": "Nothing changed since sealing: every line must end in OK.",
    "verify-signature": "The seal is whole: the answer must be “Verified OK”.",
    "verify-key": "The seal is the signer's: get the key's id from the signer by another way and compare it with the answer.",
    "verify-manifest": "This dossier belongs to this manifest: compare the answer with the digest.",
    "verify-tool": "Or all of it at once, where the tool is installed; trust.json is the reader's own list of trusted keys.",
    "verify-meaning": "An intact seal says that nothing was changed, not that what was written is true.",
    "verify-copy": "A printed or forwarded copy cannot be checked by itself: ask the sender for the bundle. The manifest attached to this file "
    "must have the digest printed on the front sheet.",
}

_CAUTIONS = {
    "caution-manual": "The maker's manual governs. Where this dossier and the manual differ, follow the manual and tell whoever made this dossier.",
    "caution-local": "Law and local codes apply whether or not a requirement here names them.",
    "caution-licensed": "Design approval, structural judgement and release for service belong to persons licensed or authorised for it.",
    "caution-later": "The evidence shows the state at the times recorded. After a crash, overload, repair or change of {stretcher} the "
    "fitting must be inspected again.",
    "caution-scope": "Only what is listed was looked at. Silence about a requirement is no statement about it.",
    "cautions-manual": "From the manual {manual}, revision {revision}",
    "cautions-intervals": "What the manual wants repeated",
}

_GLOSSARY = {
    "glossary-met": "The evidence is there and the demand is fulfilled.",
    "glossary-not-met": "The evidence is there and the demand is not fulfilled.",
    "glossary-not-shown": "The evidence is missing, or the limit is not confirmed. Never counts as met.",
    "glossary-undecided": "The evidence is there but does not decide: its uncertainty spans the limit, or it cannot be read.",
    "glossary-not-applicable": "A rule says that the requirement does not bind this vehicle.",
    "glossary-measured": "The tool measured it from evidence.",
    "glossary-recorded": "A person wrote it down while working.",
    "glossary-witnessed": "A second person saw it.",
    "glossary-document": "A third-party document says it.",
    "glossary-statement": "A named person states it.",
    "term-evidence-item": "evidence item",
    "glossary-evidence-item": "One file: a photo, a document, a table.",
    "term-fastening-system": "fastening system",
    "glossary-fastening-system": "What holds the {stretcher} to the vehicle; also called retention device.",
    "term-stretcher": "{stretcher}",
    "glossary-stretcher": "What the patient lies on; on wheels and removable.",
    "term-position": "position",
    "glossary-position": "One place for a {stretcher} in the vehicle, with its own fastening system.",
    "term-basis": "built to",
    "glossary-basis": "The edition of a standard that somebody states the vehicle is built to.",
    "term-requirement": "requirement",
    "glossary-requirement": "One demand of a standard or manual as it binds this vehicle.",
    "term-profile": "fitting profile",
    "glossary-profile": "What the maker's manual demands of a fitting, as data, with the page of each demand.",
    "term-contradiction": "contradiction",
    "glossary-contradiction": "Two pieces of evidence that cannot both be right.",
    "term-concession": "exception",
    "glossary-concession": "A departure that a named authority accepts, before (deviation permit) or after the fact (concession).",
    "term-manifest": "manifest",
    "glossary-manifest": "All evidence and findings as data; attached to this file.",
    "term-digest": "digest",
    "glossary-digest": "SHA-256: 64 digits that change whenever a file changes.",
    "term-limit-bar": "limit bar",
    "glossary-limit-bar": "Green band: what the limits allow. Dot: the value. Whisker: its expanded uncertainty (k = 2), where recorded. "
    "Arrow: beyond the drawn stretch.",
}

CLOSING_PAGES: dict[str, str] = {**_VERIFY, **_CAUTIONS, **_GLOSSARY}
