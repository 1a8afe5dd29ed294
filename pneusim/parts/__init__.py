"""The component types: one file each, their defaults in the catalogue, and the registry that finds them."""
