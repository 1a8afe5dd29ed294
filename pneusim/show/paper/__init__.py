"""Papers: reports and handouts, HTML without scripts or PDF."""
