"""English words for what the dossier says of the vehicle: its VIN, its builders, its stretchers, the manual in force."""

VEHICLE_PAGE = {
    "front-vin-bound": "VIN from the plate",
    "vin-bound": "on {at} by {who}, see",
    "delivered-without": "delivered without a {stretcher}",
    "delivered-none-of-its-own": "no {stretcher} of its own",
    "word-holding-loaner": "on loan",
    "word-holding-pool": "from a pool",
    "in-force": "in force from {first} to {last}",
    "in-force-from": "in force from {first}, no end stated",
    "installation-parties": "Who built what",
    "installation-companies": "Companies",
    "head-party": "Company",
    "head-part": "Part",
    "head-finished": "Finished",
    "head-handed-on": "Handed on by",
    "party-people": "people:",
    "subject-party": "{name}",
    "loose-party": "company no. {number}",
    "word-place-stretchers-delivered-with": "{stretcher} on loan",
    "word-place-finished": "day on which its part was finished",
    "loose-loaner-overdue": "was to go back by {day} (overdue)",
}
