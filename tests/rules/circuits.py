"""Small vehicles for tests of procedures."""

TRUCK = """\
pneusim: 1
title: A truck with one braked axle
vehicle: {kind: truck, practice: us}
axles:
  1: {load: 5 t}
components:
  tank:  {type: reservoir, label: tank, volume: 20 L, pressure: 8 bar, service: true}
  foot:  {type: foot_valve}
  left:  {type: brake_chamber, label: left brake, size: 20, axle: 1, side: left}
  right: {type: brake_chamber, label: right brake, size: 20, axle: 1, side: right}
lines:
  to_left:  {from: foot.21, to: left.11, bore: BORE, length: 3 m}
  to_right: {from: foot.22, to: right.11, bore: 9 mm, length: 3 m}
joints:
  - [tank.1, foot.11, foot.12]
"""
"""A truck without springs, governor, compressor and warning; the bore of its left pipe decides how fast it brakes."""

GOOD, SLOW = TRUCK.replace("BORE", "9 mm"), TRUCK.replace("BORE", "2 mm")

VESSEL = """\
pneusim: 1
title: Two vessels behind coupling heads
vehicle: {kind: semitrailer}
components:
  control_head:  {type: coupling_head, role: control, end: front, volume: 1 cm3, conductance: 100 dm3/(s bar)}
  vessel:        {type: test_volume, volume: 819 cm3}
  supply_head:   {type: coupling_head, role: supply, end: front}
  supply_vessel: {type: test_volume, volume: 819 cm3}
joints:
  - [control_head.1, vessel.1]
  - [supply_head.1, supply_vessel.1]
"""
"""What the rig is calibrated with in place of a trailer: 50 in3."""

DOLLY = """\
pneusim: 1
title: A dolly whose control line is one pipe
vehicle: {kind: dolly, tows: true}
components:
  supply_in:   {type: coupling_head, role: supply, end: front}
  control_in:  {type: coupling_head, role: control, end: front}
  supply_out:  {type: coupling_head, role: supply, end: rear}
  control_out: {type: coupling_head, role: control, end: rear}
  tank:        {type: reservoir, label: tank, volume: 30 L, service: true}
lines:
  fill:   {from: supply_in.1, to: tank.1, bore: 8 mm, length: 2 m}
  supply: {from: tank.2, to: supply_out.1, bore: 8 mm, length: 2 m}
  signal: {from: control_in.1, to: control_out.1, bore: 8 mm, length: 2 m}
"""
"""Its control line passes a whole range between two moments that are kept."""

ROOMY = DOLLY.replace("lines:", """\
  branch:      {type: tee}
  room:        {type: test_volume, label: room in the control line, volume: 2 L}
lines:""").replace("to: control_out.1, bore: 8 mm, length: 2 m}", """to: branch.1, bore: 8 mm, length: 1 m}
  onward: {from: branch.2, to: control_out.1, bore: 8 mm, length: 1 m}
joints:
  - [branch.3, room.1]""")
"""That with so much room in its control line that the rig is slow to empty it."""
