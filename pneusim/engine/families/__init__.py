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
from pneusim.engine.families.surface import BURCKHARDT, CREEP, GRIP, MAGIC, TREAD
from pneusim.engine.families.unit import AIR_DRAG, PULL, SKID, SUPPORT
from pneusim.engine.families.volume import VOLUME
from pneusim.engine.families.wheel import WHEEL_BRAKE

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
    BURCKHARDT,
    MAGIC,
    TREAD,
    CREEP,
    GRIP,
    WHEEL_BRAKE,
    AIR_DRAG,
    PULL,
    SKID,
    SUPPORT,
)

__all__ = [
    "AFFINE", "AIR_DRAG", "BURCKHARDT", "CHAMBER", "COMPRESSOR", "CREEP", "DOUBLE_CHECK", "FAMILIES", "FOLLOWER",
    "FORCED", "GRIP", "LEG", "LINE_FACE", "LINE_HEAT", "LINE_NODE", "LINE_WALL", "MAGIC", "MAXIMUM", "MINIMUM",
    "PLAY", "PRODUCT", "PULL", "RAMP", "RATIO", "RESTRICTION", "SKID", "SPOOL", "SPRING_BRAKE", "SUPPORT", "SWEPT",
    "TREAD", "VOLUME", "WHEEL_BRAKE", "Family",
]  # fmt: skip
