"""Closed lists of words about tests in a laboratory."""

from enum import StrEnum

from evidence.quantity import Dimension


class LabKind(StrEnum):
    """How something was tested."""

    DYNAMIC = "dynamic"
    STATIC_PULL = "static-pull"


class LabDirection(StrEnum):
    """Which way a test loads the patient's place, seen from the vehicle.

    ``frontal``, ``rear`` and ``side`` name the impact of a dynamic test, or the way in which a static one pulls:
    forward, backward, across; ``up`` and ``down`` are pulls only.
    """

    FRONTAL = "frontal"
    REAR = "rear"
    SIDE = "side"
    UP = "up"
    DOWN = "down"


class ChannelUse(StrEnum):
    """What a channel of a test measures there."""

    PULSE = "pulse"
    OCCUPANT = "occupant"
    EXCURSION = "excursion"
    FORCE = "force"
    DISPLACEMENT = "displacement"


class LabQuantity(StrEnum):
    """What is computed from the channels of a test."""

    PEAK_ACCELERATION = "peak-acceleration"
    CLIP_3MS = "clip-3ms"
    VELOCITY_CHANGE = "velocity-change"
    TIME_ABOVE = "time-above"
    EXCURSION = "excursion"
    PEAK_FORCE = "peak-force"
    HOLD_TIME = "hold-time"
    RESIDUAL_DISPLACEMENT = "residual-displacement"


LAB_DIMENSION: dict[LabQuantity, Dimension] = {
    LabQuantity.PEAK_ACCELERATION: Dimension.ACCELERATION,
    LabQuantity.CLIP_3MS: Dimension.ACCELERATION,
    LabQuantity.VELOCITY_CHANGE: Dimension.SPEED,
    LabQuantity.TIME_ABOVE: Dimension.TIME,
    LabQuantity.EXCURSION: Dimension.LENGTH,
    LabQuantity.PEAK_FORCE: Dimension.FORCE,
    LabQuantity.HOLD_TIME: Dimension.TIME,
    LabQuantity.RESIDUAL_DISPLACEMENT: Dimension.LENGTH,
}
LAB_USE: dict[LabQuantity, ChannelUse] = {
    LabQuantity.PEAK_ACCELERATION: ChannelUse.PULSE,
    LabQuantity.CLIP_3MS: ChannelUse.PULSE,
    LabQuantity.VELOCITY_CHANGE: ChannelUse.PULSE,
    LabQuantity.TIME_ABOVE: ChannelUse.PULSE,
    LabQuantity.EXCURSION: ChannelUse.EXCURSION,
    LabQuantity.PEAK_FORCE: ChannelUse.FORCE,
    LabQuantity.HOLD_TIME: ChannelUse.FORCE,
    LabQuantity.RESIDUAL_DISPLACEMENT: ChannelUse.DISPLACEMENT,
}
"""Which channel a quantity is computed from where a criterion names no other."""
LAB_KIND: dict[LabQuantity, LabKind] = {
    **dict.fromkeys(LabQuantity, LabKind.DYNAMIC),
    **dict.fromkeys(
        (LabQuantity.PEAK_FORCE, LabQuantity.HOLD_TIME, LabQuantity.RESIDUAL_DISPLACEMENT),
        LabKind.STATIC_PULL,
    ),
}
