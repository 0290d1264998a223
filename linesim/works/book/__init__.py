"""A scenario as a workbook: sheets worked out from the models, written for people who know no YAML, read back."""
