"""How hard a bolt is clamped by a torque: T = K d F, with K as a band, because nobody knows it better.

Method of the textbooks (published: Shigley, Mechanical Engineering Design, bolt torque and preload). K depends on
finish, lubricant and thread-locker; torque control scatters by about 30 % (common practice, no source).
"""

from dataclasses import dataclass
from fractions import Fraction

from evidence.jsondoc import Json
from evidence.measure._screws import diameter_mm, nominal_mm, screw, table_thread

__all__ = [
    "HIGH_SHARE",
    "Band",
    "band",
    "diameter_mm",
    "nominal_mm",
    "proof_n",
    "share_text",
    "spanned",
]

HIGH_SHARE = Fraction(90, 100)
"""Part of the proof load that handbooks give for bolts that stay for good; 0.75 for bolts that are loosened again."""


@dataclass(frozen=True)
class Band:
    """Least and greatest preload in N of one torque; the least goes with the highest nut factor."""

    low_n: Fraction
    high_n: Fraction

    def shares(self, proof_n: Fraction) -> tuple[Fraction, Fraction]:
        """Both as parts of a proof load."""
        return self.low_n / proof_n, self.high_n / proof_n

    def opens(self, tension_n: Fraction) -> bool:
        """Whether a pull may be more than the least preload, so that the joint gapes."""
        return tension_n > self.low_n

    def document(self, proof_n: Fraction) -> dict[str, Json]:
        """The band for JSON: whole newtons and parts of a proof load."""
        low, high = self.shares(proof_n)
        return {
            "preload_low_n": str(round(self.low_n)),
            "preload_high_n": str(round(self.high_n)),
            "share_of_proof_low": share_text(low),
            "share_of_proof_high": share_text(high),
        }


def band(torque: Fraction, diameter: Fraction, nut_factors: tuple[Fraction, Fraction]) -> Band:
    """The preload of a torque.

    Args:
        torque: in N·m.
        diameter: nominal, in mm.
        nut_factors: least and greatest K.

    Raises:
        ValueError: a factor or the diameter is not positive, or the factors stand in the wrong order.
    """
    low, high = nut_factors
    if not 0 < low <= high or diameter <= 0:
        raise ValueError("nut factors and diameter must be positive, the least factor first")
    ideal = torque * 1000 / diameter
    return Band(ideal / high, ideal / low)


def spanned(
    torques: tuple[Fraction, Fraction], diameter: Fraction, nut_factors: tuple[Fraction, Fraction]
) -> Band:
    """The preload of every torque between a least and a greatest one, in N·m; the rest as ``band``.

    Raises:
        ValueError: as ``band``.
    """
    least, most = (band(torque, diameter, nut_factors) for torque in torques)
    return Band(least.low_n, most.high_n)


def proof_n(designation: str, property_class: str, *, countersunk: bool) -> Fraction | None:
    """Proof load in N of a bolt as records name it; None where the table has no such thread or class."""
    thread = table_thread(designation)
    if thread is None:
        return None
    try:
        return screw(thread, property_class.strip().replace(",", "."), countersunk=countersunk).proof_n
    except ValueError:
        return None


def share_text(share: Fraction) -> str:
    """A part of the proof load with two decimals."""
    return f"{float(round(share, 2)):.2f}"
