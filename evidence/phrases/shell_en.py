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
    "pack-not-shipped": (
        "no pack is called {found}; there are: {expected}.",
        "Name it with its version, as `register list` prints it.",
    ),
    "edition-not-held": (
        "no edition of {found} is held; there are: {expected}.",
        "Name a standard as listed, or a pack with its version, such as en-1789-2020@1.",
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
    "exhibit-id-malformed": (
        "'{found}' cannot be the id of an evidence item.",
        "Write up to 40 letters A to Z, digits, hyphens and underscores; a dot is not allowed here.",
    ),
    "exhibit-not-filed": (
        "a file of kind {kind} cannot be filed.",
        "File photos, PDF documents or CSV tables.",
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
    "recompute-record": (
        "the record is not the one that was judged.",
        "Ask the builder for the right record.",
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
    "hint-tool": "Install what is named above and run the command again.",
    "more-problems": "… and {count} more.",
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
    "added": "{id}: {role} of {subject}, filed as {file}",
    "shows-photo": "photo {width} x {height} pixels, camera time {taken}, camera {camera}",
    "shows-document": "document with {pages} pages",
    "shows-table": "table of {rows} rows: {columns}",
    "no-camera-time": "none",
    "no-keys": "There is no key yet; the first `assemble` or `key new` makes one.",
    "key-can-sign": "signs here",
    "key-pinned": "pinned",
    "key-revoked": "revoked on {day}",
    "pinned": "Pinned {key}",
    "unpinned": "No longer pinned: {key}",
    "pack-line": "{pack}  {kind}, {region}  {standard} {title}  known as of {known_as_of}, review by {review_by}",
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
