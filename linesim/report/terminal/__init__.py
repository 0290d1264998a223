"""Answers as tables for the terminal, one module for each command."""
