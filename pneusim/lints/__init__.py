"""The trade's rules on a circuit: one file a rule; each looks at a description and warns."""
