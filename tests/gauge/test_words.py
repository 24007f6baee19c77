"""The squares of all thirteen tags against a second source."""

import cv2
import numpy as np
import pytest

from evidence.drawing.tag import tag_svg
from evidence.gauge import geometry, words

DICTIONARY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)


def test_there_is_a_word_for_every_tag_of_card_and_slider() -> None:
    assert sorted(words.WORDS) == [*geometry.tag_ids(), geometry.SLIDER_TAG]


@pytest.mark.parametrize("tag", sorted(words.WORDS))
def test_squares_are_those_of_another_generator(tag: int) -> None:
    # computed independently with OpenCV
    drawn = cv2.aruco.generateImageMarker(DICTIONARY, tag, geometry.MODULES)

    assert words.modules(tag) == tuple(tuple(bool(value) for value in row) for row in drawn > 127)


def test_words_are_as_far_apart_as_the_family_promises() -> None:
    # published: AprilTag library, family 36h11 ("h11": at least 11 bits apart), University of Michigan
    grids = {tag: np.array(words.modules(tag)) for tag in words.WORDS}
    apart = [
        int((np.rot90(grids[one], turn) != grids[other]).sum())
        for one in grids
        for other in grids
        for turn in range(4)
        if (one, 0) != (other, turn)
    ]

    assert min(apart) >= 11


def test_a_tag_that_the_card_does_not_have_is_refused() -> None:
    with pytest.raises(ValueError, match="12"):
        words.modules(12)


def test_the_drawing_is_one_black_square_with_a_white_cell_for_every_set_bit() -> None:
    drawing = tag_svg(501)

    assert drawing.count("<rect") == 1
    assert drawing.count("h1v1h-1z") == words.WORDS[501].bit_count()
