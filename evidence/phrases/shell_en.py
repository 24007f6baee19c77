"""English words of the program itself: its problems with what to do, and the short words of its answers."""

SHELL: dict[str, tuple[str, str]] = {
    "name-cannot-print": (
        "the name of {person} has a character that no font of the dossier has: {found}.",
        "Write the name with letters that can be printed; a signatory's name is never changed silently.",
    ),
    "typeset-failed": (
        "the dossier could not be set: {found}.",
        "This is a fault of the program or of its templates; please report it.",
    ),
    "typeset-too-slow": (
        "setting the dossier took longer than {limit} and was stopped.",
        "Try again on a quieter machine; with very many photos, split what is no evidence off.",
    ),
    "job-missing": (
        "there is no job folder here.",
        "Check the path, or make the folder with `sillmark start`.",
    ),
    "job-exists": (
        "something with this name is there already.",
        "Choose another name; `start` never writes over a job.",
    ),
    "bundle-exists": (
        "this bundle is there already, and a sealed bundle is never written over.",
        "Choose another folder with -o, or move the old one away.",
    ),
    "open-points": (
        "{count} open, so no bundle was made.",
        "Run `sillmark check` to see what is open, or leave out --require-complete.",
    ),
    "id-unusable": (
        "'{found}' cannot be the id of a person or note: a file of the bundle could not bear it.",
        "Choose another id, such as w1 or n1.",
    ),
    "pack-shadows-shipped": (
        "the job's pack {found} calls itself one that ships, and says something else.",
        "Give it an id of its own, and confirm single numbers with a confirmation pack.",
    ),
    "redacted-copy-wrong": (
        "the redacted copy is the original itself, or no readable PDF ({found}).",
        "Black out what is personal, export it as PDF under this name, or delete it: a stub then takes its place.",
    ),
    "pack-not-shipped": (
        "no pack is called {found}; there are: {expected}.",
        "Name it with its version, as `register list` prints it.",
    ),
    "edition-not-held": (
        "no edition of {found} is held; there are: {expected}.",
        "Name a standard as listed, or a pack with its version, such as en-1789-2020@1.",
    ),
    "vehicle-not-named": (
        "a vehicle is known by its build number or its VIN, and neither was given.",
        "Give --build or --vin; the other one can be written into job.yaml later.",
    ),
    "profile-not-named": (
        "no fitting profile was given.",
        "Give --profile with the file, or --reprint to print the paper of an existing job again.",
    ),
    "profiles-differ": (
        "these profiles are not revisions of one manual: {found}.",
        "Give the revisions of one manual, or the one profile that is wanted.",
    ),
    "profile-none-in-force": (
        "none of these revisions is in force on {day}: {found}.",
        "Ask the maker for the revision of that day, or give the one profile that is wanted.",
    ),
    "profile-several-in-force": (
        "more than one of these revisions is in force on {day}: {found}.",
        "Write into the older one until when it is valid (valid_until), or give the one that is wanted.",
    ),
    "argument-empty": ("nothing stands behind this option.", "Write the value, or leave the option out."),
    "out-not-folder": ("this is a file, not a folder.", "Name a folder for the bundles with -o."),
    "worker-died": (
        "the process that worked on this job ended without an answer.",
        "Assemble this job by itself; with many large photos, use fewer jobs at a time (-j).",
    ),
    "system-refused": (
        "the system refused this ({reason}).",
        "Check permissions, free space and the disk, then run the command again.",
    ),
    "output-refused": (
        "the answer could not be written ({reason}).",
        "Check where the output goes: the disk may be full.",
    ),
    "intake-malformed": (
        "this line of the intake log is not one that the tool wrote.",
        "Restore intake.jsonl from a copy; it is never edited by hand.",
    ),
    "seed-malformed": (
        "the seed holds {found} bytes instead of {expected}.",
        "Restore it from a copy. Without the old seed, new bundles of this job get other salts.",
    ),
    "subject-unknown": (
        "the record has no entry {found}.",
        "Name the vehicle, or the id of a position, screw group, instrument, person or document in job.yaml.",
    ),
    "subject-needed": (
        "{role} may belong to more than one thing: {choices}.",
        "Say which with --for, e.g. --for p1.",
    ),
    "subject-not-recorded": (
        "{role} belongs to the record's {kind}, and there is none yet.",
        "Write it into job.yaml first, or say with --for what the file belongs to.",
    ),
    "already-filed": (
        "this very file is filed as {found} already, and as {role} too.",
        "Nothing is to be done. If it belongs to something else as well, say so with --for.",
    ),
    "role-of-another-kind": (
        "{role} is shown by {expected}, and this is a {found}.",
        "Check the file and what stands behind --as.",
    ),
    "exhibit-id-malformed": (
        "'{found}' cannot be the id of an evidence item.",
        "Write up to 40 letters A to Z, digits, hyphens and underscores; a dot is not allowed here.",
    ),
    "exhibit-not-filed": (
        "a file of kind {kind} cannot be filed.",
        "File photos, PDF documents or tables as CSV, XLSX or ODS.",
    ),
    "manifest-repeated": (
        "{found} stands twice in the manifest.",
        "This is a fault of the program; please report it.",
    ),
    "manifest-dangling": (
        "{found} is named but not there.",
        "This is a fault of the program; please report it.",
    ),
    "manifest-miscounted": (
        "the counts do not follow from the findings ({expected}).",
        "This is a fault of the program; please report it.",
    ),
    "recompute-item": (
        "the file of {found} says something else than what is stored about it.",
        "Compare the tool versions; then ask the builder.",
    ),
    "recompute-extra-missing": (
        "{found} is an HEIC photo, and the extra that reads those is not installed here.",
        "Install it with pip install 'sillmark[heic]' and verify again; until then this item stands as signed.",
    ),
    "recompute-sealed-unread": (
        "{found} is an HEIC photo that was sealed unread, because the extra that reads those was missing there.",
        "Nothing rests on it. Ask the builder for a bundle made with the extra if it matters.",
    ),
    "documents-too-large": (
        "the documents together have {found} bytes; a dossier carries at most {limit}.",
        "Scan them again at a lower resolution, or file only the pages that prove something.",
    ),
    "recompute-manifest": (
        "{found} in the manifest does not come out of the rest of the bundle.",
        "Look at the evidence and the record yourself, and ask the builder.",
    ),
    "recompute-finding": (
        "{requirement} for {subject}: stored as {found}, recomputed as {expected}.",
        "Look at the evidence of this requirement yourself.",
    ),
    "recompute-contradiction": (
        "the contradiction {found} does not come out the same.",
        "Look at both places yourself.",
    ),
    "recompute-impossible": (
        "this bundle cannot be judged again ({reason}).",
        "Its findings stand as signed; use the tool version named in seal.json to judge again.",
    ),
}
WORDS: dict[str, str] = {
    "hint-general": "Nothing was changed.",
    "hint-usage": "Nothing was changed. `sillmark COMMAND --help` shows how the command is used.",
    "hint-input": "Nothing was changed. Correct the places above and run the command again.",
    "hint-hostile": "The file was given up on and nothing was changed. Export it anew from the program that made it.",
    "hint-integrity": "What was sealed and what is there differ. Keep the folder as it is and ask for a fresh copy.",
    "hint-no-bundle": "Nothing was verified.",
    "hint-each": "The other jobs were looked at by themselves. Correct the places above and run this one again.",
    "interrupted": "Interrupted. Nothing half-made stays; what was finished before is whole.",
    "hint-tool": "Install what is named above and run the command again.",
    "more-problems": "… and {count} more.",
    "more-like-it": "… and {count} more like it in {where}.",
    "listed-missing": "{exhibit}: the record names {path}, and there is no such file. Copy it to that place again from the phone or a backup.",
    "there-unlisted": "{path} is there, but the record does not name it. File it with `sillmark add`, or take it out.",
    "step-examine": "{job}: reading the evidence",
    "step-judge": "{job}: judging",
    "step-dossier": "{job}: setting the dossier",
    "step-seal": "{job}: sealing",
    "step-verify": "{bundle}",
    "closes-fitter": "For the fitter",
    "closes-paperwork": "For the paperwork desk",
    "closes-supervisor": "For the supervisor",
    "closes-laboratory": "For the test laboratory",
    "closes-agency": "For the agency",
    "closes-maker": "For the maker",
    "closes-signatory": "For the signatory",
    "assembled-dossier": "{path}/data/dossier.{language}.pdf",
    "assembled-complete": "{job}: nothing open. Sealed in {path}",
    "assembled-open": "{job}: {count} open. Sealed in {path}",
    "started": "{job} is ready, with {count} evidence items open:",
    "started-paper": "Print on paper before the work begins:",
    "started-card": "  {path}  work card, {count} pages: fill it in by pen, then scan it and add it as work-card",
    "started-tickets": "  {path}  tickets: cut them out and hold the right one into every photo; photograph the clock "
    "ticket once with every phone, beside a clock",
    "started-no-tickets": "job.yaml has no tickets, so none were printed: this job was started before there were any.",
    "started-not-in-force": "{profile} is not in force on {day}. If the work is done on another day, that day counts; "
    "if not, ask the maker for the revision in force.",
    "added": "{id}: {role} of {subject}, filed as {file}",
    "added-some": "{filed} of {count} filed; these stay. Not filed: {refused}. Run the command again for those alone.",
    "added-same-file": "The same file is filed as {found} already.",
    "added-renamed": "{name} is named as another sort of file; the copy has the right ending.",
    "shows-photo": "photo {width} x {height} pixels, camera time {taken}, camera {camera}",
    "shows-codes": "Shows {codes}",
    "shows-no-ticket": "No ticket and no label code can be read in it, so it shows nothing of the vehicle. Take it again with the ticket in the picture.",
    "shows-document": "document, number of pages: {pages}",
    "claim-on-pages": "{claim} on p. {pages}",
    "shows-mentions": "its text mentions: {claims}",
    "shows-no-mention": "not found in its text: {claim}. Look at the paper; correct the record if it was mistyped.",
    "shows-table": "table of {rows} rows: {columns}",
    "no-camera-time": "none",
    "no-keys": "There is no key yet; the first `assemble` or `key new` makes one.",
    "key-can-sign": "signs here",
    "key-pinned": "pinned",
    "key-revoked": "revoked on {day}",
    "pinned": "Pinned {key}",
    "unpinned": "No longer pinned: {key}",
    "pack-line": "{pack}  {kind}, {region}  {standard} {title}  known as of {known_as_of}, review by {review_by}",
    "conceded-stands": "{title} ({subject}) stays {outcome}, accepted under {concession}, {reference}{terms}.",
    "conceded-until": "until {day}",
    "pack-overdue": "The pack {pack} should have been looked through by {review_by}: newer editions may exist.",
    "pack-review-due": "REVIEW DUE",
    "edition-line": "{edition}  {state}  {title}  ({mark}; {source})",
    "edition-head": "{designation} on {on}, as far as known on {known_as_of}; to be reviewed by {review_by}",
    "note-edition-unknown": "This register knows no edition of it.",
    "note-after-known-as-of": "The day asked for is later than what this register knows.",
    "note-review-overdue": "This register should have been looked through by now: newer editions may exist.",
    "note-date-uncertain": "A date is known only to the month or year, so one answer is uncertain.",
    "note-withdrawal-elsewhere": "One edition is known to be withdrawn in another country; here it is not known.",
}
