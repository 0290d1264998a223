"""Answers as pages and sheets: HTML and Excel."""
