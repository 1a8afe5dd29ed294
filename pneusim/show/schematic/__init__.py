"""The schematic of a circuit: the vehicle in plan view, its parts as symbols, its lines routed at right angles."""
