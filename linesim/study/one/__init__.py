"""One run: carried out, watched, traced, and looked at from close by."""
