"""Tables, overlays and traces as files."""
