"""Training: lessons, a shift run by a person in steps over the floor, and what is learnt from it afterwards."""
