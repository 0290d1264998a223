"""A scenario as a workbook: sheets worked out from the models, written for people who have never seen YAML, read back."""
