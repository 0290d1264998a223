"""How everything looks and reads: colours, style, numbers in words, tables, cautions."""
