"""The best change intervals of all cutter sets together."""
