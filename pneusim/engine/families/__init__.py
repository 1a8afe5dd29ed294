"""The primitive families of the engine, in the order in which the kernel tells them apart."""

from pneusim.engine.families.actuator import CHAMBER, SPRING_BRAKE, SWEPT
from pneusim.engine.families.compressor import COMPRESSOR
from pneusim.engine.families.family import Family
from pneusim.engine.families.line import LINE_FACE, LINE_HEAT, LINE_NODE, LINE_WALL
from pneusim.engine.families.restriction import RESTRICTION
from pneusim.engine.families.signals import (
    AFFINE,
    DOUBLE_CHECK,
    FOLLOWER,
    FORCED,
    LEG,
    MAXIMUM,
    MINIMUM,
    PLAY,
    PRODUCT,
    RAMP,
    RATIO,
    SPOOL,
)
from pneusim.engine.families.volume import VOLUME

FAMILIES: tuple[Family, ...] = (
    VOLUME,
    AFFINE,
    RESTRICTION,
    LINE_WALL,
    LINE_FACE,
    LINE_NODE,
    LINE_HEAT,
    RAMP,
    FOLLOWER,
    SWEPT,
    CHAMBER,
    SPRING_BRAKE,
    DOUBLE_CHECK,
    PRODUCT,
    MINIMUM,
    MAXIMUM,
    LEG,
    FORCED,
    SPOOL,
    PLAY,
    COMPRESSOR,
    RATIO,
)

__all__ = [
    "AFFINE", "CHAMBER", "COMPRESSOR", "DOUBLE_CHECK", "FAMILIES", "FOLLOWER", "FORCED", "LEG", "LINE_FACE",
    "LINE_HEAT", "LINE_NODE", "LINE_WALL", "MAXIMUM", "MINIMUM", "PLAY", "PRODUCT", "RAMP", "RATIO", "RESTRICTION",
    "SPOOL", "SPRING_BRAKE", "SWEPT", "VOLUME", "Family",
]  # fmt: skip
