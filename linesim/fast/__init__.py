"""The compiled engine: the same plan, the same laws and the same chance as the SimPy floor, and the same result."""
