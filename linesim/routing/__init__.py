"""Justify a routing."""
