"""Statistics of studies: intervals, selection of the best, looks in turn, truncation, what nothing beats."""
