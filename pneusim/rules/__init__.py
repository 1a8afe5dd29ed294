"""Published procedures run on a circuit: a folder a regulation, a file a procedure, test rigs as circuit files."""
