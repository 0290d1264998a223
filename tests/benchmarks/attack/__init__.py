"""Attacks on what a user can hand over, repeated by hand and bounded; see `__main__` for how to start them."""
