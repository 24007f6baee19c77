"""Colour differences against the published table, colours against a second library."""

import cv2
import numpy as np
import pytest

from evidence.measure import colour

# published: The CIEDE2000 color-difference formula: implementation notes, supplementary test data, and mathematical
# observations (Sharma, Wu, Dalal), Color Research and Application 30(1), 2005, table 1, as repeated in several open
# sources that agree: L, a, b of both colours and their difference
PAIRS = (
    (50.0000, 2.6772, -79.7751, 50.0000, 0.0000, -82.7485, 2.0425),
    (50.0000, 3.1571, -77.2803, 50.0000, 0.0000, -82.7485, 2.8615),
    (50.0000, 2.8361, -74.0200, 50.0000, 0.0000, -82.7485, 3.4412),
    (50.0000, -1.3802, -84.2814, 50.0000, 0.0000, -82.7485, 1.0000),
    (50.0000, -1.1848, -84.8006, 50.0000, 0.0000, -82.7485, 1.0000),
    (50.0000, -0.9009, -85.5211, 50.0000, 0.0000, -82.7485, 1.0000),
    (50.0000, 0.0000, 0.0000, 50.0000, -1.0000, 2.0000, 2.3669),
    (50.0000, -1.0000, 2.0000, 50.0000, 0.0000, 0.0000, 2.3669),
    (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0009, 7.1792),
    (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0010, 7.1792),
    (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0011, 7.2195),
    (50.0000, 2.4900, -0.0010, 50.0000, -2.4900, 0.0012, 7.2195),
    (50.0000, -0.0010, 2.4900, 50.0000, 0.0009, -2.4900, 4.8045),
    (50.0000, -0.0010, 2.4900, 50.0000, 0.0010, -2.4900, 4.8045),
    (50.0000, -0.0010, 2.4900, 50.0000, 0.0011, -2.4900, 4.7461),
    (50.0000, 2.5000, 0.0000, 50.0000, 0.0000, -2.5000, 4.3065),
    (50.0000, 2.5000, 0.0000, 73.0000, 25.0000, -18.0000, 27.1492),
    (50.0000, 2.5000, 0.0000, 61.0000, -5.0000, 29.0000, 22.8977),
    (50.0000, 2.5000, 0.0000, 56.0000, -27.0000, -3.0000, 31.9030),
    (50.0000, 2.5000, 0.0000, 58.0000, 24.0000, 15.0000, 19.4535),
    (50.0000, 2.5000, 0.0000, 50.0000, 3.1736, 0.5854, 1.0000),
    (50.0000, 2.5000, 0.0000, 50.0000, 3.2972, 0.0000, 1.0000),
    (50.0000, 2.5000, 0.0000, 50.0000, 1.8634, 0.5757, 1.0000),
    (50.0000, 2.5000, 0.0000, 50.0000, 3.2592, 0.3350, 1.0000),
    (60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644),
    (63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.2630),
    (61.2901, 3.7196, -5.3901, 61.4292, 2.2480, -4.9620, 1.8731),
    (35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645),
    (22.7233, 20.0904, -46.6940, 23.0331, 14.9730, -42.5619, 2.0373),
    (36.4612, 47.8580, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146),
    (90.8027, -2.0831, 1.4410, 91.1528, -1.6435, 0.0447, 1.4441),
    (90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381),
    (6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377),
    (2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082),
)
TABLE = np.array(PAIRS)
FIRST, SECOND, EXPECTED = TABLE[:, :3], TABLE[:, 3:6], TABLE[:, 6]


@pytest.mark.parametrize("pair", PAIRS)
def test_published_pairs(pair: tuple[float, ...]) -> None:
    row = np.array(pair)

    assert float(colour.ciede2000(row[:3], row[3:6])) == pytest.approx(pair[6], abs=1e-4)


def test_all_pairs_at_once_and_the_other_way_round() -> None:
    """Symmetry follows from the definition; pair 14 stands on the edge where the hue jumps, so it may differ."""
    assert len(PAIRS) == 34
    assert colour.ciede2000(FIRST, SECOND) == pytest.approx(EXPECTED, abs=1e-4)
    back = np.delete(colour.ciede2000(SECOND, FIRST), 13)
    assert back == pytest.approx(np.delete(EXPECTED, 13), abs=1e-4)


def test_differences_broadcast() -> None:
    grid = colour.ciede2000(FIRST[:, None], SECOND[None])

    assert grid.shape == (34, 34)
    assert np.diagonal(grid) == pytest.approx(EXPECTED, abs=1e-4)
    assert colour.ciede2000(FIRST, FIRST).max() == 0


def test_lab_against_a_second_library() -> None:
    """Source: computed independently with OpenCV (sRGB to CIELAB at D65 in floats; its own tables are good to 0.3)."""
    generator = np.random.Generator(np.random.PCG64(3))
    pixels = generator.integers(0, 256, (40, 40, 3), dtype=np.uint8)

    other = cv2.cvtColor(pixels.astype(np.float32) / 255, cv2.COLOR_RGB2Lab)

    assert np.abs(colour.lab(colour.linear(pixels)) - other).max() < 0.35


@pytest.mark.parametrize(
    ("code", "expected"),
    [  # common practice, no source: the corners of sRGB in CIELAB (D65) as colour calculators print them
        ("#ffffff", (100.0, 0.0, 0.0)),
        ("#000000", (0.0, 0.0, 0.0)),
        ("#ff0000", (53.24, 80.09, 67.20)),
        ("#00ff00", (87.73, -86.18, 83.18)),
        ("#0000ff", (32.30, 79.19, -107.86)),
    ],
)
def test_corners_of_srgb(code: str, expected: tuple[float, float, float]) -> None:
    assert colour.lab(colour.declared(code)) == pytest.approx(np.array(expected), abs=0.06)


def test_linear_light() -> None:
    """Source: from memory of IEC 61966-2-1: code 128 is 0.21586 of full light, code 10 lies on the straight line."""
    assert colour.LINEAR[[0, 255]] == pytest.approx([0, 1])
    assert colour.LINEAR[128] == pytest.approx(0.21586, abs=1e-5)
    assert colour.LINEAR[10] == pytest.approx(10 / 255 / 12.92)
    assert float(colour.luminance(colour.declared("#ffffff"))) == pytest.approx(1)


def test_balance_undoes_a_cast() -> None:
    """By the meaning of a balance: a scene under coloured, dim light comes back as it is."""
    scene = np.array([[0.2, 0.4, 0.6], [0.85, 0.85, 0.85]])
    seen = scene * np.array([0.9, 0.6, 0.3])

    assert seen * colour.gains(seen[1], 0.85) == pytest.approx(scene)


def test_no_balance_without_light() -> None:
    with pytest.raises(ValueError, match="without light"):
        colour.gains(np.array([0.5, 0.0, 0.5]), 0.85)
