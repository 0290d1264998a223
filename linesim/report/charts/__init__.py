"""Charts: one for each kind of question, for pages, sheets and the dashboard alike."""
