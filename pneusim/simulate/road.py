"""Puts the vehicles of a scenario with a road on it: wheels under brakes, units in a chain, and their channels."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from pneusim.circuit.braking import ACTUATORS, axle_name, vehicle_name
from pneusim.circuit.circuit import Axle
from pneusim.circuit.figures import usual
from pneusim.circuit.road import Road
from pneusim.circuit.rolling import SIDES, road_channels, wheel_name
from pneusim.circuit.statics import Standing, Stood, stand
from pneusim.engine.road import LIGHTEST, Chain, DrumSpec, Unit, UnitSpec, Wheel, WheelSpec, add_chain
from pneusim.errors import UsageError
from pneusim.simulate.grips import grip_of
from pneusim.simulate.ready import refuse_unready

if TYPE_CHECKING:
    from pneusim.simulate.compiled import Compiler

ROLLING = usual("rolling_resistance")  # moment of rolling over load times radius [-]
AIR = 0.6  # half the density of air [kg/m3]
IRON = 500.0  # specific heat of drums and discs [J/(kg K)], from memory
SAMPLED = ("speed",)  # quantities by which samples are taken; the others follow


def add_road(compiler: Compiler, road: Road) -> Chain:
    """Lower the vehicles onto the road and offer the channels of what moves."""
    refuse_unready(compiler.circuit, road)
    slope = math.atan(-road.grade)
    standing = stand(compiler.circuit.vehicles, road)
    specs = [_unit(compiler, road, one) for one in standing]
    chain = add_chain(compiler.assembly, specs, road.speed, (math.sin(slope), math.cos(slope)))
    _offer(compiler, standing, chain)
    for unit, one in zip(chain.units[1:], standing[1:], strict=True):
        compiler.compiled.hitches[one.vehicle.name] = unit.hitched
    return chain


def _unit(compiler: Compiler, road: Road, one: Standing) -> UnitSpec:
    motion = one.vehicle.motion
    assert motion is not None
    front, rear = motion.front_hitch, motion.rear_hitch
    return UnitSpec(
        name=one.vehicle.name or "vehicle", mass=one.mass, centre=one.centre, height=one.height, supports=one.supports,
        loads=one.loads, carried=one.carried, front_height=front.height if front else 0.0,
        rear_at=rear.at if rear else 0.0, rear_height=rear.height if rear else 0.0,
        drag=AIR * (motion.drag_area or 0.0), skid=motion.skid,
        wheels=tuple(_wheel(compiler, road, one, stood, side) for stood in one.axles for side in SIDES),
    )  # fmt: skip


def _wheel(compiler: Compiler, road: Road, one: Standing, stood: Stood, side: str) -> WheelSpec:
    axle, rolling = stood.axle, stood.axle.rolling
    assert rolling is not None
    assert axle.tyre_radius is not None
    assert rolling.inertia is not None
    assert rolling.tyre.rated_load is not None
    return WheelSpec(
        name=wheel_name(one.vehicle.name, axle.number, side), support=stood.support, share=0.5 * stood.share,
        place=one.offset + rolling.at, radius=axle.tyre_radius, inertia=rolling.inertia,
        capacity=_capacity(compiler, one.vehicle.name, axle, side), rolling=ROLLING, relaxation=rolling.tyre.relaxation,
        load_sensitivity=rolling.tyre.load_sensitivity, rated_load=rolling.tyre.rated_load,
        grips=tuple(
            (stretch.start, grip_of(road.surfaces[getattr(stretch, side)], rolling.tyre)) for stretch in road.stretches
        ),
        drum=_drum(compiler, one.vehicle.name, axle.number, side),
    )  # fmt: skip


def _drum(compiler: Compiler, unit: str, number: int, side: str) -> DrumSpec | None:
    """What the brake at one end of an axle warms, where that is given."""
    brake = compiler.compiled.brakes.get(axle_name(unit, number))
    if brake is None or brake.thermal_mass is None:
        return None
    growths = tuple(compiler.growths.get(wheel_name(unit, number, side), ()))
    return DrumSpec(IRON * brake.thermal_mass, 0.01 * brake.fade, 0.01 * brake.hot_stroke, growths)


def _capacity(compiler: Compiler, unit: str, axle: Axle, side: str) -> int:
    """Torque that the brake at one end of an axle can give: of all its actuators; one without a side serves both."""
    terms = []
    for component in compiler.circuit.components.values():
        if component.type not in ACTUATORS or component.unit != unit or component.axle != axle.number:
            continue
        torque = compiler.compiled.channels.get(f"{component.name}.brake_torque")
        if torque is None:
            raise UsageError(
                f"{component.name} brakes axle {axle.number}, whose brake is not described, so nobody knows its torque "
                f"on the road. Give the axle a brake, for example brake: {{type: s_cam}}."
            )
        if component.side in (None, side):
            terms.append((1.0 if component.side else 0.5, torque.value))
    return compiler.assembly.affine(0.0, *terms) if terms else compiler.assembly.zero


def _offer(compiler: Compiler, standing: tuple[Standing, ...], chain: Chain) -> None:
    """Offer what the list of road channels promises."""
    values: dict[str, int] = {}
    for place, (one, unit) in enumerate(zip(standing, chain.units, strict=True)):
        values |= _of_unit(vehicle_name(one.vehicle.name), unit, towed=place > 0)
        wheels = iter(unit.wheels)
        for stood in one.axles:
            pair = {side: next(wheels) for side in SIDES}
            values |= _of_axle(compiler, one.vehicle.name, stood.axle.number, pair)
    for channel in road_channels(compiler.circuit.vehicles):
        title = channel.owner.replace(".", " ").replace("_", " ")
        compiler.channel(
            channel.name, values[channel.name], channel.dimension, f"{title}: {channel.words}",
            derived=channel.quantity not in SAMPLED,
        )  # fmt: skip


def _of_unit(name: str, unit: Unit, *, towed: bool) -> dict[str, int]:
    values = {
        "speed": unit.V, "distance": unit.X, "acceleration": unit.acceleration, "front_load": unit.loads[0],
        "rear_load": unit.loads[1], "brake_heat": unit.brake_heat, "tyre_heat": unit.tyre_heat,
        "drag_heat": unit.drag_heat,
    }  # fmt: skip
    if towed:
        values |= {"hitch_force": unit.hitch_force, "hitched": unit.hitched}
    return {f"{name}.{quantity}": value for quantity, value in values.items()}


def _of_axle(compiler: Compiler, unit: str, number: int, pair: dict[str, Wheel]) -> dict[str, int]:
    a, name = compiler.assembly, axle_name(unit, number)
    load = a.affine(0.0, *[(1.0, wheel.load) for wheel in pair.values()])
    force = a.affine(0.0, *[(-1.0, wheel.force) for wheel in pair.values()])
    used = a.ratio(force, load, LIGHTEST)
    values = {f"{name}.load": load, f"{name}.road_force": force, f"{name}.adhesion_used": used}
    for side, wheel in pair.items():
        braking = a.affine(0.0, (-1.0, wheel.force))
        found = {
            "speed": wheel.v, "slip": wheel.slip, "road_force": braking, "torque": wheel.torque, "load": wheel.load,
            "friction": a.ratio(braking, wheel.load, LIGHTEST),
        }  # fmt: skip
        if wheel.temperature >= 0:
            found["temperature"] = wheel.temperature
        values |= {f"{wheel_name(unit, number, side)}.{quantity}": value for quantity, value in found.items()}
    return values
