"""Two circuits or two runs beside each other: what differs in the description, the measures, the events and the air."""
