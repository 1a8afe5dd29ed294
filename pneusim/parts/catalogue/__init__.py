"""Standard sizes and all default values, each with its source word.

The YAML files of this folder map ``section.key`` to ``{value, source, note}``; ``value`` is SI or text with a
unit as in circuit files.  Source words: seen, recomputed, closed_form, memory, assumption, numerical.
"""
