"""How many pixels a photo should have for what it must show; all limits: common practice, no source."""

import pytest

from evidence.exhibits.resolution import LEAST_SIDE, SMALL_FOR_ROLE, small_for_role
from evidence.model.exhibit import Photo
from evidence.model.names import ROLE_KINDS, Role
from evidence.phrases import hint, say


@pytest.mark.parametrize(
    ("role", "size", "small"),
    [
        ("hook-position", (2000, 1500), False),
        ("hook-position", (1500, 2000), False),
        ("hook-position", (1999, 1999), True),
        ("lock-window-open", (1199, 900), True),
        ("lock-window-locked", (1200, 900), False),
        ("label-vehicle", (640, 480), True),
        ("clock-ticket", (999, 750), True),
        ("overview", (320, 240), False),
        ("other-photo", (1, 1), False),
    ],
)
def test_only_roles_with_small_print_ask_for_pixels(role: str, size: tuple[int, int], *, small: bool) -> None:
    found = small_for_role(Photo(width=size[0], height=size[1]), Role(role))

    assert (found is not None) == small


def test_the_sentence_names_what_was_found_and_what_is_good() -> None:
    found = small_for_role(Photo(width=960, height=1280), Role.HOOK_POSITION)

    assert SMALL_FOR_ROLE == "photo-small-for-role"
    assert found is not None
    sentence = say(SMALL_FOR_ROLE, found)
    assert "has 1280 pixels" in sentence
    assert "at least 2000" in sentence
    assert hint(SMALL_FOR_ROLE).startswith("If it is a copy from a messenger")


def test_every_role_with_a_limit_is_one_of_photos() -> None:
    assert all("photo" in ROLE_KINDS[role] for role in LEAST_SIDE)
