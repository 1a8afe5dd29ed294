"""The replay page: one file with a run's schematic, curves and story."""
