"""English words of sorting a phone dump, of moving evidence, and of photos that look alike."""

SORTING: dict[str, tuple[str, str]] = {
    "inbox-is-job": (
        "This is, or lies in, the job folder {found}.",
        "Name the folder with the files as they came from the phone; files of a job are moved with `sillmark move`.",
    ),
    "inbox-holds-jobs": (
        "The job folders lie in this folder ({found}), so their photos would be sorted again.",
        "Put the files of the phone into a folder of their own.",
    ),
    "jobs-none": (
        "There is no job folder in this folder.",
        "Name the folder that holds the job folders, e.g. --sort jobs.",
    ),
    "job-id-twice": (
        "This job has the id {found}, and so has {other}.",
        "Give each job an id of its own, then sort again.",
    ),
    "sort-with-others": (
        "--sort takes one folder, and no other file, --as or --for beside it.",
        "Run it as: sillmark add INBOX --sort JOBS.",
    ),
    "files-needed": (
        "No file is named that is to be filed.",
        "The job comes first, then the files: sillmark add JOB FILE --as ROLE. A whole folder is sorted with --sort.",
    ),
    "role-needed": (
        "It was not said what the files show.",
        "Say it with --as, e.g. --as hook-position or --as type-test-report; --as help lists all roles.",
    ),
    "sort-not-photo": (
        "A {kind}, and nothing in it says which vehicle it belongs to.",
        "Put it into folders named after job and role, e.g. AMB-0417/type-test-report, or file it with `sillmark add`.",
    ),
    "sort-folders-disagree": (
        "Its folders name more than one job or role: {found}.",
        "Move it to where one job and one role stand above it, e.g. AMB-0417/overview.",
    ),
    "sort-folder-without-role": (
        "Its folder names the job {job}, and nothing says what it shows.",
        "Put it into a folder named after its role as well, e.g. AMB-0417/overview.",
    ),
    "sort-two-vehicles": (
        "Tickets of more than one vehicle are in the picture: {found}.",
        "Look which vehicle it shows, and file it with `sillmark add JOB FILE --as ROLE`.",
    ),
    "sort-two-places": (
        "More than one place of {job} is in the picture: {found}.",
        "Look which place it shows, and file it with `sillmark add JOB FILE --as ROLE --for PLACE`.",
    ),
    "sort-codes-disagree": (
        "What says where it belongs does not agree: {found}.",
        "Look at the picture, and file it with `sillmark add JOB FILE --as ROLE`.",
    ),
    "sort-label-shared": (
        "The label in the picture has a number that several jobs have: {found}.",
        "Correct the number in the job that has it wrongly, or file the photo with `sillmark add JOB FILE --as ROLE`.",
    ),
    "sort-code-unknown": (
        "The label in the picture has a number that no job here has: {found}.",
        "If the number is right, write it into the job it belongs to and sort again.",
    ),
    "sort-ticket-unknown-job": (
        "A ticket of {job} is in the picture, and no such job is here.",
        "Sort with the folder that holds that job.",
    ),
    "sort-ticket-not-printed": (
        "A ticket of {job}, {subject}, is in the picture, and that job did not print this one.",
        "Compare the ticket with the job's; an old or copied ticket proves nothing.",
    ),
    "sort-codes-unread": (
        "The search for codes in this picture gave up.",
        "Look at the picture, and file it with `sillmark add JOB FILE --as ROLE`.",
    ),
    "sort-no-camera-time": (
        "No ticket or label can be read in it, and it has no camera and time of its own.",
        "Take the photos off the phone by cable: messengers drop the time. Else file it with `sillmark add`.",
    ),
    "sort-not-between": (
        "No ticket or label is read in it, and no two photos of one place lie within {minutes} minutes around it.",
        "Look which vehicle it shows, and file it with `sillmark add JOB FILE --as ROLE`.",
    ),
    "sort-file-changed": (
        "This file changed while it was sorted.",
        "Let all copying end, then sort again.",
    ),
    "sort-job-refused": (
        "It belongs to {job}, which could not be written; its problem is named apart.",
        "Correct that job and sort again; files that are filed already are passed over.",
    ),
    "move-where": (
        "It was not said where this goes.",
        "Say --to JOB, --as ROLE or --for what it belongs to.",
    ),
    "move-nothing": (
        "It is filed as {role} of {subject} already.",
        "Nothing is to be done.",
    ),
    "move-twin": (
        "{found} has the same bytes as {other}, which is {role} of {subject} already, so one of the two is too many.",
        "Take the line of the wrong one out of `exhibits` in job.yaml, and its file out of the folder; the log keeps both.",
    ),
    "move-done-otherwise": (
        "{found} went to {job} before, and is {id} there: {role} of {subject}.",
        "To change what it shows or belongs to, move it within that job by the id it has there.",
    ),
    "move-same-job": (
        "This is the job where it lies.",
        "Leave --to out to change its role or place there.",
    ),
    "move-file-changed": (
        "The file of {found} is no longer the one that was filed.",
        "Restore it from a copy first: moving would make the change look like a new file.",
    ),
    "move-exhibit-unknown": (
        "There is no evidence item {found} here; filed are: {expected}.",
        "Name one of these as it is written there, without folder and ending.",
    ),
    "exhibit-open": (
        "No file is filed under {found} yet, so there is nothing to move.",
        "File one with `sillmark add JOB FILE --as ROLE`.",
    ),
    "exhibit-referenced": (
        "{found} is named at {places}.",
        "Take it out at these places first, or let them name another item; then move it.",
    ),
}
SORTING_WORDS: dict[str, str] = {
    "sort-reading": "{done} of {count} files read",
    "sort-filing": "{job}: filing {count}",
    "sorted-job": "{job}: {count} filed",
    "sorted-by-ticket": "by ticket",
    "sorted-by-label": "by label",
    "sorted-by-folder": "by folder",
    "sorted-by-time": "by time",
    "sorted-say-what": "Still to say is what is shown by {ids}: sillmark move {folder} {first} --as ROLE --reason role-given",
    "sorted-back": "{job}: the file of {exhibit} was missing and is back, from {path}.",
    "sorted-before": "{job}: files that are filed there already: {count}.",
    "sorted-twice": "{path} has the same bytes as {first}, and is not filed again.",
    "sorted-near-role": "The folder {folder} names no role; {found} is near. Rename it if that is meant, and sort again; "
    "what is filed already gets its role with `sillmark move`.",
    "sorted-left": "Not placed; these stay in the inbox:",
    "sorted-counts": "{placed} placed: {ticket} by ticket, {label} by label, {folder} by folder, {time} by time. "
    "There before: {before}. Not placed: {left}. Hidden files left aside: {aside}.",
    "hint-sorted": "The other jobs were sorted into. Correct the places above and sort again.",
    "astray-vehicle": "{exhibit} shows the ticket of {found}, and this is {job}. If it is a photo of {found}: sillmark move "
    "{folder} {exhibit} --to {other} --reason wrong-vehicle. If not, take it again with the ticket of {job}.",
    "astray-place": "{exhibit} shows the ticket of {found}, and it is filed for {subject}. If it is a photo of {found}: "
    "sillmark move {folder} {exhibit} --for {found} --reason wrong-position. If not, take it again with the ticket of {subject}.",
    "alike-in-job": "{job}: {exhibit} looks like {other} taken again or saved again. Keep the better one.",
    "alike-elsewhere": "{job} {exhibit} looks like {other_job} {other}: look whether one photo went to two vehicles.",
    "alike-same-file-elsewhere": "{job} {exhibit} is the very file of {other_job} {other}: one photo cannot show two "
    "vehicles.",
    "alike-sealed": "{job} {exhibit} looks like {other} of {other_job}, sealed {day}: look whether one photo went to two "
    "vehicles.",
    "alike-same-file-sealed": "{job} {exhibit} is the very file of {other} of {other_job}, sealed {day}: one photo cannot "
    "show two vehicles.",
    "earlier-compared": "Sealed bundles that photos were compared with: {bundles}, with {photos} photos that can be compared.",
    "earlier-none": "No sealed bundle lies here or up to three folders down.",
    "earlier-unreadable": "This bundle was passed over, because it cannot be read ({cause}); sillmark verify says more.",
    "earlier-many": "Only {count} bundles were compared; this one and those after it were not. Name a folder with fewer.",
    "moved-within": "{id} is now {role} of {subject}.",
    "moved-to-job": "{exhibit} is now {id} of {job}: {role} of {subject}, filed as {file}.",
    "moved-opened": "{path} waits for a file again: {id}, {role} of {subject}.",
    "moved-some": "{moved} of {count} moved. Not moved: {refused}. Correct what is said above and run the command again for "
    "those alone.",
    "moved-dropped": "What the record held of a lock window in {id} was taken out: {dropped}. The job's log keeps it.",
    "moved-file-stays": "{path} could not be removed. It is filed in the other job; remove it by hand.",
}
