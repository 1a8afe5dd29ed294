"""A package of parts outside pneusim, as somebody else would write one."""
