"""The dashboard: ask the line a question in the browser. Pages lay out and name; linesim works everything out."""
