"""The tool room's plan: week by week what comes back dull, what is ground, what has to be ordered when."""
