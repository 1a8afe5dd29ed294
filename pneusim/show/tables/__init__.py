"""Tables for a terminal."""
