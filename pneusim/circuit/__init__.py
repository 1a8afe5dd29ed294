"""The description of a circuit and of a scenario as plain data."""
