"""How many pixels a photo of a role should have at least, so that what it must show can be read; told, never judged.

Short of them a reading may still be good: what decides is what can be seen. All numbers: common practice, no source.
"""

from evidence.model.exhibit import Photo
from evidence.model.names import LABEL_ROLES, WINDOW_ROLES, Role

SMALL_FOR_ROLE = "photo-small-for-role"
HOOK_SIDE = (
    2000  # pixels; a gauge card of a hand's width across half the picture then has about 5 to the millimetre
)
WINDOW_SIDE = (
    1200  # pixels; a lock window is some millimetres wide and seldom fills more than a tenth of a picture
)
LABEL_SIDE = 1200  # pixels; digits of 2 mm on a label a hand wide have about 20 each
CLOCK_SIDE = 1000  # pixels; a clock and a ticket beside each other

LEAST_SIDE: dict[Role, int] = {
    Role.HOOK_POSITION: HOOK_SIDE,
    **dict.fromkeys(WINDOW_ROLES.values(), WINDOW_SIDE),
    **dict.fromkeys(LABEL_ROLES, LABEL_SIDE),
    Role.CLOCK_TICKET: CLOCK_SIDE,
}
"""Least longer side in pixels; other roles ask for none."""


def small_for_role(photo: Photo, role: Role) -> dict[str, str] | None:
    """Parameters of the sentence where a photo is too small for what it should show; None where it is not.

    Args:
        photo: what its file says.
        role: what it is filed as.
    """
    longer, least = max(photo.width, photo.height), LEAST_SIDE.get(role, 0)
    if longer >= least:
        return None
    return {"roles": role.value, "found": str(longer), "expected": str(least)}
