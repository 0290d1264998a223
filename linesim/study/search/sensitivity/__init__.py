"""Which inputs drive the result."""
