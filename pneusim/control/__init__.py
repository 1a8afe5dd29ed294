"""Anti-lock controllers: plain Python that is given wheel speeds at every sample and commands modulators."""
