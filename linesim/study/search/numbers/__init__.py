"""How many sets should be in circulation."""
