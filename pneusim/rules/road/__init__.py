"""Stops on a road, as several regulations ask for them: loads, surfaces, the pedal, failures, pictures."""
