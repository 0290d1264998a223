"""What to change first: single changes to today's practice, in order of money."""
